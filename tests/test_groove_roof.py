"""The roof of an outline: checked, kept, and refused in plain words where it cannot be."""

from __future__ import annotations

import math
import random
from pathlib import Path
from unittest import mock

import fontpkg
import numpy as np
import pytest
from glyphs import cuts, families, glyph
from judges import as_surface, height_at, mitred, shape_of, voronoi_axis
from roof_shapes import KNOWN, flat_of

from stopcut.errors import CarverError
from stopcut.groove import roof as roofs
from stopcut.groove import wavefront
from stopcut.groove.check import check_roof
from stopcut.groove.roof import TOLERANCE_EM, RoofError, pack_roof, roof, roof_of, unpack_roof
from stopcut.groove.roof_faces import walk_faces
from stopcut.groove.surface import Roof
from stopcut.groove.wavefront import Lost, Skeleton, skeleton
from stopcut.shape.flat import flatten
from stopcut.shape.outline import Contour, Outline, polygon

SQUARE = [(0, 0), (1, 0), (1, 1), (0, 1)]
BOW_TIE = [(0, 0), (1, 1), (1, 0), (0, 1)]


def letter(family: str = "cinzel", char: str = "R") -> Outline:
    path, weight = cuts(families()[family])[0]
    outline = glyph(path, weight, char)
    assert outline is not None
    return outline


def same(a: Roof, b: Roof) -> bool:
    pairs = [(a.nodes, b.nodes), (a.heights, b.heights), (a.arcs, b.arcs), (a.arc_faces, b.arc_faces)]
    pairs += list(zip(a.faces, b.faces, strict=True)) + list(zip(a.flat.rings, b.flat.rings, strict=True))
    pairs += list(zip(a.flat.sources, b.flat.sources, strict=True))
    pairs += list(zip(a.flat.breaks, b.flat.breaks, strict=True))
    return all(np.array_equal(x, y) and x.dtype == y.dtype for x, y in pairs)


def test_nodes_begin_with_the_outline_and_faces_with_their_edge() -> None:
    surface = roof_of(letter(char="é"), TOLERANCE_EM)
    n = surface.flat.size
    assert np.array_equal(surface.nodes[:n], np.concatenate(surface.flat.rings))
    assert not surface.heights[:n].any()
    assert (surface.heights[n:] > 0).all()
    first = 0
    for ring in surface.flat.rings:
        for i in range(len(ring)):
            assert surface.faces[first + i][:2].tolist() == [first + i, first + (i + 1) % len(ring)]
        first += len(ring)


def test_an_arcs_faces_are_the_ones_on_its_left_and_right() -> None:
    surface = roof_of(letter(), TOLERANCE_EM)
    for (start, end), (left, right) in zip(surface.arcs.tolist(), surface.arc_faces.tolist(), strict=True):
        for face, a, b in ((left, start, end), (right, end, start)):
            loop = surface.faces[face].tolist()
            assert loop[(loop.index(a) + 1) % len(loop)] == b


@pytest.mark.parametrize(("family", "char"), [("cinzel", "R"), ("eb_garamond", "g"), ("lato", "&"), ("jost", "N")])
def test_a_round_nosed_groove_can_only_be_deeper(family: str, char: str) -> None:
    surface = roof_of(letter(family, char), TOLERANCE_EM)
    places, distances = voronoi_axis(surface.flat.rings)
    heights = height_at(surface, places)
    inside = np.isfinite(heights)
    assert inside.sum() > 20
    deeper = (distances - heights)[inside]
    assert deeper.min() > -1e-6
    assert deeper.max() > 1e-4  # round a re-entrant corner it is
    assert (deeper < 1e-6).mean() > 0.3  # and away from those it is the same


@pytest.mark.parametrize("name", ["rectangle", "triangle", "5-gon", "64-gon", "needle"])
def test_where_nothing_is_re_entrant_a_round_nosed_groove_is_the_same(name: str) -> None:
    surface = roof(flat_of(KNOWN[name].rings))
    places, distances = voronoi_axis(surface.flat.rings)
    heights = height_at(surface, places)
    assert np.nanmax(np.abs(heights - distances)) < 1e-6
    assert np.isfinite(heights).any()


def test_an_empty_outline_has_an_empty_roof() -> None:
    surface = roof(flatten(Outline(()), 0.001))
    assert (len(surface.nodes), len(surface.faces), surface.arcs.shape) == (0, 0, (0, 2))
    assert same(unpack_roof(pack_roof(surface)), surface)


@pytest.mark.parametrize("scale", [1e-3, 0.3, 700.0, 1e6])
def test_an_ornament_in_mm_has_the_same_roof_at_any_size(scale: float) -> None:
    for name in ("frame", "cross", "star of thirteen"):
        known = KNOWN[name]
        large = as_surface(roof(flat_of(tuple([(x * scale, y * scale) for x, y in ring] for ring in known.rings))))
        assert large.height / scale == pytest.approx(known.height, abs=4e-7)
        assert large.volume / scale**3 == pytest.approx(known.volume, abs=4e-7)


