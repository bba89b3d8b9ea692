"""Which way each character runs: the Unicode bidirectional algorithm (UAX #9, revision 48) for one line.

A line of Hebrew or Arabic runs from right to left, figures and Latin words in it from left to right. Here are the
levels of the algorithm (even: left to right, odd: right to left) and the runs of one direction in the order in which
they stand, left to right. What is inside a run HarfBuzz orders. Rule names (X1, W4, N0 …) are the annex's.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from bidi.mirror import MIRRORED

__all__ = ["levels", "visual_runs", "visual_text"]

MOST_DEPTH = 125
"""max_depth of the annex (BD2)."""

_ISOLATES = ("LRI", "RLI", "FSI")
_EMBEDS = {"LRE": (0, ""), "RLE": (1, ""), "LRO": (0, "L"), "RLO": (1, "R")}
_REMOVED = {"LRE", "RLE", "LRO", "RLO", "PDF", "BN"}
_NEUTRAL = {"B", "S", "WS", "ON", "LRI", "RLI", "FSI", "PDI"}
_CANONICAL = {"\u2329": "\u3008", "\u232a": "\u3009"}
"""The two brackets that are the same as two others (BD16, canonical equivalence)."""
_MOST_BRACKETS = 63
"""Brackets that may stand open at a time (BD16)."""
_RAISE = ({"R": 1, "AN": 2, "EN": 2}, {"L": 1, "AN": 1, "EN": 1})
"""How far a kind is above its even or odd embedding level (I1, I2)."""


@dataclass(frozen=True, slots=True)
class _Embedding:
    level: int
    override: str
    isolate: bool


def visual_runs(
    text: str, base: int | None = None, whole: Iterable[tuple[int, int]] = ()
) -> tuple[tuple[int, int, bool], ...]:
    """(start, end, right to left) of each run of one direction, in the order they stand from left to right (L2).

    base is the line's own direction: 0 left to right, 1 right to left, None from its first strong character; whole
    are stretches of text (grapheme clusters) that no run may cut: they run as their first character does.
    """
    at = levels(text, base)
    for start, end in whole:
        at[start:end] = [at[start]] * (end - start)
    runs: list[tuple[int, int, int]] = []
    for place, level in enumerate(at):
        if runs and runs[-1][2] == level:
            runs[-1] = (runs[-1][0], place + 1, level)
        else:
            runs.append((place, place + 1, level))
    for level in range(max(at, default=0), 0, -1):
        runs = _turned_from(runs, level)
    return tuple((start, end, level % 2 == 1) for start, end, level in runs)


def visual_text(text: str) -> str:
    """The characters of a line in the order they are printed from left to right, brackets turned as their run is (L4).

    What the algorithm removes (X9) is left out.
    """
    out: list[str] = []
    for start, end, leftwards in visual_runs(text):
        run = [char for char in text[start:end] if unicodedata.bidirectional(char) not in _REMOVED]
        out += [MIRRORED.get(char, char) for char in reversed(run)] if leftwards else run
    return "".join(out)


def levels(text: str, base: int | None = None) -> list[int]:
    """The resolved level of every character, line end rules (L1) applied.

    Characters that the algorithm removes (X9) have the level of the one before.
    """
    original = [unicodedata.bidirectional(c) or "L" for c in text]
    classes = ["WS" if kind == "B" else kind for kind in original]  # a line is one paragraph
    pairs = _isolate_pairs(classes)
    own = _first_strong(classes, 0, len(classes), pairs) if base is None else base
    explicit, kinds = _explicit(classes, pairs, own)
    resolved = list(explicit)
    for sequence in _sequences(explicit, classes, pairs):
        start, end = _edges(sequence, explicit, classes, pairs, own)
        level = explicit[sequence[0]]
        resolved_kinds = _kinds(sequence, kinds, text, classes, (start, end, _direction(level)))
        for place, kind in zip(sequence, resolved_kinds, strict=True):
            resolved[place] = level + _RAISE[level % 2].get(kind, 0)
    _ends(classes, original, resolved, own)
    return resolved


def _turned_from(runs: list[tuple[int, int, int]], level: int) -> list[tuple[int, int, int]]:
    """L2 at one level: every stretch of runs at this level or higher is turned about."""
    out: list[tuple[int, int, int]] = []
    stretch: list[tuple[int, int, int]] = []
    for run in runs:
        if run[2] >= level:
            stretch.append(run)
        else:
            out += [*reversed(stretch), run]
            stretch = []
    return out + stretch[::-1]


def _isolate_pairs(classes: Sequence[str]) -> dict[int, int]:
    """Isolate initiators with the places of their matching PDIs, and back (BD9)."""
    pairs: dict[int, int] = {}
    stack: list[int] = []
    for place, kind in enumerate(classes):
        if kind in _ISOLATES:
            stack.append(place)
        elif kind == "PDI" and stack:
            start = stack.pop()
            pairs[start], pairs[place] = place, start
    return pairs


def _first_strong(classes: Sequence[str], start: int, end: int, pairs: dict[int, int]) -> int:
    """P2 and P3: the level of the first strong character, what stands in isolates left out."""
    place = start
    while place < end:
        kind = classes[place]
        if kind in ("L", "R", "AL"):
            return 0 if kind == "L" else 1
        place = pairs.get(place, end) if kind in _ISOLATES else place + 1
    return 0


def _explicit(classes: Sequence[str], pairs: dict[int, int], base: int) -> tuple[list[int], list[str]]:
    """X1 to X8: levels from embeddings, overrides and isolates, and the classes that overrides leave."""
    stack = [_Embedding(base, "", False)]
    found, kinds = [base] * len(classes), list(classes)
    too_many_isolates = too_many_embeds = valid_isolates = 0
    for place, kind in enumerate(classes):
        if kind in _EMBEDS:
            found[place] = stack[-1].level
            odd, override = _EMBEDS[kind]
            level = _next_level(stack[-1].level, odd)
            if level <= MOST_DEPTH and not too_many_isolates and not too_many_embeds:
                stack.append(_Embedding(level, override, False))
            elif not too_many_isolates:
                too_many_embeds += 1
        elif kind in _ISOLATES:
            found[place], kinds[place] = stack[-1].level, stack[-1].override or kind
            inner = _first_strong(classes, place + 1, pairs.get(place, len(classes)), pairs)
            level = _next_level(stack[-1].level, inner if kind == "FSI" else int(kind == "RLI"))
            if level <= MOST_DEPTH and not too_many_isolates and not too_many_embeds:
                valid_isolates += 1
                stack.append(_Embedding(level, "", True))
            else:
                too_many_isolates += 1
        elif kind == "PDI":
            if too_many_isolates:
                too_many_isolates -= 1
            elif valid_isolates:
                too_many_embeds = 0
                while not stack[-1].isolate:
                    stack.pop()
                stack.pop()
                valid_isolates -= 1
            found[place], kinds[place] = stack[-1].level, stack[-1].override or kind
        elif kind == "PDF":
            if not too_many_isolates:
                if too_many_embeds:
                    too_many_embeds -= 1
                elif not stack[-1].isolate and len(stack) > 1:
                    stack.pop()
            found[place] = stack[-1].level
        else:
            found[place] = stack[-1].level
            if kind != "BN":
                kinds[place] = stack[-1].override or kind
    return found, kinds


def _next_level(level: int, odd: int) -> int:
    """The least level above that is odd or even as asked."""
    return level + 1 if (level + 1) % 2 == odd else level + 2


def _sequences(found: Sequence[int], classes: Sequence[str], pairs: dict[int, int]) -> list[list[int]]:
    """Isolating run sequences (BD13) as places, what X9 removes left out."""
    runs: list[list[int]] = []
    for place in range(len(found)):
        if classes[place] in _REMOVED:
            continue
        if runs and found[runs[-1][-1]] == found[place]:
            runs[-1].append(place)
        else:
            runs.append([place])
    by_start = {run[0]: run for run in runs}
    sequences = []
    for run in runs:
        if classes[run[0]] == "PDI" and run[0] in pairs:
            continue
        sequence = list(run)
        while classes[sequence[-1]] in _ISOLATES and sequence[-1] in pairs:
            sequence += by_start[pairs[sequence[-1]]]
        sequences.append(sequence)
    return sequences


def _edges(
    sequence: Sequence[int], explicit: Sequence[int], classes: Sequence[str], pairs: dict[int, int], base: int
) -> tuple[str, str]:
    """sos and eos: the directions that a sequence begins and ends against (X10)."""
    first, last = sequence[0], sequence[-1]
    before = next((explicit[p] for p in range(first - 1, -1, -1) if classes[p] not in _REMOVED), base)
    after = next((explicit[p] for p in range(last + 1, len(explicit)) if classes[p] not in _REMOVED), base)
    if classes[last] in _ISOLATES and last not in pairs:
        after = base
    return _direction(max(before, explicit[first])), _direction(max(after, explicit[first]))


def _kinds(
    sequence: Sequence[int], kinds: Sequence[str], text: str, classes: Sequence[str], ways: tuple[str, str, str]
) -> list[str]:
    """W1 to N2 for one sequence; ways are sos, eos and the embedding direction."""
    start, end, embedding = ways
    seen = [kinds[p] for p in sequence]
    _weak(seen, start)
    _brackets(seen, [text[p] for p in sequence], [classes[p] for p in sequence], start, embedding)
    _neutral(seen, start, end, embedding)
    return seen


def _direction(level: int) -> str:
    return "R" if level % 2 else "L"


def _weak(seen: list[str], start: str) -> None:
    """W1 to W7."""
    before = start
    for i, kind in enumerate(seen):  # W1
        if kind == "NSM":
            seen[i] = "ON" if before in (*_ISOLATES, "PDI") else before
        before = seen[i]
    strong = start
    for i, kind in enumerate(seen):  # W2
        if kind in ("L", "R", "AL"):
            strong = kind
        elif kind == "EN" and strong == "AL":
            seen[i] = "AN"
    seen[:] = ["R" if kind == "AL" else kind for kind in seen]  # W3
    for i in range(1, len(seen) - 1):  # W4
        if seen[i - 1] == seen[i + 1] and (
            (seen[i] == "ES" and seen[i - 1] == "EN") or (seen[i] == "CS" and seen[i - 1] in ("EN", "AN"))
        ):
            seen[i] = seen[i - 1]
    for i, kind in enumerate(seen):  # W5
        if kind == "EN":
            for step, stop in ((-1, -1), (1, len(seen))):
                at = i + step
                while at != stop and seen[at] == "ET":
                    seen[at] = "EN"
                    at += step
    seen[:] = ["ON" if kind in ("ES", "ET", "CS") else kind for kind in seen]  # W6
    strong = start
    for i, kind in enumerate(seen):  # W7
        if kind in ("L", "R"):
            strong = kind
        elif kind == "EN" and strong == "L":
            seen[i] = "L"


def _brackets(seen: list[str], chars: list[str], classes: list[str], start: str, embedding: str) -> None:
    """N0: a pair of brackets runs with the strong text inside it, or with what stands before it."""
    for opened, closed in _bracket_pairs(seen, chars):
        inside = {_strong(kind) for kind in seen[opened + 1 : closed]} - {""}
        if embedding in inside:
            way = embedding
        elif inside:
            before = next((_strong(kind) for kind in reversed(seen[:opened]) if _strong(kind)), start)
            way = before if before != embedding else embedding
        else:
            continue
        for place in (opened, closed):
            seen[place] = way
            for after in range(place + 1, len(seen)):
                if classes[after] != "NSM":
                    break
                seen[after] = way


def _strong(kind: str) -> str:
    """L or R as N0 counts, figures as R; "" for what is neither."""
    return "R" if kind in ("R", "EN", "AN") else "L" if kind == "L" else ""


def _bracket_pairs(seen: list[str], chars: list[str]) -> list[tuple[int, int]]:
    """BD16, in the order of the opening brackets."""
    stack: list[tuple[str, int]] = []
    pairs = []
    for place, char in enumerate(chars):
        kind = unicodedata.category(char)
        if seen[place] != "ON" or kind not in ("Ps", "Pe") or char not in MIRRORED:
            continue
        if kind == "Ps":
            if len(stack) == _MOST_BRACKETS:
                return []
            stack.append((_same(MIRRORED[char]), place))
        else:
            for i in range(len(stack) - 1, -1, -1):
                if stack[i][0] == _same(char):
                    pairs.append((stack[i][1], place))
                    del stack[i:]
                    break
    return sorted(pairs)


def _same(char: str) -> str:
    return _CANONICAL.get(char, char)


def _neutral(seen: list[str], start: str, end: str, embedding: str) -> None:
    """N1 and N2."""
    i = 0
    while i < len(seen):
        if seen[i] not in _NEUTRAL:
            i += 1
            continue
        stop = i
        while stop < len(seen) and seen[stop] in _NEUTRAL:
            stop += 1
        before = _strong(seen[i - 1]) if i else start
        after = _strong(seen[stop]) if stop < len(seen) else end
        seen[i:stop] = [before if before == after else embedding] * (stop - i)
        i = stop


def _ends(classes: Sequence[str], original: Sequence[str], found: list[int], base: int) -> None:
    """L1, and the levels of what X9 removed."""
    for place, kind in enumerate(classes):
        if kind in _REMOVED:
            found[place] = found[place - 1] if place else base
    reset = True
    for place in range(len(classes) - 1, -1, -1):
        if original[place] in ("S", "B"):
            found[place], reset = base, True
        elif reset and (classes[place] in ("WS", *_ISOLATES, "PDI") or classes[place] in _REMOVED):
            found[place] = base
        else:
            reset = False
