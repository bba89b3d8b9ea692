"""The lamp on a page of its own: the package's files and a board's tiles over http, in a real Chromium.

A scene is what the page's board hands the lamp: the board, tiles and letters. Frames are read back to the byte.
"""

from __future__ import annotations

import base64
import shutil
import threading
from contextlib import contextmanager
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import numpy as np

import stopcut.app.lamp
from stopcut.app.lamp.tiles import tile_png

LAMP_FOLDER = Path(stopcut.app.lamp.__file__).parent

PAGE = """<!doctype html><meta charset="utf-8"><title>lamp</title><link rel="icon" href="data:,">
<style>html, body { margin: 0; background: #f4f6f3 } canvas { display: block }</style>
<canvas id="board"></canvas>
<script type="module">
import { createLamp } from "./lamp.js";
import { readPng } from "./png.js";
import { readTile } from "./tile.js";
import { depthTones } from "./depth_tones.js";
const canvas = document.getElementById("board");
window.lampModule = { createLamp, readPng, readTile, depthTones };
window.show = async (scene, width, height) => {
  canvas.style.width = width + "px";
  canvas.style.height = height + "px";
  window.lamp ??= createLamp(canvas);
  const lamp = window.lamp;
  lamp.board(scene.board);
  for (const [id, url] of Object.entries(scene.tiles)) lamp.tile(id, url);
  lamp.letters(scene.letters);
  lamp.view(scene.view ?? { x: 0, y: 0, width: scene.board.width, height: scene.board.height });
  if (scene.light) lamp.light(scene.light);
  lamp.depth(!!scene.depth);
  // A canvas learns its size in pixels between two frames.
  await new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));
  await lamp.ready;
};
// What the canvas shows, rows from the top, RGBA, as base64.
window.readBack = (finer = 3) => {
  const gl = canvas.getContext("webgl2");
  lamp.draw(finer);
  const bytes = new Uint8Array(canvas.width * canvas.height * 4);
  gl.readPixels(0, 0, canvas.width, canvas.height, gl.RGBA, gl.UNSIGNED_BYTE, bytes);
  let text = "";
  for (let at = 0; at < bytes.length; at += 8192) text += String.fromCharCode(...bytes.subarray(at, at + 8192));
  return [canvas.width, canvas.height, btoa(text)];
};
window.loaded = true;
</script>
"""


class _Quiet(SimpleHTTPRequestHandler):
    def guess_type(self, path):
        return "text/javascript" if str(path).endswith(".js") else super().guess_type(path)

    def log_message(self, *_args):
        pass


@contextmanager
def served(folder):
    """A folder over http on this machine; gives its address."""
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(_Quiet, directory=str(folder)))
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}"
    finally:
        server.shutdown()
        server.server_close()


def lay_out(folder):
    """Put the lamp's files and the page into a folder."""
    for file in LAMP_FOLDER.glob("*.js"):
        shutil.copy(file, folder)
    (folder / "index.html").write_text(PAGE, encoding="utf-8")


def scene(folder, grooves, width, height, wood=None, longest_px=None, **more):
    """What the lamp is told of grooves on a board; their tiles, and the wood's PNG if given, are put into folder."""
    tiles, letters = {}, []
    for groove in grooves:
        made = tile_png(groove, longest_px)
        name = f"{groove.placed.outline.digest}-{longest_px}"
        tiles[name] = f"{name}.png"
        (folder / tiles[name]).write_bytes(made.png)
        letters.append(
            {"tile": name, "matrix": groove.placed.matrix, "wall": groove.wall_deg, "flat": groove.flat_bottom_mm}
        )
    board = {"width": width, "height": height, "tone": "#cfb38a"}
    if wood is not None:
        (folder / "wood.png").write_bytes(wood)
        board["woodUrl"] = "wood.png"
    return {"board": board, "tiles": tiles, "letters": letters, **more}


def show(page, told, width_px, height_px):
    """Show a scene on a canvas of that many pixels."""
    page.evaluate("([scene, width, height]) => show(scene, width, height)", [told, width_px, height_px])


def read_back(page, finer=3):
    """The canvas' pixels, (rows, columns, 4) bytes."""
    width, height, text = page.evaluate("finer => readBack(finer)", finer)
    rows = np.frombuffer(base64.b64decode(text), dtype=np.uint8).reshape(height, width, 4)
    return rows[::-1]


@contextmanager
def lamp_page(browser, folder):
    """A page of that browser with the lamp on it, served from folder."""
    lay_out(folder)
    with served(folder) as address:
        page = browser.new_page(viewport={"width": 1400, "height": 900})
        page.said = []
        page.on("console", lambda message: page.said.append(message.text))
        page.on("pageerror", lambda fault: page.said.append(str(fault)))
        page.goto(f"{address}/index.html")
        page.wait_for_function("window.loaded")
        yield page
        page.close()
