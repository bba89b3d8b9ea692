"""Brief: the words line by line, large for checking; the client's message beside them; board, face, and the rest."""

from __future__ import annotations

from stopcut.app.brief_board import BriefBoard
from stopcut.app.brief_client import BriefClient
from stopcut.app.brief_drawn import BriefDrawn
from stopcut.app.brief_faces import BriefFaces
from stopcut.app.brief_job import job_now
from stopcut.app.brief_list import BriefList
from stopcut.app.brief_match import BriefMatch
from stopcut.app.brief_words import BriefWords
from stopcut.app.job_page import JobPage
from stopcut.app.open_jobs import Standing

__all__ = ["BriefSection"]


class BriefSection:
    """The section about what was asked for."""

    slug = "brief"
    title = "Brief"

    def __init__(self, page: JobPage) -> None:
        self.page = page
        self._read: tuple[int, str] = (-1, "")

    def build(self) -> None:
        """Fill the ledge."""
        self._words = BriefWords(self.page)
        self._client = BriefClient(self.page, self._read_again)
        self._board = BriefBoard(self.page)
        self._list = BriefList(self.page)
        self._faces = BriefFaces(self.page)
        self._drawn = BriefDrawn(self.page)
        self._match = BriefMatch(self.page)

    def leave(self) -> None:
        """No faces are compared for a page that is not there."""
        self._faces.stop()

    def show(self, standing: Standing) -> None:
        """What was asked for as it stands; faces wait until the letters are drawn."""
        job = job_now(standing)
        if job is None:
            return
        if self._read != (standing.number, standing.text):
            self._read = (standing.number, standing.text)
            self._read_again()
            self._board.show(job)
            self._drawn.show(job)
            self._list.show(job)
            self._match.show(job)
        self._faces.show(job, standing)
        self._match.show_found(standing)

    def _read_again(self) -> None:
        """The words beside the message: after either has changed."""
        job = job_now(self.page.standing)
        if job is not None:
            remarks = self._client.remarks(job)
            self._words.show(job, remarks)
            self._client.show(remarks, self.page.standing.number)
