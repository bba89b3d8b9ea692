"""What a carver should know of how a face was used, as findings."""

from __future__ import annotations

from collections.abc import Set

from stopcut.errors import Finding, Severity
from stopcut.lettering.facts import is_false_height
from stopcut.lettering.features import FEATURE_NAMES, asked_features
from stopcut.lettering.stems import StemChoice

__all__ = ["damaged", "false_height", "lacking_features", "nearest_stem", "nearest_weight", "old_style", "unjoined"]


def nearest_weight(says: str) -> tuple[Finding, ...]:
    """Another weight than the wanted one was taken; says is the sentence for it, "" where it was not."""
    if not says:
        return ()
    return (Finding("nearest-weight", Severity.NOTE, says, "Choose a face that has the weight if it matters."),)


def nearest_stem(choice: StemChoice, wanted_em: float) -> tuple[Finding, ...]:
    """The stem asked for could not be had."""
    family = choice.file.family
    if choice.reached:
        return ()
    if choice.stem_em is None:
        says = f"The I of {family} has no upright stem to measure, so no weight could be chosen by it."
    else:
        off = 100 * (choice.stem_em / wanted_em - 1)
        which = "thicker" if off > 0 else "thinner"
        says = f"The nearest stem that {family} has is {abs(off):.1f} % {which} than the one asked for."
    return (Finding("nearest-stem", Severity.NOTE, says, "Take this stem, or a face with other weights."),)


def damaged(tables: tuple[str, ...], family: str) -> tuple[Finding, ...]:
    """Parts of the font file no longer match their checksums."""
    if not tables:
        return ()
    says = f"The font file of {family} is not as it was made: the checksums of {', '.join(tables)} are wrong."
    return (Finding("face-damaged", Severity.LOOK, says, "Look at its letters closely, or fetch the font again."),)


def lacking_features(tags: tuple[str, ...], has: Set[str], family: str) -> tuple[Finding, ...]:
    """Features asked for that the face has no rules for. Kerning is no matter: the spacing is our own."""
    remedy = f"It has {', '.join(sorted(has))}." if has else "It has no features at all."
    return tuple(
        Finding(
            "face-lacks-feature",
            Severity.NOTE,
            f"{family} has no {FEATURE_NAMES.get(tag, 'feature')} ({tag}): the line is drawn without.",
            remedy,
        )
        for tag in asked_features(tags)
        if tag not in has and tag != "kern"
    )


def false_height(stated_em: float, measured_em: float, family: str) -> tuple[Finding, ...]:
    """The cap height that the font states is not that of its letters."""
    if not stated_em > 0 or not is_false_height(stated_em, measured_em):
        return ()
    says = (
        f"{family} says that its capitals are {stated_em:.3g} of its size high; its letters stand {measured_em:.3g} "
        "high, and that was taken."
    )
    return (Finding("false-cap-height", Severity.NOTE, says, "Nothing to mend; look at the height of the letters."),)


def old_style(has: Set[str], family: str) -> tuple[Finding, ...]:
    """Figures of an old style, with tails, stand beside capitals; has are the face's features."""
    says = f"The figures of {family} are old-style: beside capitals they look small and uneven in height."
    remedy = (
        'Set features = ["lnum"] for figures as high as capitals.' if "lnum" in has else "Take a face that has others."
    )
    return (Finding("old-style-figures", Severity.NOTE, says, remedy),)


def unjoined(family: str) -> tuple[Finding, ...]:
    """The letters of a writing that joins its letters stand apart: the words are misspelt."""
    says = f"{family} does not join these letters, though their writing joins them: carved so, the words are misspelt."
    remedy = "Take a face that joins them, and have somebody who reads the writing look at it."
    return (Finding("not-joined", Severity.STOP, says, remedy),)
