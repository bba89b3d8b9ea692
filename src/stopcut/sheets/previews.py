"""Pages of a PDF as pictures: what the screen shows of each sheet before it is printed.

PDFium draws them, so that a preview is what a printer's own reader would make of the page and not a drawing beside it.
It may do one thing at a time in a process, which the lock here sees to; one page is drawn at a time, and no page makes
a picture larger than MOST_PIXELS.
"""

from __future__ import annotations

import io
import math
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Final

from stopcut.errors import CarverError

if TYPE_CHECKING:
    from PIL.Image import Image
    from pypdfium2 import PdfDocument, PdfPage  # type: ignore[import-untyped]

__all__ = ["MOST_PIXELS", "WIDEST_PX", "NoSuchPage", "page_count", "page_png", "page_pngs"]

WIDEST_PX: Final = 4096
"""Previews are no wider. Our choice: the widest screens in use have about as many."""

MOST_PIXELS: Final = 16_000_000
"""Nor of more pixels: 64 MB while one is drawn. Our choice, so that a whole board on one sheet stays a picture."""


ROUNDING: Final = 1e-6  # sizes are rounded up to whole pixels, and 1000.0001 is not to become 1001

_one_at_a_time = threading.Lock()  # PDFium's own documentation: no two calls at once, whatever the document


class NoSuchPage(CarverError):
    """A page that the sheets do not have, or a file that has no pages to show."""


def page_count(pdf: bytes) -> int:
    """How many pages there are. Raises NoSuchPage if it is no PDF."""
    with _opened(pdf) as document:
        return len(document)


def page_png(pdf: bytes, number: int, width_px: int) -> bytes:
    """One page as a PNG on white paper, number counting from 1.

    It is width_px wide [1 to WIDEST_PX], narrower only where it would have more than MOST_PIXELS. Raises NoSuchPage
    where there is no such page, ValueError for a width out of range.
    """
    if not 1 <= width_px <= WIDEST_PX:
        raise ValueError(f"a preview is 1 to {WIDEST_PX} pixels wide, not {width_px}")
    with _opened(pdf) as document:
        if not 1 <= number <= len(document):
            raise NoSuchPage(f"There is no page {number}: the sheets have {len(document)}.")
        picture = _drawn(document[number - 1], width_px)
    held = io.BytesIO()
    picture.save(held, "PNG")
    return held.getvalue()


def page_pngs(pdf: bytes, width_px: int) -> tuple[bytes, ...]:
    """Every page as page_png draws it, in order."""
    return tuple(page_png(pdf, number, width_px) for number in range(1, page_count(pdf) + 1))


@contextmanager
def _opened(pdf: bytes) -> Iterator[PdfDocument]:
    """The document, for as long as nobody else draws."""
    import pypdfium2  # only who looks at sheets waits for it

    with _one_at_a_time:
        try:
            document = pypdfium2.PdfDocument(pdf)
        except pypdfium2.PdfiumError as problem:
            raise NoSuchPage(f"There are no pages to show: this is no PDF that can be read ({problem}).") from problem
        try:
            yield document
        finally:
            document.close()


def _drawn(page: PdfPage, width_px: int) -> Image:
    width_pt, height_pt = page.get_size()
    scale = min(width_px / width_pt, math.sqrt(MOST_PIXELS / (width_pt * height_pt)))
    drawn = page.render(scale=scale * (1 - ROUNDING))
    picture: Image = drawn.to_pil().copy()  # its own: PDFium's memory goes with the page
    drawn.close()
    page.close()
    return picture
