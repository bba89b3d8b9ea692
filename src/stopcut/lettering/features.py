"""OpenType features as a job asks for them: which are on, which are off, and which a face does not have."""

from __future__ import annotations

import regex

from stopcut.errors import BadFace

__all__ = ["FEATURE_NAMES", "asked_features", "features_of", "only_figures"]

STANDARD_OFF = ("liga", "clig")
"""Ligatures a type designer has on and a carver asks for: letters are cut one by one (common practice)."""
FEATURE_NAMES = {
    "smcp": "small capitals",
    "c2sc": "small capitals for capitals",
    "onum": "old-style figures",
    "lnum": "lining figures",
    "tnum": "figures of one width",
    "liga": "standard ligatures",
    "dlig": "discretionary ligatures",
    "hlig": "historical ligatures",
    "salt": "stylistic alternates",
    "swsh": "swashes",
    "case": "forms that sit well with capitals",
    "frac": "fractions",
    "titl": "titling capitals",
}
"""What people call the features they ask for (OpenType specification, registered features)."""

_FIGURES = regex.compile(r"[\p{Nd}\s\p{P}]*\p{Nd}[\p{Nd}\s\p{P}]*")
_FEATURE = regex.compile(r"(?P<off>-)?(?P<tag>[A-Za-z0-9]{4})(?:=(?P<value>\d{1,3}))?")


def only_figures(words: str) -> bool:
    """Whether a line holds figures and nothing but what goes with them: spaces, points, hyphens (house numbers)."""
    return _FIGURES.fullmatch(words) is not None


def features_of(tags: tuple[str, ...], words: str) -> dict[str, int]:
    """OpenType features to shape with: standard ligatures off unless asked for, lining figures on for figures alone.

    A tag is "smcp", "salt=2" for an alternate, or "-kern" to turn a feature off. Raises BadFace for what is no tag.
    """
    features = dict.fromkeys(STANDARD_OFF, 0)
    if only_figures(words):
        features["lnum"] = 1
    for tag in tags:
        match = _FEATURE.fullmatch(tag)
        if match is None:
            raise BadFace(f"'{tag}' is no OpenType feature: a feature has four letters, such as smcp, onum or liga.")
        features[match["tag"]] = 0 if match["off"] else int(match["value"] or 1)
    if features.get("onum"):
        features.pop("lnum", None)
    return features


def asked_features(tags: tuple[str, ...]) -> tuple[str, ...]:
    """The features that are turned on by these tags, each once, in their order."""
    matches = (_FEATURE.fullmatch(tag) for tag in tags)
    on = (match["tag"] for match in matches if match and not match["off"] and match["value"] != "0")
    return tuple(dict.fromkeys(on))