def test_a_roof_packs_and_unpacks_to_the_last_bit() -> None:
    surface = roof_of(letter(char="&"), TOLERANCE_EM)
    packed = pack_roof(surface)
    assert same(unpack_roof(packed), surface)
    assert len(packed) < 200 * surface.flat.size


def test_a_letter_is_worked_once_and_found_on_disk_by_the_next_run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("STOPCUT_HOME", str(tmp_path))
    outline = letter()
    first = roof_of(outline, TOLERANCE_EM)
    with mock.patch.object(wavefront, "skeleton", side_effect=AssertionError("worked again")):
        assert roof_of(outline, TOLERANCE_EM) is first
        roofs.keep().forget()
        assert same(roof_of(outline, TOLERANCE_EM), first)
    assert roof_of(outline, 2 * TOLERANCE_EM).flat.size < first.flat.size


def test_another_version_is_worked_anew(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("STOPCUT_HOME", str(tmp_path))
    first = roof_of(letter(), TOLERANCE_EM)
    monkeypatch.setattr(roofs, "ROOF_VERSION", roofs.ROOF_VERSION + 1)
    again = roof_of(letter(), TOLERANCE_EM)
    assert again is not first
    assert same(again, first)


def test_a_shape_that_crosses_itself_is_refused_in_plain_words() -> None:
    with pytest.raises(RoofError, match="may cross or touch itself") as refused:
        roof(flat_of((BOW_TIE,)))
    assert isinstance(refused.value, CarverError)
    assert refused.value.reason
    with pytest.raises(RoofError, match="numbers"):
        roof(flat_of(([(0, 0), (1, 0), (float("nan"), 1)],)))
    with pytest.raises(RoofError, match="numbers"):
        roof_of(polygon([(0, 0), (1, 0), (float("inf"), 1)]), TOLERANCE_EM)


def test_a_shape_that_crosses_itself_is_mended_on_the_way_in() -> None:
    surface = as_surface(roof_of(polygon(BOW_TIE), TOLERANCE_EM))
    assert surface.area == pytest.approx(0.25, abs=1e-6)  # the part that is gone round anticlockwise


def test_a_front_that_fails_is_tried_again_with_its_vertices_shaken() -> None:
    calls: list[np.ndarray] = []

    def at_first_lost(rings: list[np.ndarray]) -> object:
        calls.append(rings[0])
        if len(calls) < 3:
            raise Lost("for trial")
        return skeleton(rings)

    with mock.patch.object(wavefront, "skeleton", at_first_lost):
        surface = roof(flat_of((SQUARE,)))
    assert len(calls) == 3
    assert 0 < np.abs(surface.flat.rings[0] - SQUARE).max() <= 1.1 * roofs.JITTER
    assert as_surface(surface).volume == pytest.approx(1 / 6, abs=1e-5)


def test_no_failure_of_the_front_reaches_the_caller_but_as_a_roof_error() -> None:
    for wrong in (ZeroDivisionError("x"), IndexError("x"), KeyError("x"), OverflowError("x"), ValueError("x")):
        with mock.patch.object(wavefront, "skeleton", side_effect=wrong), pytest.raises(RoofError):
            roof(flat_of((SQUARE,)))


def sabotaged(found: Skeleton, outline_nodes: int, chance: random.Random) -> Skeleton:
    """A right skeleton with one thing made wrong."""
    x, y, time, arcs = list(found.x), list(found.y), list(found.time), list(found.arcs)
    node = chance.randrange(outline_nodes, len(x))
    which, other = chance.sample(range(len(arcs)), 2)
    start, end, left, right = arcs[which]
    kind = chance.randrange(6)
    if kind == 0:
        time[node] += chance.choice([-1, 1]) * 10 ** chance.uniform(-6, -1)
    elif kind == 1:
        angle, far = chance.uniform(0, 6.28), 10 ** chance.uniform(-4, -1)
        x[node], y[node] = x[node] + far * math.cos(angle), y[node] + far * math.sin(angle)
    elif kind == 2:
        arcs[which] = (start, end, right, left)
    elif kind == 3:
        del arcs[which]
    elif kind == 4:
        arcs[which], arcs[other] = (start, arcs[other][1], left, right), (arcs[other][0], end, *arcs[other][2:])
    else:
        arcs[which] = (start, end, left, chance.choice([f for f in range(outline_nodes) if f != right]))
    return Skeleton(x, y, time, arcs)


def checked(found: Skeleton, sizes: list[int]) -> None:
    faces = walk_faces(found, sizes)
    check_roof(np.column_stack((found.x, found.y)), np.array(found.time), faces)


def test_walking_and_checking_pass_every_right_roof_and_no_sabotaged_one() -> None:
    chance = random.Random(5)
    for family, char in (("cinzel", "R"), ("eb_garamond", "g"), ("lato", "&"), ("zilla_slab", "8")):
        flat = roof_of(letter(family, char), TOLERANCE_EM).flat
        found, sizes = skeleton(flat.rings), [len(ring) for ring in flat.rings]
        checked(found, sizes)
        for _ in range(150):
            wrong = sabotaged(found, flat.size, chance)
            if wrong != found:
                with pytest.raises(Lost):
                    checked(wrong, sizes)


def _cross(half: float, arm: float, radius: float) -> Outline:
    """A cross of equal strokes whose four crotches are quarter rounds, by cubics true to 3e-4 of the radius."""
    far, near = half + arm, half + radius
    kappa = 0.5522847498 * radius  # the classic quarter circle
    quarter = [
        ((far, half), (near, half)),
        ((near, half), (near - kappa, half), (half, near - kappa), (half, near)),
        ((half, near), (half, far)),
        ((half, far), (-half, far)),
    ]
    segments = []
    for turn in range(4):
        c, s = (1, 0, -1, 0)[turn], (0, 1, 0, -1)[turn]
        segments += [tuple((c * x - s * y, s * x + c * y) for x, y in segment) for segment in quarter]
    return Outline((Contour(tuple(segments)),))


@pytest.mark.parametrize("radius", [0.002, 0.005, 0.01, 0.03])
@pytest.mark.parametrize("finer", [1, 2, 4])
def test_where_crotches_are_rounds_the_groove_is_as_deep_as_they_are_far(radius: float, finer: int) -> None:
    # The deepest point of a cross is its middle: √2 · (half + radius) − radius from each of the four rounds.
    found = roof_of(_cross(0.05, 0.3, radius), TOLERANCE_EM / finer)
    assert found.heights.max() == pytest.approx(math.sqrt(2) * (0.05 + radius) - radius, rel=5e-3)


def _two_discs(apart: float) -> Outline:
    """Two discs of radius 0.1 whose middles stand 2 · apart · 0.1 from each other, as one outline of two arcs by cubics
    true to 1e-6 of the radius."""
    half = math.pi - math.acos(apart)  # each arc goes round from one crotch to the other
    pieces = 8
    segments = []
    for middle, start in ((apart, -half), (-apart, math.pi - half)):
        for i in range(pieces):
            a, b = start + 2 * half * i / pieces, start + 2 * half * (i + 1) / pieces
            k = 4 / 3 * math.tan((b - a) / 4)  # the handle of a circular arc
            points = [
                (math.cos(a), math.sin(a)),
                (math.cos(a) - k * math.sin(a), math.sin(a) + k * math.cos(a)),
                (math.cos(b) + k * math.sin(b), math.sin(b) - k * math.cos(b)),
                (math.cos(b), math.sin(b)),
            ]
            segments.append([(0.1 * (middle + x), 0.1 * y) for x, y in points])
    for i, segment in enumerate(segments):  # each begins where the one before ends, to the last bit
        segment[0] = segments[i - 1][-1]
    return Outline((Contour(tuple(tuple(segment) for segment in segments)),))


@pytest.mark.parametrize("apart", [0.5, 0.8, 0.9, 0.95])
def test_from_a_crotch_of_two_bowls_the_mitre_runs_between_their_tangents(apart: float) -> None:
    # Radius 1: the crotches stand at (0, ±h), h² = 1 − apart²; their walls' normals there are (±apart, −h), so that a
    # mitre runs in by 1/h while the walls come in by 1, and both meet in the middle at a height of h².
    found = roof_of(_two_discs(apart), TOLERANCE_EM)
    (height,) = height_at(found, np.array([[1e-7, 1e-8]]))
    assert height == pytest.approx(0.1 * (1 - apart**2), rel=5e-3)


@pytest.mark.parametrize(("family", "weight", "char"), [("josefin-sans", 300, "b"), ("josefin-sans", 700, "3")])
def test_a_letter_of_bowls_is_as_deep_as_mitred_offsets_of_a_much_finer_outline(
    family: str, weight: int, char: str
) -> None:
    outline = glyph(fontpkg.family(family).files[0].path, weight, char)
    assert outline is not None
    deep = float(roof_of(outline, TOLERANCE_EM).heights.max())
    fine = shape_of(flatten(outline, TOLERANCE_EM / 64, area_true=False).rings)
    assert not mitred(fine, deep * 0.995).is_empty
    assert mitred(fine, deep * 1.005).is_empty


@pytest.mark.parametrize("char", "bdpq")
def test_a_slit_where_a_bowl_leaves_its_stem_is_not_taken_for_a_hair(char: str) -> None:
    outline = glyph(fontpkg.family("bodoni-moda").files[0].path, 400, char)
    assert outline is not None
    assert roof_of(outline, TOLERANCE_EM).flat.area == pytest.approx(outline.area, rel=5e-5)
