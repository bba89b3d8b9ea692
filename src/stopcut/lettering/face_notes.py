"""What a carver should know of how a face was used, as findings."""

from __future__ import annotations

from collections.abc import Set

from stopcut.errors import Finding, Severity
from stopcut.lettering.features import FEATURE_NAMES, asked_features
from stopcut.lettering.stems import StemChoice

__all__ = ["damaged", "lacking_features", "nearest_stem", "nearest_weight"]


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
