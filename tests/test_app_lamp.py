"""The lamp on a page, in a real Chromium: what it draws is what `light` says, and no more work than need be."""

from __future__ import annotations

import io
import json
import math
import struct
import zlib
from itertools import pairwise

import numpy as np
import pytest
from lamp_pages import lamp_page, read_back, scene, show
from light_shapes import cut, letter, rectangle, ring
from PIL import Image
from workshop import soon

from stopcut.app.lamp.tiles import tile_png
from stopcut.light.carved import Lighting, lit_wood, wall_light
from stopcut.light.colour import encoded, linear, rolled_off
from stopcut.light.raster import Frame
from stopcut.light.shade import Lamp
from stopcut.light.wood import seed_of, tone_of, wood_colour

pytestmark = pytest.mark.browser

WIDE, HIGH, PX = 240.0, 100.0, 3.0  # a board [mm] and its pixels to a mm
EASED = 9  # pixels from the board's edge that its eased edges take

SAME_TONE = 8.0
"""Mean difference over the grooves' pixels from light.carved's picture, of 255. Our choice: at 1:1 the two pictures
cannot be told apart one after the other. Sky and thrown light are told by short cuts; shadows and edges are not."""


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("lamp")


@pytest.fixture(scope="module")
def page(browser, folder):
    with lamp_page(browser, folder) as opened:
        yield opened


@pytest.fixture(scope="module")
def wood():
    frame = Frame(0.0, HIGH, 1 / PX, round(WIDE * PX), round(HIGH * PX))
    return frame, wood_colour(tone_of("lime"), "width", seed_of("Plot 7"), frame)


def png(colour):
    out = io.BytesIO()
    Image.fromarray(colour).save(out, "PNG")
    return out.getvalue()


def words(flat_bottom_mm=None, wall_deg=60.0):
    """Letters with straight, leaning and round strokes, one of them turned."""
    return [
        cut(letter(char), wall_deg, flat_bottom_mm, x=x, y=22, turn_deg=turn, scale=85)
        for char, x, turn in (("R", 10, 0), ("O", 75, 0), ("N", 150, 12))
    ]


def lamp_at(page, azimuth, elevation, sky=0.16):
    page.evaluate("light => lamp.light(light)", {"azimuth": azimuth, "elevation": elevation, "sky": sky})


def stem(width_px=1000, **light):
    """A stem 8 mm wide from x = 20 on a plain board of 50 × 30 mm, 20 pixels to a mm."""
    return [cut(rectangle(8, 200), x=20, y=-80)], 50, 30


@pytest.mark.parametrize(
    ("azimuth", "elevation", "wall", "flat"),
    [(135, 29, 60, None), (200, 15, 60, None), (80, 50, 60, None), (300, 35, 50, None), (135, 29, 60, 3.0)],
)
def test_the_lamp_draws_the_board_as_the_carved_picture_does(page, folder, wood, azimuth, elevation, wall, flat):
    frame, colour = wood
    grooves = words(flat, wall)
    show(page, scene(folder, grooves, WIDE, HIGH, png(encoded(colour))), frame.columns, frame.rows)
    lamp_at(page, azimuth, elevation)
    shown = read_back(page)[:, :, :3].astype(int)
    walls = wall_light(grooves, frame, Lighting(Lamp(azimuth, elevation), 0.16))
    true = encoded(rolled_off(lit_wood(colour, walls))).astype(int)
    off = np.abs(shown - true).mean(axis=2)
    inside = np.zeros(frame.rows * frame.columns, dtype=bool)
    inside[walls.pixel] = True
    inside = inside.reshape(frame.rows, frame.columns)
    print(f"lamp {azimuth}° {elevation}°, wall {wall}°, flat {flat}: {off[inside].mean():.2f} of 255")
    assert off[inside].mean() < SAME_TONE
    outside = ~_grown(inside)
    outside[:EASED] = outside[-EASED:] = outside[:, :EASED] = outside[:, -EASED:] = False
    assert np.abs(shown - true)[outside].max() <= 2


def _grown(mask):
    """With the pixels beside it."""
    wide = np.pad(mask, 1)
    rows, columns = mask.shape
    return np.any([wide[i : i + rows, j : j + columns] for i in range(3) for j in range(3)], axis=0)


def test_low_light_leaves_a_strip_at_the_far_lip_as_wide_as_trigonometry_says(page, folder):
    """On a stroke W wide with walls θ under light at e across it, the far wall is lit for W·tan e / (tan θ + tan e)."""
    show(page, scene(folder, *stem()), 1000, 600)
    for elevation in (15, 30, 45):
        lamp_at(page, 180, elevation)
        row = read_back(page)[300, :, 0].astype(int)
        far = row[round(24.2 * 20) : 28 * 20]
        lit = (far > row[100]).sum() / 20
        climb = math.tan(math.radians(elevation))
        assert lit == pytest.approx(8 * climb / (math.tan(math.radians(60)) + climb), abs=0.06)


