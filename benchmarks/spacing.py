"""How near the spacing comes to type designers, family by family, and the proof sheet of words set three ways.

For each family all ordered pairs: our gap between ink extents less the designer's, the mean difference taken away, root
mean square, in thousandths of the cap height. Capitals once with every pair alike and once by use in English. Beside
them what equal gaps and equal least distances of ink would score, and ours with tuck fitted to the face.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from functools import cached_property
from itertools import product
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from benchmarks.designers import (
    CAPITALS,
    FIGURES,
    KEPT_ASIDE,
    LOOKS,
    SMALL,
    THINLY_KERNED,
    Family,
    families,
    use_in_english,
)
from benchmarks.proof import draw_proof
from stopcut.setting.profile import Profile, profile
from stopcut.setting.spacing import Manner, manner_of, pair_gaps, sides
from stopcut.setting.wood_left import least_gaps

Array = NDArray[np.float64]
PROOF = Path("docs/spacing-proof.png")
LEAST_TUCK, MOST_TUCK = 0.0, 4.0
"""What the job file allows."""
COLUMNS = (
    "equal",
    "by use",
    "tuck",
    "by use",
    "fitted",
    "small",
    "figures",
    "mixed",
    "=gaps",
    "by use",
    "=least",
    "by use",
)


@dataclass(frozen=True)
class Scored:
    """A family with what our model and two plain rules make of it."""

    family: Family
    use: Array

    @cached_property
    def manner(self) -> Manner:
        """The model's numbers for the family."""
        return manner_of(self.family.face)

    @cached_property
    def profiles(self) -> dict[str, Profile]:
        """Profiles by character."""
        cap = self.family.face.cap_height
        return {char: profile(letter.outline, cap) for char, letter in self.family.letters.items()}

    def ours(self, firsts: str, seconds: str, tuck: float = 1.0) -> Array:
        """Our gaps, up to a constant, (firsts, seconds)."""
        rights = {char: sides(self.profiles[char], self.manner)[1] for char in firsts}
        lefts = {char: sides(self.profiles[char], self.manner)[0] for char in seconds}
        pairs = list(product(firsts, seconds))
        gaps = pair_gaps([rights[a] for a, _ in pairs], [lefts[b] for _, b in pairs], self.manner, tuck)
        return gaps.reshape(len(firsts), len(seconds))

    def least(self) -> Array:
        """Gaps of capitals whose inks all come equally near, measured straight across, up to a constant."""
        pairs = [(self.profiles[a], self.profiles[b]) for a, b in product(CAPITALS, CAPITALS)]
        return least_gaps(pairs, 0.0).reshape(26, 26)

    def fitted_tuck(self) -> tuple[float, Array]:
        """The tuck a carver could set, 0 to 4, that suits the face best (all pairs alike), and our gaps with it."""
        one, two = self.ours(CAPITALS, CAPITALS), self.ours(CAPITALS, CAPITALS, 2.0)
        gaps, tuck = _best_tuck(one, two, self.family.table(CAPITALS, CAPITALS))
        return tuck, gaps

    @cached_property
    def row(self) -> tuple[float, ...]:
        """The table's columns; nan where the family is no reference."""
        designer = self.family.table(CAPITALS, CAPITALS)
        ours = self.ours(CAPITALS, CAPITALS)
        tuck, tucked = self.fitted_tuck()
        least = self.least()
        out = [_off(ours, designer), _off(ours, designer, self.use)]
        out += [_off(tucked, designer), _off(tucked, designer, self.use), tuck]
        for firsts, seconds in ((SMALL, SMALL), (FIGURES, FIGURES), (CAPITALS, SMALL)):
            out.append(_off(self.ours(firsts, seconds), self.family.table(firsts, seconds)))
        if self.family.figures_of_one_width:
            out[6] = float("nan")
        flat = np.zeros((26, 26))
        out += [_off(flat, designer), _off(flat, designer, self.use)]
        out += [_off(least, designer), _off(least, designer, self.use)]
        return tuple(out)


