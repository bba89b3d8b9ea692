"""Pages with a board on them, for a real Chromium: the board's own modules and a job's view, without the workshop."""

from __future__ import annotations

import functools
import io
import json
import mimetypes
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any
from urllib.parse import urlparse

import stopcut.app
from stopcut.app.board_view import groove_view, setting_view
from stopcut.app.lamp.tiles import tile_png, wood_png
from stopcut.app.moving import gaps_moved
from stopcut.job.edit_values import At, SetShift
from stopcut.job.edits import apply
from stopcut.job.new import demo_job_text
from stopcut.job.read import parse_job
from stopcut.lettering.faces import find_face
from stopcut.work import Work

APP = Path(stopcut.app.__file__).parent

PAGE = """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Board</title><link rel="icon" href="data:,">
<meta name="viewport" content="width=device-width, initial-scale=1">
<link rel="stylesheet" href="/board/page/board.css">
<style>
@font-face {{ font-family: "Alegreya Sans"; font-weight: 400; src: url("/fonts/AlegreyaSans-Regular.ttf"); }}
@font-face {{ font-family: "Alegreya Sans"; font-weight: 500 600; src: url("/fonts/AlegreyaSans-Medium.ttf"); }}
@font-face {{ font-family: "Alegreya Sans"; font-weight: 700; src: url("/fonts/AlegreyaSans-Bold.ttf"); }}
:root {{ --paper: #f4f6f3; --sheet: #fff; --ink: #20282b; --soft: #5c686b; --rule: #c9d0cd; --red: #b3261e; }}
@media (prefers-color-scheme: dark) {{
  :root {{ --paper: #1c2225; --sheet: #242b2e; --ink: #e9ece8; --soft: #a9b3b2; --rule: #3a4447; --red: #ff7b6b; }}
}}
body {{ margin: 0; padding: 24px clamp(16px, 3vw, 36px); background: var(--paper); color: var(--ink); }}
</style></head><body><main><h1 style="font: 20px sans-serif">Gate board</h1>
<div id="board"></div><p style="height: 60vh">Under the board.</p></main>
<script type="module">
import {{ createBoard }} from "/board/page/board.js";
const lamp = {lamp};
async function createLamp(canvas) {{
  return lamp ? (await import("/lamp/lamp.js")).createLamp(canvas) : null;
}}
window.told = [];
const tell = (name, what) => told.push({{ name, ...what }});
window.board = createBoard(document.getElementById("board"), tell, {{ createLamp }});
</script></body></html>"""


_WOODS: dict[str, Work] = {}
"""What has been shown so far, by size and title."""


@functools.lru_cache(maxsize=16)
def work_of(text: str) -> Work:
    return Work(parse_job(text))


def demo(words: str = "MARROW LANE") -> Work:
    return work_of(demo_job_text().replace('words = "MARROW LANE"', f'words = "{words}"'))


def with_shift(pair: str, by_mm: float) -> Work:
    """The demo board with one gap of its first line set by hand."""
    shifted = f'words = "MARROW LANE"\nshifts = [{{ pair = "{pair}", nth = 1, by = "{by_mm} mm" }}]'
    return work_of(demo_job_text().replace('words = "MARROW LANE"', shifted))


def view_of(work: Work, *, grooves: bool = True, known: tuple[str, ...] = ()) -> dict[str, Any]:
    view = setting_view(work, known)
    if grooves:
        more = groove_view(work, "/tile/{digest}.png", known)
        view = {**view, **more, "paths": {**view["paths"], **more["paths"]}}
    board = work.job.board
    name = f"{board.width_mm:g}-{board.height_mm:g}-{work.job.title.replace(' ', '-')}"
    _WOODS.setdefault(name, work)
    view["wood"] = {"url": f"/wood/{name}.png", "tone": ""}
    return view


class BoardPage:
    """One page with a board in a browser's context: what is shown goes in by take, what hands do comes out of told."""

    def __init__(self, context: Any, host: str, work: Work, *, lamp: bool = False) -> None:
        self.work, self.lamp = work, lamp
        self.page = context.new_page()
        self.wrong: list[str] = []
        self.page.on("pageerror", lambda problem: self.wrong.append(str(problem)))
        self.page.on("console", lambda said: self.wrong.append(said.text) if said.type == "error" else None)
        self.page.set_default_timeout(120_000)  # no test is timed
        self.page.goto(f"{host}/{'lit' if lamp else 'plain'}.html")
        self.page.wait_for_function("window.board")

    def open(self, **told: Any) -> BoardPage:
        """Show the work, and wait until it is drawn."""
        self.take(view=told.pop("view", None) or view_of(self.work), **({"task": "move"} | told))
        self.settle()
        return self

    def take(self, **told: Any) -> None:
        self.page.evaluate("told => board.take(told)", told)

    def settle(self) -> None:
        """Two frames on, with whatever was under way there."""
        self.page.evaluate(
            "async () => { await board.ready; for (let k = 0; k < 5; k++) await new Promise(requestAnimationFrame); }"
        )

    def told(self, name: str | None = None) -> list[dict[str, Any]]:
        told: list[dict[str, Any]] = self.page.evaluate("() => window.told")
        return [one for one in told if name in (None, one["name"])]

    def box(self, key: str) -> dict[str, float]:
        """A letter's box on the screen, as it is drawn. [px]"""
        box: dict[str, float] = self.page.evaluate(
            "key => { const { x, y, width, height } = document.querySelector(`[data-key='${key}'] path`)"
            ".getBoundingClientRect(); return { x, y, width, height }; }",
            key,
        )
        return box

    def middle(self, key: str) -> tuple[float, float]:
        box = self.box(key)
        return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2

    def scale(self) -> float:
        """Pixels a millimetre."""
        return float(self.page.evaluate("() => board.place.scale"))