def test_no_wall_is_in_shadow_when_the_light_is_steeper_than_the_walls(page, folder):
    show(page, scene(folder, *stem()), 1000, 600)
    lamp_at(page, 180, 62, 0.0)
    row = read_back(page)[300, :, 0].astype(int)
    near, far = row[21 * 20 : 23 * 20], row[25 * 20 : 27 * 20]
    assert np.ptp(far) <= 6
    # cos of incidence over the face's: cos 60° · (1 ± tan 60° / tan 62°), and some thrown light.
    assert near.max() < 0.7 * row[100]
    assert far.min() > 0.9 * row[100]


def test_a_mirrored_board_under_a_mirrored_lamp_is_the_mirrored_picture(page, folder):
    told = scene(folder, [cut(letter("R"), x=30, y=20, scale=80)], 120, 100)
    show(page, told, 480, 400)
    lamp_at(page, 150, 25)
    picture = read_back(page).astype(int)
    a, b, c, d, e, f = told["letters"][0]["matrix"]
    told["letters"][0]["matrix"] = [-a, b, -c, d, 120 - e, f]
    show(page, told, 480, 400)
    lamp_at(page, 30, 25)
    off = np.abs(read_back(page)[:, ::-1].astype(int) - picture)
    assert off.mean() < 0.05
    assert np.quantile(off, 0.999) <= 12


def test_turning_board_and_lamp_together_turns_the_picture(page, folder):
    told = scene(folder, [cut(letter("R"), x=30, y=20, scale=60)], 100, 100)
    show(page, told, 400, 400)
    lamp_at(page, 150, 25)
    picture = read_back(page).astype(int)
    a, b, c, d, e, f = told["letters"][0]["matrix"]
    told["letters"][0]["matrix"] = [-b, a, -d, c, 100 - f, e]
    show(page, told, 400, 400)
    lamp_at(page, 240, 25)
    off = np.abs(read_back(page).astype(int) - np.rot90(picture))
    assert off.mean() < 0.05


def test_tones_by_depth_grow_darker_downwards_and_are_those_of_the_legend(page, folder):
    told = scene(folder, *stem(), depth=True)
    show(page, told, 1000, 600)
    legend = page.evaluate("lamp.depthTones")
    row = read_back(page)[300].astype(int)
    deepest = 4 * math.tan(math.radians(60))
    assert legend[0]["from"] == 0
    assert legend[-1]["from"] < deepest <= legend[-1]["to"]
    assert all(one["to"] == after["from"] for one, after in pairwise(legend))
    greys = [np.dot([0.2126, 0.7152, 0.0722], linear(_rgb(one["tone"]))) for one in legend]
    assert greys == sorted(greys, reverse=True)
    assert min(np.diff(greys[::-1])) > 0.003
    for one in legend:
        middle = (one["from"] + min(one["to"], deepest)) / 2
        at = round((20 + middle / math.tan(math.radians(60))) * 20)
        assert np.abs(row[at, :3] / 255 - _rgb(one["tone"])).max() <= 1.01 / 255
    assert row[100, :3].sum() > sum(255 * part for part in _rgb(legend[0]["tone"]))


def _rgb(tone):
    return [int(tone[at : at + 2], 16) / 255 for at in (1, 3, 5)]


@pytest.mark.parametrize(
    ("deepest", "step"), [(0.5, 0.1), (0.81, 0.2), (3.9, 0.5), (7.2, 1), (8.0, 1), (8.1, 2), (40, 5)]
)
def test_depths_are_told_in_steps_one_can_set_a_rule_to(page, deepest, step):
    legend = page.evaluate("deepest => lampModule.depthTones(deepest)", deepest)
    assert legend[0]["to"] == step
    assert legend[-1]["from"] < deepest <= legend[-1]["to"]
    assert len(legend) <= 8


def test_a_tiles_bytes_reach_the_page_unchanged(page, folder):
    made = tile_png(cut(letter("g")))
    (folder / "g.png").write_bytes(made.png)
    found = page.evaluate(_READ, "g.png")
    with Image.open(io.BytesIO(made.png)) as image:
        assert found["bytes"] == np.asarray(image).ravel().tolist()
    assert json.loads(found["text"]["stopcut-frame"])["high"] == made.high