def main() -> None:
    use = use_in_english()
    scored = [Scored(family, use) for family in families()]
    kept = [one for one in scored if one.family.name in KEPT_ASIDE]
    tuned = [one for one in scored if one.family.name not in KEPT_ASIDE]
    print("Off the designers' gaps, root mean square in 1/1000 of cap height\n")
    print(f"{'':22}{'capitals':>16}{'with tuck fitted':>24}{'':>27}{'equal gaps':>18}{'equal least':>18}")
    print(f"{'':22}" + "".join(f"{column:>9}" for column in COLUMNS))
    for title, group in (("tuned", tuned), ("kept aside", kept)):
        print(f"\n{title}")
        for one in sorted(group, key=lambda one: one.family.name):
            print(_line(one.family.name, one.row))
        print(_line(f"mean of {len(group)}", tuple(np.nanmean([one.row for one in group], axis=0))))
        print(_line("worst", tuple(np.nanmax([one.row for one in group], axis=0))))
    print("\nThe kept-aside families were looked at " + f"{len(LOOKS)} times: " + "; ".join(LOOKS) + ".")
    print("\n" + _floor(tuned, kept))
    one_width = [one.family.name for one in scored if one.family.figures_of_one_width]
    print("Figures all of one width, so no reference for figures: " + ", ".join(one_width) + ".")
    print("Thinly kerned: " + ", ".join(THINLY_KERNED) + ". Left out since its capitals are not kerned: Cardo.")
    target = Path(sys.argv[1]) if len(sys.argv) > 1 else PROOF
    draw_proof(target)
    print(f"Proof sheet: {target}")


def _floor(tuned: list[Scored], kept: list[Scored]) -> str:
    """What the kept-aside families would score if every pair of capitals had a number of its own besides.

    The numbers are what the tuned designers' gaps have over ours, on the mean. A rule that sees outlines alone, and
    knows no letter, may not have them: this is the least that one rule for all faces can come to.
    """
    own = np.mean([_over(one) for one in tuned], axis=0)
    plain, fitted = [], []
    for one in kept:
        designer, ours = one.family.table(CAPITALS, CAPITALS), one.ours(CAPITALS, CAPITALS) + own
        tucked, _ = _best_tuck(ours, one.ours(CAPITALS, CAPITALS, 2.0) + own, designer)
        plain.append((_off(ours, designer), _off(ours, designer, one.use)))
        fitted.append((_off(tucked, designer), _off(tucked, designer, one.use)))
    (a, b), (c, d) = np.mean(plain, axis=0), np.mean(fitted, axis=0)
    scores = f"{a:.1f} / {b:.1f}, with tuck fitted {c:.2f} / {d:.2f}"
    return f"With a number of its own for every pair besides, from the tuned families, the kept-aside score {scores}."


def _over(one: Scored) -> Array:
    """What a designer's gaps have over ours, the mean taken away."""
    over = one.family.table(CAPITALS, CAPITALS) - one.ours(CAPITALS, CAPITALS)
    centred: Array = over - over.mean()
    return centred


def _best_tuck(one: Array, two: Array, designer: Array) -> tuple[Array, float]:
    """Gaps with the tuck, 0 to 4, that comes nearest to the designer's (all pairs alike), and that tuck.

    one and two are the gaps with tuck 1 and 2, between and beyond which they change evenly.
    """
    changes, lacks = two - one, designer - one
    changes, lacks = changes - changes.mean(), lacks - lacks.mean()
    by = float((changes * lacks).sum() / (changes * changes).sum())
    by = min(max(by, LEAST_TUCK - 1), MOST_TUCK - 1)
    return one + by * (two - one), 1 + by


def _line(name: str, row: tuple[float, ...]) -> str:
    cells = ["      –  " if np.isnan(x) else f"{x:9.2f}" if i == 4 else f"{x:9.1f}" for i, x in enumerate(row)]
    return f"{name:22}" + "".join(cells)


def _off(ours: Array, designer: Array, weights: Array | None = None) -> float:
    """Root mean square difference with its mean taken away."""
    weights = np.full(ours.shape, 1 / ours.size) if weights is None else weights
    error = ours - designer
    error = error - (error * weights).sum()
    return float(np.sqrt((error * error * weights).sum()))


if __name__ == "__main__":
    main()
