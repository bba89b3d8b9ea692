"""Where the numbers of cuts stand on a bench card."""

from __future__ import annotations

import itertools
import math

import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from stopcut.shape.outline import Bounds
from stopcut.sheets.card_numbers import RADIUS_MM, Spot, Wanted, place_numbers

PAGE = Bounds(0, 0, 180, 220)
NO_EDGES = shapely.MultiLineString()
PLACES = st.tuples(st.floats(40, 140), st.floats(60, 160), st.floats(-180, 180))


@settings(max_examples=40)
@given(st.lists(PLACES, max_size=30))
def test_no_number_covers_another_and_all_are_on_the_page(places: list[tuple[float, float, float]]) -> None:
    wanted = [Wanted(n, (x, y), towards) for n, (x, y, towards) in enumerate(places)]
    spots = place_numbers(wanted, NO_EDGES, PAGE)
    assert [spot.number for spot in spots] == list(range(len(places)))
    for one, other in itertools.combinations(spots, 2):
        assert math.dist((one.x, one.y), (other.x, other.y)) > 2 * RADIUS_MM
    assert all(RADIUS_MM <= spot.x <= 180 - RADIUS_MM and RADIUS_MM <= spot.y <= 220 - RADIUS_MM for spot in spots)


def test_a_number_alone_stands_close_in_the_direction_wanted() -> None:
    (spot,) = place_numbers([Wanted(1, (90, 100), 90.0)], NO_EDGES, PAGE)
    assert spot.x == 90
    assert 0 < spot.y - 100 < 2 * RADIUS_MM


def test_a_number_wanted_on_its_line_stands_there_and_keeps_others_off() -> None:
    on, beside = place_numbers([Wanted(1, (90, 100), 0.0, inside=True), Wanted(2, (90, 100), 0.0)], NO_EDGES, PAGE)
    assert (on.x, on.y) == (90, 100)
    assert on.leader is None
    assert beside.leader is not None


def test_numbers_stand_off_a_letter_s_edge_where_there_is_room() -> None:
    edge = shapely.MultiLineString([[(0, 107), (180, 107)]])
    (spot,) = place_numbers([Wanted(1, (90, 100), 90.0)], edge, PAGE)
    assert shapely.Point(spot.x, spot.y).distance(edge) >= RADIUS_MM


def test_a_leader_runs_from_the_ring_to_its_cut() -> None:
    leader = Spot(1, 90.0, 120.0, (90.0, 100.0)).leader
    assert leader == ((90.0, 120.0 - RADIUS_MM), (90.0, 100.0))