def test_every_filter_of_the_png_standard_is_undone(page, folder):
    """PNG, third edition, 9.2: none, sub, up, average and Paeth, a row each."""
    rows = np.random.default_rng(3).integers(0, 256, (10, 9, 4)).astype(np.uint8)
    (folder / "filters.png").write_bytes(_filtered(rows))
    with Image.open(folder / "filters.png") as image:  # Pillow as the judge of the test's own writer
        assert (np.asarray(image) == rows).all()
    assert page.evaluate(_READ, "filters.png")["bytes"] == rows.ravel().tolist()


_READ = """async (url) => {
  const { bytes, text } = await lampModule.readPng(await (await fetch(url)).arrayBuffer());
  return { bytes: Array.from(bytes), text };
}"""


def _filtered(rows):
    """A PNG whose rows are filtered in turn by each of the standard's ways."""
    height, width, _ = rows.shape
    flat = rows.reshape(height, -1).astype(int)
    body = b""
    for number, line in enumerate(flat):
        left = np.concatenate([np.zeros(4, int), line[:-4]])
        above = flat[number - 1] if number else np.zeros_like(line)
        corner = np.concatenate([np.zeros(4, int), above[:-4]])
        guess = left + above - corner
        near = np.stack([np.abs(guess - left), np.abs(guess - above), np.abs(guess - corner)])
        paeth = np.choose(near.argmin(axis=0), [left, above, corner])
        way = number % 5
        taken = (np.zeros_like(line), left, above, (left + above) // 2, paeth)[way]
        body += bytes([way]) + ((line - taken) % 256).astype(np.uint8).tobytes()
    head = struct.pack(">IIBBBBB", width, height, 8, 6, 0, 0, 0)
    chunks = ((b"IHDR", head), (b"IDAT", zlib.compress(body)), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data)) for kind, data in chunks
    )


_COUNT = """async (names) => {
  const gl = document.getElementById("board").getContext("webgl2");
  window.counted = 0;
  for (const name of names) {
    const real = Object.getPrototypeOf(gl)[name];
    gl[name] = function (...args) { window.counted++; return real.apply(this, args); };
  }
}"""
_UNCOUNT = (
    """(names) => { for (const name of names) delete document.getElementById("board").getContext("webgl2")[name] }"""
)


def test_moving_the_lamp_a_letter_or_the_view_sends_nothing_to_the_graphics_memory(page, folder):
    told = scene(folder, words(), WIDE, HIGH)
    show(page, told, 600, 250)
    names = ["texImage2D", "texSubImage2D", "bufferData", "createTexture", "generateMipmap"]
    page.evaluate(_COUNT, names)
    before = read_back(page)
    lamp_at(page, 20, 40)
    told["letters"][0]["matrix"] = [*told["letters"][0]["matrix"][:4], 14, 25]
    told["letters"][1]["wall"] = 50
    page.evaluate("letters => lamp.letters(letters)", told["letters"])
    page.evaluate("lamp.view({ x: 20, y: 10, width: 120, height: 50 })")
    after = read_back(page)
    counted = page.evaluate("counted")
    page.evaluate(_UNCOUNT, names)
    assert counted == 0
    assert (before != after).any()


def test_nothing_is_drawn_while_nothing_changes(page, folder):
    show(page, scene(folder, words(), WIDE, HIGH), 600, 250)
    names = ["drawArraysInstanced"]
    page.evaluate(_COUNT, names)

    def drawn() -> int:
        """How much is drawn in a while. [letters]"""
        page.evaluate("counted = 0")
        page.wait_for_timeout(400)
        return page.evaluate("counted")

    soon(lambda: drawn() == 0, "it is drawn on and on")
    page.evaluate("counted = 0")
    lamp_at(page, 20, 40)
    soon(lambda: page.evaluate("counted") >= 2 * 3, "it is not drawn again at rest", page)
    page.wait_for_timeout(400)
    moved = page.evaluate("counted")
    page.evaluate(_UNCOUNT, names)
    assert moved == 2 * 3  # three letters as they move, and once more finely at rest


def test_a_tile_is_fetched_once_however_many_letters_use_it(page, folder):
    told = scene(folder, [cut(letter("L"), x=10, y=10, scale=50), cut(letter("L"), x=60, y=10, scale=70)], WIDE, HIGH)
    asked = []
    page.on("request", lambda request: asked.append(request.url))
    (name,) = told["tiles"]
    told["tiles"][name] += "?fresh"
    told["letters"] = [{**one, "tile": "fresh"} for one in told["letters"]]
    told["tiles"] = {"fresh": told["tiles"][name]}
    show(page, told, 600, 250)
    show(page, told, 600, 250)
    assert len([url for url in asked if url.endswith("?fresh")]) == 1


