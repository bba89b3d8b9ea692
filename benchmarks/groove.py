"""The groove's speed and truth: ms a glyph against vertices, beside other ways to the same question.

    python -m benchmarks.groove             our roof, CGAL's graph, a segment Voronoi, a raster medial axis; a cold line
    python -m benchmarks.groove --corpus    every letter of every packaged family before all judges (ten minutes)
    python -m benchmarks.groove --ornament  20,000 vertices in one outline

Times are processor time, the best of a few runs. The other two ways answer an easier question, the round-nosed one
(true distance to the outline): their depth error is how far their depths are from the mitred walls', at their own
lines' points, for 60 mm caps and a wall of 60°.
"""

from __future__ import annotations

import argparse
import itertools
import math
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from unittest import mock

import numpy as np
from numpy.typing import NDArray
from skimage.draw import polygon as filled
from skimage.morphology import medial_axis

from stopcut.groove import roof as roofs
from stopcut.groove.mend import mended
from stopcut.groove.roof import TOLERANCE_EM, flat_for_roof, roof, roof_of
from stopcut.groove.surface import Roof
from stopcut.keep import Keep
from stopcut.shape.flat import Flat

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))
from glyphs import cuts, families, glyphs
from judges import cgal_graph, height_at, voronoi, voronoi_axis
from roof_checks import corpus_of, held_to_cgal, held_to_mending, held_to_offsets, held_to_theory
from roof_shapes import flat_of, tracery

Array = NDArray[np.float64]

FACES = ("cinzel", "eb_garamond", "lato")
LINE = "MARROW LANE GARDENS OUTPOST"
"""24 letters, 14 different ones."""
EM_MM = 60 / 0.7
"""An em where a cap of 0.7 em is 60 mm high."""
PIXEL_MM = 0.1
DEPTH = math.tan(math.radians(60)) * EM_MM
RUNS = {"roof, faces, check": 3, "CGAL's graph": 2, "segment Voronoi": 3, "raster medial axis": 1}
BANDS = (0, 25, 50, 75, 100, 150, 200, 1000)


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--corpus", action="store_true")
    asked.add_argument("--ornament", action="store_true")
    options = asked.parse_args()
    if options.corpus:
        corpus()
    elif options.ornament:
        ornament()
    else:
        beside_others()
        cold_line()


def timed(work: Callable[[], object], runs: int = 3) -> float:
    """Best processor time of a few runs. [ms]"""
    best = math.inf
    for _ in range(runs):
        start = time.process_time()
        work()
        best = min(best, time.process_time() - start)
    return 1e3 * best


def beside_others() -> None:
    ways: dict[str, Callable[[Roof], object]] = {
        "roof, faces, check": lambda r: roof(r.flat),
        "CGAL's graph": lambda r: cgal_graph(r.flat.rings),
        "segment Voronoi": lambda r: voronoi(r.flat.rings),
        "raster medial axis": lambda r: raster(r.flat),
    }
    rows = []
    errors: dict[str, list[Array]] = {"segment Voronoi": [], "raster medial axis": []}
    preparing = []
    for family in FACES:
        path, weight = cuts(families()[family])[0]
        for outline in glyphs(path, weight).values():
            preparing.append(timed(lambda o=outline: mended(flat_for_roof(o, TOLERANCE_EM), TOLERANCE_EM)))
            surface = roof(mended(flat_for_roof(outline, TOLERANCE_EM), TOLERANCE_EM))
            rows.append(
                (
                    surface.flat.size,
                    [timed(lambda w=way, s=surface: w(s), runs=RUNS[name]) for name, way in ways.items()],
                )
            )
            errors["segment Voronoi"].append(depth_errors(surface, *voronoi_axis(surface.flat.rings)))
            errors["raster medial axis"].append(depth_errors(surface, *raster(surface.flat)))
    print(f"{len(rows)} glyphs of {', '.join(FACES)}; ms a glyph, processor time\n")
    print(f"{'vertices':>10} {'glyphs':>7} " + " ".join(f"{name:>20}" for name in ways))
    for low, high in itertools.pairwise(BANDS):
        band = [times for size, times in rows if low <= size < high]
        if band:
            means = [statistics.mean(column) for column in zip(*band, strict=True)]
            print(f"{low:>5}–{high - 1:<4} {len(band):>7} " + " ".join(f"{mean:20.2f}" for mean in means))
    columns = list(zip(*(times for _, times in rows), strict=True))
    for label, figure in (("mean", statistics.mean), ("median", statistics.median), ("p90", p90), ("max", max)):
        print(f"{label:>10} {'':>7} " + " ".join(f"{figure(column):20.2f}" for column in columns))
    print(f"\nflattening and mending before that: mean {statistics.mean(preparing):.2f} ms")
    print(f"roof / CGAL's graph, by the means: {statistics.mean(columns[0]) / statistics.mean(columns[1]):.2f}")
    for name, found in errors.items():
        every = np.concatenate(found)
        print(
            f"{name}: depth error mean {every.mean():.3f}, p99 {np.quantile(every, 0.99):.3f}, max {every.max():.2f} mm"
        )


