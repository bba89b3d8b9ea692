"""Every packaged family, letter by letter: the roof is whole, and judges from outside agree with it.

Every glyph is worked and held against what must be so of any mitred roof; every FEW-th (picked by its name) against
shapely's mitred offsets and largest inscribed circle, every RARE-th against CGAL's exact skeleton. The whole corpus
before all the judges: python -m benchmarks.groove --corpus.
"""

from __future__ import annotations

import zlib

import pytest
from glyphs import families
from roof_checks import corpus_of, held_to_cgal, held_to_mending, held_to_offsets, held_to_theory

FEW = 12
RARE = 40


def picked(name: str, every: int) -> bool:
    return zlib.crc32(name.encode()) % every == 0


def test_the_corpus_has_at_least_25_families() -> None:
    assert len(families()) >= 25


@pytest.mark.parametrize("family", families())
def test_every_letter_of_the_family_has_a_whole_roof_that_outside_judges_agree_with(family: str) -> None:
    seen = 0
    for name, outline, roof in corpus_of(family):
        wrong = held_to_theory(outline, roof) + held_to_mending(outline, roof)
        if picked(name, FEW):
            wrong += held_to_offsets(roof)
        if picked(name, RARE):
            wrong += held_to_cgal(roof)
        assert not wrong, f"{name}: {wrong}"
        seen += 1
    assert seen >= 60