def test_a_tile_that_cannot_be_had_is_left_out_and_the_rest_is_drawn(page, folder):
    told = scene(folder, words(), WIDE, HIGH)
    whole = _shown(page, told)
    told["tiles"]["lost"] = "lost.png"
    told["letters"].append({"tile": "lost", "matrix": [1, 0, 0, 1, 0, 0], "wall": 60, "flat": None})
    assert (_shown(page, told) == whole).all()
    assert page.evaluate("lamp.tile('lost', 'lost.png')") is False


def _shown(page, told):
    show(page, told, 600, 250)
    lamp_at(page, 135, 29)
    return read_back(page)


def test_graphics_memory_taken_away_and_given_back_leaves_the_same_picture(page, folder, wood):
    _, colour = wood
    told = scene(folder, words(), WIDE, HIGH, png(encoded(colour)))
    before = _shown(page, told)
    page.evaluate("""async () => {
      const taker = document.getElementById("board").getContext("webgl2").getExtension("WEBGL_lose_context");
      const canvas = document.getElementById("board");
      const told = (name) => new Promise((done) => canvas.addEventListener(name, done, { once: true }));
      const lost = told("webglcontextlost");
      taker.loseContext();
      await lost;
      await new Promise((done) => setTimeout(done, 50));
      lamp.draw();
      const back = told("webglcontextrestored");
      taker.restoreContext();
      await back;
      await lamp.ready;
    }""")
    assert (read_back(page) == before).all()


def test_beyond_the_board_the_page_shows_through(page, folder):
    told = scene(folder, *stem(), view={"x": -10, "y": -10, "width": 70, "height": 50})
    show(page, told, 700, 500)
    alpha = read_back(page)[:, :, 3]
    assert (alpha[:98] == 0).all()
    assert (alpha[:, -98:] == 0).all()
    assert (alpha[103:397, 103:597] == 255).all()


def test_letters_close_up_keep_crisp_roots(page, folder):
    """At sixteen times the tile's own detail a root's two walls still part within a pixel or two."""
    told = scene(folder, [cut(ring(20, 12), x=25, y=25)], 50, 50, view={"x": 40, "y": 24, "width": 2, "height": 2})
    show(page, told, 400, 400)
    lamp_at(page, 0, 61, 0.0)
    row = read_back(page)[200, :, 0].astype(int)
    step = np.abs(np.diff(row))
    assert step.max() > 40
    assert (step > 8).sum() <= 3
    assert abs(int(step.argmax()) - 200) <= 3  # the root is 16 mm from the ring's middle: x = 41


def test_a_sharp_screen_gets_all_its_pixels(page, folder):
    sharp = page.context.browser.new_page(viewport={"width": 700, "height": 400}, device_scale_factor=2)
    sharp.goto(page.url)
    sharp.wait_for_function("window.loaded")
    show(sharp, scene(folder, *stem()), 500, 300)
    assert read_back(sharp).shape[:2] == (600, 1000)
    sharp.close()


def test_a_browser_without_the_means_is_told_so_by_nothing(page):
    assert page.evaluate("lampModule.createLamp({ getContext: () => null })") is None


def test_a_lamp_put_away_leaves_nothing_behind(page, folder):
    told = scene(folder, words(), WIDE, HIGH)
    left = page.evaluate(
        """async (told) => {
          const canvas = document.createElement("canvas");
          canvas.style.cssText = "width: 300px; height: 125px";
          document.body.append(canvas);
          const gl = canvas.getContext("webgl2");
          const counts = {};
          const made = new Set();
          for (const kind of ["Texture", "Buffer", "VertexArray", "Program", "Framebuffer", "Renderbuffer"]) {
            const create = gl["create" + kind].bind(gl), remove = gl["delete" + kind].bind(gl);
            gl["create" + kind] = () => { const one = create(); made.add(one); return one; };
            gl["delete" + kind] = (one) => { made.delete(one); remove(one); };
          }
          const lamp = lampModule.createLamp(canvas);
          lamp.board(told.board);
          for (const [id, url] of Object.entries(told.tiles)) lamp.tile(id, url);
          lamp.letters(told.letters);
          await new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));
          await lamp.ready;
          const most = made.size;
          lamp.dispose();
          canvas.remove();
          return [most, made.size];
        }""",
        told,
    )
    assert left[0] > 10
    assert left[1] == 0


def test_the_page_had_nothing_to_complain_of(page):
    complaints = [one for one in page.said if "lost" not in one and "GL Driver Message" not in one and "404" not in one]
    assert complaints == []