@contextmanager
def served_boards() -> Iterator[str]:
    """The address that a BoardPage is loaded from: the package's files, and the tiles and woods of all views so far."""

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            path = urlparse(self.path).path
            made = _made(path)
            self.send_response(404 if made is None else 200)
            self.send_header("Content-Type", mimetypes.guess_type(path)[0] or "text/html")
            self.send_header("Content-Length", str(len(made or b"")))
            self.send_header("Cache-Control", "max-age=3600")
            self.end_headers()
            self.wfile.write(made or b"")

        def log_message(self, *_: object) -> None:
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()


def _made(path: str) -> bytes | None:
    if path in ("/lit.html", "/plain.html"):
        return PAGE.format(lamp=json.dumps(path == "/lit.html")).encode()
    if path.startswith("/wood/"):
        return wood_of(_WOODS[Path(path).stem])
    if path.startswith("/tile/"):
        return next((made for work in _WOODS.values() if (made := tile_of(work, Path(path).stem))), None)
    if path.startswith("/fonts/"):
        return face_file(Path(path).name)
    file = (APP / path.lstrip("/")).resolve()
    return file.read_bytes() if file.is_relative_to(APP) and file.suffix in (".js", ".css") else None


def tile_of(work: Work, digest: str) -> bytes | None:
    found = next((one for one in work.grooves if one.placed.outline.digest == digest), None)
    return tile_png(found).png if found else None


def wood_of(work: Work) -> bytes:
    board = work.job.board
    return _wood(board.width_mm, board.height_mm, board.grain, board.wood, work.job.title)


_wood = functools.lru_cache(maxsize=16)(wood_png)


def face_file(name: str) -> bytes | None:
    file = find_face("Alegreya Sans").path.parent / name
    return file.read_bytes() if file.is_file() else None


def picture(page: Any) -> Any:
    """What the page shows, as a Pillow image."""
    from PIL import Image

    return Image.open(io.BytesIO(page.screenshot())).convert("RGB")


def moved_text(text: str, work: Work, key: str, dx_mm: float) -> str:
    """The job once a letter has been pushed, as the workshop writes it."""
    for one in gaps_moved(work.setting, key, dx_mm, follows=False):
        line = work.job.lines[one.line - 1]
        text = apply(SetShift(At("line", one.line, line.words), one.pair, one.nth, one.by), text).text
    return text


def serve(port: int) -> None:
    """A page with the board as the workshop's pages have it: moves are answered, and what was told is written down."""
    import uvicorn
    from fastapi import FastAPI, Response
    from nicegui import ui

    from stopcut.app.board.board import BoardElement

    api = FastAPI()
    told: list[str] = []

    @api.get("/told")
    def _told() -> list[str]:
        return told

    @api.get("/tile/{name}")
    def _tile(name: str) -> Response:
        return Response(tile_of(demo(), Path(name).stem), media_type="image/png")

    @api.get("/wood/{name}")
    def _wood_picture(name: str) -> Response:
        return Response(wood_of(demo()), media_type="image/png")

    @ui.page("/")
    def _page() -> None:
        text = [demo_job_text()]
        board = BoardElement(label="Gate board")
        board.task("move")
        board.show(view_of(work_of(text[0])))

        async def move(what: Any) -> None:
            told.append(repr(what))
            text[0] = moved_text(text[0], work_of(text[0]), what.key, what.dx)
            work = work_of(text[0])
            board.show(view_of(work, known=tuple(view_of(demo())["paths"])))

        board.on_move(lambda what: told.append("an earlier handler"))
        board.on_move(move)
        board.on_choose(lambda what: told.append(repr(what)))
        ui.button("Third", on_click=lambda: board.chosen(["1:3"]))
        ui.button("Squint", on_click=lambda: board.look(["squint", "mirror"]))
        ui.button("As it stands", on_click=lambda: board.show(view_of(work_of(text[0]))))

        def nothing() -> None:
            board.on_move(lambda what: told.append("unanswered"))
            told.append("nothing answers now")

        ui.button("Nothing", on_click=nothing)

    ui.run_with(api, show_welcome_message=False)
    uvicorn.run(api, port=port, log_level="warning")


if __name__ == "__main__":
    serve(int(sys.argv[1]))