def p90(values: tuple[float, ...]) -> float:
    return float(np.quantile(values, 0.9))


def raster(flat: Flat) -> tuple[Array, Array]:
    """Points of the medial axis of the shape drawn in pixels of PIXEL_MM, and their distance from the outline."""
    pixel = PIXEL_MM / EM_MM
    corner = np.vstack(flat.rings).min(axis=0) - 2 * pixel
    shape = tuple((np.ceil((np.vstack(flat.rings).max(axis=0) - corner) / pixel) + 2).astype(int))
    ink = np.zeros(shape, dtype=bool)
    for ring in flat.rings:
        within = filled(*((ring - corner) / pixel - 0.5).T, shape)
        ink[within] ^= True
    line, distance = medial_axis(ink, return_distance=True)
    at = np.argwhere(line)
    return corner + (at + 0.5) * pixel, distance[line] * pixel


def depth_errors(surface: Roof, places: Array, distances: Array) -> Array:
    """How far each distance's depth is from the roof's at the same place. [mm]"""
    height = height_at(surface, places)
    errors: Array = np.abs(distances - height)[np.isfinite(height)] * DEPTH
    return errors


def cold_line() -> None:
    path, weight = cuts(families()["cinzel"])[0]
    drawn = glyphs(path, weight)
    line = [drawn[char] for char in LINE if char != " "]
    with tempfile.TemporaryDirectory() as folder:
        cache = Keep(Path(folder))
        with mock.patch.object(roofs, "keep", return_value=cache):
            cold = timed(lambda: [roof_of(outline, TOLERANCE_EM) for outline in line], runs=1)
            warm = timed(lambda: [roof_of(outline, TOLERANCE_EM) for outline in line])
        again = Keep(Path(folder))
        with mock.patch.object(roofs, "keep", return_value=again):
            disk = timed(lambda: [roof_of(outline, TOLERANCE_EM) for outline in line], runs=1)
    print(f"\n{len(line)} letters, {len(set(LINE) - {' '})} glyphs: {cold:.0f} ms with nothing kept,")
    print(f"{warm:.2f} ms from memory, {disk:.1f} ms from disk")


def corpus() -> None:
    count = wrong = 0
    longest = 0.0
    for family in families():
        start = time.process_time()
        for name, outline, surface in corpus_of(family):
            said = held_to_theory(outline, surface) + held_to_mending(outline, surface)
            said += held_to_offsets(surface) + held_to_cgal(surface)
            if said:
                wrong += 1
                print(f"  {name}: {'; '.join(said)}")
            count += 1
        longest = max(longest, time.process_time() - start)
        print(f"{family}: {count} letters so far, {wrong} not as they should be", flush=True)


def ornament() -> None:
    for name, shape in (("a wavy border", wavy_ring), ("a panel pierced by round holes", panel)):
        print(name)
        for vertices in (1000, 2000, 5000, 10000, 20000):
            flat = shape(vertices)
            spent = timed(lambda f=flat: roof(mended(f, TOLERANCE_EM)), runs=1)
            print(f"{vertices:>6} vertices: {spent:8.0f} ms, {1e3 * spent / vertices:.0f} μs a vertex", flush=True)


def wavy_ring(vertices: int) -> Flat:
    """A rosette's border of as many vertices: a wavy ring round a wavy hole."""
    half = vertices // 2
    turn = np.linspace(0, 2 * math.pi, half, endpoint=False)
    outer = 1 + 0.05 * np.sin(half / 40 * turn) + 0.02 * np.cos(7 * turn)
    inner = 0.8 + 0.04 * np.sin(half / 50 * turn + 1)
    rings = (
        np.column_stack((outer * np.cos(turn), outer * np.sin(turn))),
        np.column_stack((inner * np.cos(turn), inner * np.sin(turn)))[::-1].copy(),
    )
    return flat_of(list(rings))


def panel(vertices: int) -> Flat:
    """A square panel pierced by round holes of twenty vertices."""
    return flat_of(tracery(max(1, round(math.sqrt(vertices / 20)))))


if __name__ == "__main__":
    main()
