"""The bench plan as JSON."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from itertools import pairwise

from bench_boards import carved_letters

from stopcut.bench.planned import planned
from stopcut.sheets.plan_figures import plan_figures

PLAN = planned(carved_letters("cinzel", "ROW"), order="stroke")
FIGURES = plan_figures(PLAN)


def test_the_figures_are_json_and_no_number_is_endless() -> None:
    assert json.loads(json.dumps(FIGURES, allow_nan=False)) == FIGURES


def test_the_figures_are_named_as_promised() -> None:
    names = "order pick_ups minutes tools covered steps saves cuts strokes turns letters findings"
    assert list(FIGURES) == names.split()
    assert list(FIGURES["pick_ups"]) == ["middle", "easy", "stroke", "reading"]
    assert list(FIGURES["minutes"]) == ["low", "likely", "high", "timed", "pace"]
    assert list(FIGURES["covered"]) == ["wall", "centre", "floor"]
    assert {tuple(tool) for tool in FIGURES["tools"]} == {("name", "kind", "width_mm", "radius_mm", "cuts")}
    names = "id line letter stroke stroke_number kind tool technique side points length_mm depth_mm slice placements "
    names += "passes equals lines minutes after"
    assert {tuple(cut) for cut in FIGURES["cuts"]} == {tuple(names.split())}
    assert {tuple(one) for one in FIGURES["strokes"]} == {("line", "letter", "char", "number", "kind", "points")}
    assert {tuple(one) for one in FIGURES["turns"]} == {("line", "letter", "x_mm", "y_mm", "cuts", "leads", "why")}
    assert {tuple(one) for one in FIGURES["letters"]} == {("line", "letter", "reckoned")}


def test_every_stroke_that_a_cut_names_is_listed_with_its_kind() -> None:
    kinds = {(one["line"], one["letter"], one["number"]): one["kind"] for one in FIGURES["strokes"]}
    for cut in FIGURES["cuts"]:
        if cut["stroke_number"] is not None:
            assert kinds[cut["line"], cut["letter"], cut["stroke_number"]] == cut["stroke"]


def test_cuts_come_in_working_order_after_those_they_wait_for() -> None:
    done: set[str] = set()
    for cut in FIGURES["cuts"]:
        assert done.issuperset(cut["after"])
        done.add(cut["id"])


def test_a_straight_edge_has_no_radius() -> None:
    for tool in FIGURES["tools"]:
        assert (tool["radius_mm"] is None) == (tool["kind"] in ("chisel", "skew", "fishtail"))


def test_a_cut_is_as_long_and_as_deep_as_its_points() -> None:
    for cut in FIGURES["cuts"]:
        lines = [line["points"] for line in cut["lines"]]
        steps = [pair for line in lines for pair in pairwise(line)]
        assert math.isclose(sum(math.dist(a[:2], b[:2]) for a, b in steps), cut["length_mm"], abs_tol=0.01)
        assert max(point[2] for line in lines for point in line) == cut["depth_mm"]
        assert cut["points"] in lines


def test_every_cut_is_in_one_step_and_steps_come_in_the_same_order() -> None:
    assert [one for step in FIGURES["steps"] for one in step["cuts"]] == [cut["id"] for cut in FIGURES["cuts"]]
    names = "id line letter does says tool deepest_mm placements passes minutes cuts"
    assert {tuple(step) for step in FIGURES["steps"]} == {tuple(names.split())}
    assert len({step["id"] for step in FIGURES["steps"]}) == len(FIGURES["steps"])


def test_a_cut_that_no_tool_fits_names_none() -> None:
    lacking = replace(PLAN, cuts=(replace(PLAN.cuts[0], tool=None), *PLAN.cuts[1:]))
    assert plan_figures(lacking)["cuts"][0]["tool"] is None
