"""Ornaments: asking only what is near gives what asking everything gives."""

from __future__ import annotations

from unittest import mock

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from judges import as_surface, mitred, shape_of, volume_by_offsets
from roof_shapes import Array, flat_of, star_shaped, tracery

from stopcut.groove import edge_events, wavefront
from stopcut.groove.edge_events import first_hits
from stopcut.groove.front import Front
from stopcut.groove.roof import roof


def asked(rings: list[Array]) -> tuple[Array, Array, Array, Array]:
    """What the wavefront asks at its start."""
    front = Front(rings)
    reflex = list(front.reflex)
    places = np.array([front.x, front.y, front.vx, front.vy])[:, reflex]
    lines = np.array([front.ex, front.ey, front.ec])
    return (
        places,
        lines,
        np.array([front.at_out, front.by_out]),
        np.array([front.at_into, front.by_into])[:, front.next],
    )


@given(st.lists(star_shaped(), min_size=1, max_size=3))
@settings(max_examples=60)
def test_first_hits_are_the_same_whether_all_or_only_near_edges_are_tried(
    rings: list[list[tuple[float, float]]],
) -> None:
    question = asked([np.add(ring, (3 * i, 0)) for i, ring in enumerate(rings)])
    if not question[0].shape[1]:
        return
    all_times, all_edges = first_hits(*question)
    with mock.patch.object(edge_events, "FEW_PAIRS", 0):
        near_times, near_edges = first_hits(*question)
    assert np.array_equal(all_times, near_times)
    ties = all_edges != near_edges  # a hit on a vertex is one on both its edges
    assert np.allclose(all_times[ties], near_times[ties], atol=1e-12)


def test_a_pierced_panel_is_the_same_asked_in_the_small_and_in_the_large() -> None:
    flat = flat_of(tracery(6))
    few = as_surface(roof(flat))
    with mock.patch.object(edge_events, "FEW_PAIRS", 0), mock.patch.object(wavefront, "MANY", 3):
        many = as_surface(roof(flat))
    assert many.nodes == pytest.approx(few.nodes, abs=1e-12)
    assert many.volume == pytest.approx(few.volume, rel=1e-12)


def test_an_ornament_of_thousands_of_vertices_has_the_volume_of_its_offsets() -> None:
    surface = roof(flat_of(tracery(14)))
    assert surface.flat.size > 3900
    ours, shape = as_surface(surface), shape_of(surface.flat.rings)
    assert ours.volume == pytest.approx(volume_by_offsets(lambda t: mitred(shape, t).area, ours.height), rel=0.005)
    assert ours.area == pytest.approx(shape.area, rel=1e-9)
