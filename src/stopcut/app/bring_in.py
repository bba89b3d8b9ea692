"""A word that opens the file chooser: a file may be dropped beside it as well, and what is taken is said.

The file goes by the framework's own uploader, which stays out of sight; how much of it is read and what is kept is for
whoever takes it.
"""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Sequence

from nicegui import ui
from nicegui.elements.upload_files import FileUpload
from nicegui.events import UploadEventArguments

from stopcut.app.faults_list import FaultsList
from stopcut.app.fields import words
from stopcut.errors import CarverError, WrongJob

__all__ = ["BringIn", "text_of_file"]

Taken = Callable[[FileUpload], Awaitable[None]]
"""What is done with the file; it may raise CarverError or ValueError, whose words are then said."""


class BringIn:
    """A word, what is taken under it, and the line where it is said what became of the file."""

    def __init__(self, word: str, hint: str, accept: str, most_bytes: int, taken: Taken) -> None:
        self._taken, self._most = taken, most_bytes
        self._upload = ui.upload(on_upload=self._came, auto_upload=True, max_file_size=most_bytes).classes("unseen")
        self._upload.props("aria-hidden=true").style("display: none")
        self._upload.on("rejected", lambda _: self.say(f"Not taken: a file has at most {_size(most_bytes)}."))
        # The web framework remembers each uploader's address for good, and with it the uploader: let it hold no page.
        ui.context.client.on_delete(self._upload._upload_handlers.clear)
        with ui.element("div").classes("bring") as place:
            with ui.element("label").classes("word"):
                chooser = ui.element("input").props(f'type=file accept="{accept}"')
                words(word, tag="span")
            with ui.element("p").classes("quiet"):
                words(f"{hint}, at most {_size(most_bytes)}", tag="span")
                words("; or drop it here", "by-mouse", tag="span")
            self._said = words("", "fault").props("role=alert")
            self._faults = FaultsList()
        chooser.props["aria-label"] = word
        chooser.on("change", js_handler=f"(e) => {{ {self._hand_on('e.target.files')}; e.target.value = '' }}")
        place.on("dragover.prevent", js_handler="(e) => e.currentTarget.classList.add('over')")
        place.on("dragleave", js_handler="(e) => e.currentTarget.classList.remove('over')")
        place.on(
            "drop.prevent",
            js_handler="(e) => { e.currentTarget.classList.remove('over'); "
            f"if (e.dataTransfer.files.length) {{ {self._hand_on('e.dataTransfer.files')} }} }}",
        )

    def say(self, text: str, faults: Sequence[str] = ()) -> None:
        """Say what became of the file, and each thing that is wrong with it; "" for nothing."""
        self._said.text = text
        self._faults.say(faults)

    def _hand_on(self, files: str) -> str:
        """The page's own step that gives chosen files to the uploader."""
        uploader = f"getElement({self._upload.id}).$refs.qRef"
        return f"const to = {uploader}; to.reset(); to.addFiles([...{files}].slice(0, 1))"

    async def _came(self, event: UploadEventArguments) -> None:
        self.say("")
        if event.file.size() > self._most:  # the page asks no one for more, but a page may be another
            self.say(f"Not taken: a file has at most {_size(self._most)}.")
            return
        try:
            await self._taken(event.file)
        except WrongJob as wrong:
            faults = [str(fault) for fault in wrong.faults]
            self.say(f"{event.file.name} is wrong, and nothing of it was kept:", faults)
        except (CarverError, ValueError) as problem:
            self.say(str(problem))


def _size(count: int) -> str:
    return f"{count // 2**20} MB" if count >= 2**20 else f"{count // 1000} kB"


def text_of_file(data: bytes, name: str) -> str:
    """A brought file's text, without the mark that some editors put before it. Raises ValueError where it is none."""
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise ValueError(f"{name} is no job file: it is not text.") from None
