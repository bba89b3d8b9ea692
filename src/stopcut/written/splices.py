"""Surgery on a document's text: one value, one line or one table is changed and every other character stays.

These work on places (stopcut.written.places) and give the new text. They know TOML; what a document means, its room
knows.
"""

from __future__ import annotations

from collections.abc import Iterable

from stopcut.written.literals import key_literal
from stopcut.written.places import Entry, KeySpot, Path, Places, TextBlock, find_places

__all__ = [
    "add_block",
    "add_member",
    "block_text",
    "cut_blocks",
    "entry_before",
    "entry_of",
    "put_entry",
    "put_member_back",
    "remove",
    "remove_member",
    "set_other_key",
    "set_value",
]


def set_value(places: Places, path: Path, written: str) -> str:
    """Write a value at path: in place of the one there, else as a new key of its table, else in a new table."""
    spot = places.values.get(path)
    if spot is not None:
        return _spliced(places.text, spot.value_start, spot.value_end, written)
    if path in places.spots:  # a table stands where a value is to come: [line.arc], or arc.radius = …
        return set_value(find_places(remove(places, path)), path, written)
    table, name = path[:-1], key_literal(path[-1])
    if table in places.values:
        return _into_inline_table(places, table, f"{name} = {written}")
    block = _block(places, table)
    if block is not None:
        return put_entry(places, block, block.entries[-1] if block.entries else None, f"{name} = {written}")
    return _into_unheaded_table(places, table, name, written)


def remove(places: Places, path: Path) -> str:
    """Take out the key or table at path with all that is under it. The text as it is, if nothing is there."""
    if path in places.values and _entry_at(places, path) is None:
        return _out_of_inline_table(places, path)
    spans: list[tuple[int, int]] = []
    for block in places.blocks:
        if block.path and _under(block.path, path):
            spans.append((block.start, block.end))
        else:
            spans += [_lines_of(places, entry) for entry in block.entries if _under(entry.path, path)]
    return _cut(places.text, spans)


def entry_of(places: Places, path: Path) -> tuple[TextBlock, Entry] | None:
    """The lines that hold the value at path, if it has lines of its own."""
    for block in places.blocks:
        for entry in block.entries:
            if entry.path == path:
                return block, entry
    return None


def entry_before(block: TextBlock, entry: Entry) -> Entry | None:
    """The entry above this one in its block."""
    place = block.entries.index(entry)
    return block.entries[place - 1] if place else None


def put_entry(places: Places, block: TextBlock, after: Entry | None, lines: str) -> str:
    """Put lines into a block after one of its entries, or as its first; indented as that entry is."""
    text = places.text
    at = after.end if after is not None else block.body
    if after is not None and lines[:1] not in " \t":
        indent = text[after.start : after.spot.key_start]
        lines = (indent if indent.isspace() else "") + lines
    if at == len(text) and at > 0 and not text.endswith("\n"):
        return text + _newline(text) + lines
    return text[:at] + (lines if lines.endswith("\n") else lines + _newline(text)) + text[at:]


def add_block(places: Places, name: str, number: int, block: str) -> str:
    """Put a block in as the number-th of its name, counted from 1; at the end of them, or of the text, beyond that."""
    text, groups = places.text, places.members(name)
    at = groups[-1][-1].end if groups else len(text)
    if 1 <= number <= len(groups):
        at = groups[number - 1][0].start
    head, tail = text[:at], text[at:]
    if head and not head.endswith("\n"):
        head += _newline(text)
    if tail and not block.endswith("\n"):
        block += _newline(text)
    return head + block + tail


def block_text(places: Places, blocks: Iterable[TextBlock]) -> str:
    """The text of blocks, one after the other."""
    return "".join(places.text[block.start : block.end] for block in blocks)


def cut_blocks(places: Places, blocks: Iterable[TextBlock]) -> str:
    """The text without these blocks."""
    return _cut(places.text, [(block.start, block.end) for block in blocks])


def add_member(places: Places, path: Path, written: str) -> str:
    """Put a value at the end of the array at path, on a line of its own if the last one has one."""
    text, array = places.text, places.values[path]
    members = _members(places, path)
    if not members:
        return _spliced(text, array.value_start, array.value_end, f"[{written}]")
    last = members[-1]
    line_start = text.rfind("\n", 0, last.value_start) + 1
    indent = text[line_start : last.value_start]
    between = f",{_newline(text)}{indent}" if indent.isspace() and line_start > array.value_start else ", "
    return _spliced(text, last.value_end, last.value_end, between + written)


def remove_member(places: Places, path: Path, member: int) -> tuple[str, str]:
    """Take the member out of the array at path, and its comma. Gives the new text and the piece that was taken."""
    members = _members(places, path)
    start, end = members[member].value_start, members[member].value_end
    if member + 1 < len(members):
        end = members[member + 1].value_start
    elif member:
        start = members[member - 1].value_end
    return _spliced(places.text, start, end, ""), places.text[start:end]


def put_member_back(places: Places, path: Path, member: int, piece: str) -> str:
    """Put back what remove_member took, between the members that it stood between; its comma follows the need."""
    members, bare = _members(places, path), piece.strip(", \t\r\n")
    if not members:
        at, piece = places.values[path].value_start + 1, bare
    elif member < len(members):
        at, piece = members[member].value_start, f"{bare}, " if piece.startswith(",") else piece
    else:
        at, piece = members[-1].value_end, piece if piece.startswith(",") else f", {bare}"
    return _spliced(places.text, at, at, piece)


def set_other_key(places: Places, path: Path, key: str, written: str) -> str:
    """Write another key and its value in place of the one at path, which has a value."""
    spot = places.values[path]
    return _spliced(places.text, spot.key_start, spot.value_end, f"{key_literal(key)} = {written}")


def _into_inline_table(places: Places, table: Path, member: str) -> str:
    spot = places.values[table]
    pieces = [places.text[s.key_start : s.value_end] for _, s in _inline_members(places, table)]
    return _spliced(places.text, spot.value_start, spot.value_end, _inline([*pieces, member]))


def _out_of_inline_table(places: Places, path: Path) -> str:
    table = path[:-1]
    while table not in places.values:
        table = table[:-1]
    spot = places.values[table]
    kept = [places.text[s.key_start : s.value_end] for at, s in _inline_members(places, table) if not _under(at, path)]
    return _spliced(places.text, spot.value_start, spot.value_end, _inline(kept))


def _inline_members(places: Places, table: Path) -> list[tuple[Path, KeySpot]]:
    """The key and value pairs of an inline table as they are written, in order; not those of tables in it."""
    inside = [(at, spot) for at, spot in places.values.items() if len(at) > len(table) and at[: len(table)] == table]
    inside.sort(key=lambda pair: pair[1].key_start)
    members: list[tuple[Path, KeySpot]] = []
    for at, spot in inside:
        if not members or spot.key_start >= members[-1][1].value_end:
            members.append((at, spot))
        elif spot.key_start <= members[-1][1].key_start:
            members[-1] = (at, spot)
    return members


def _inline(pieces: list[str]) -> str:
    return "{ " + ", ".join(pieces) + " }" if pieces else "{}"


def _into_unheaded_table(places: Places, table: Path, name: str, written: str) -> str:
    """A key for a table that has no header: beside its dotted keys, or under a header made for it."""
    dotted = [(block, entry) for block in places.blocks for entry in block.entries if _under(entry.path, table)]
    if dotted:
        block, entry = dotted[-1]
        names = [key_literal(part) for part in table[len(block.path) :]]
        return put_entry(places, block, entry, f"{'.'.join([*names, name])} = {written}")
    newline = _newline(places.text)
    header = ".".join(key_literal(part) for part in table if isinstance(part, str))
    lines = f"{newline}[{header}]{newline}{name} = {written}{newline}"
    at = next((block.start for block in places.blocks if block.kind == "member"), len(places.text))
    head = places.text[:at]
    return head + (newline if head and not head.endswith("\n") else "") + lines + places.text[at:]


def _block(places: Places, table: Path) -> TextBlock | None:
    return next((block for block in places.blocks if block.path == table), None)


def _entry_at(places: Places, path: Path) -> Entry | None:
    found = entry_of(places, path)
    return None if found is None else found[1]


def _members(places: Places, path: Path) -> list[KeySpot]:
    members: list[KeySpot] = []
    while (spot := places.values.get((*path, len(members)))) is not None:
        members.append(spot)
    return members


def _lines_of(places: Places, entry: Entry) -> tuple[int, int]:
    """An entry's lines; the last of a text that ends without a line break takes the break above it along."""
    text, start = places.text, entry.start
    if entry.end == len(text) and not text.endswith("\n") and start > 0:
        start -= 2 if text[start - 2 : start] == "\r\n" else 1
    return start, entry.end


def _under(path: Path, top: Path) -> bool:
    return path[: len(top)] == top


def _newline(text: str) -> str:
    return "\r\n" if "\r\n" in text else "\n"


def _spliced(text: str, start: int, end: int, new: str) -> str:
    return text[:start] + new + text[end:]


def _cut(text: str, spans: list[tuple[int, int]]) -> str:
    kept, at = [], 0
    for start, end in sorted(spans):
        kept.append(text[at : max(at, start)])
        at = max(at, end)
    return "".join(kept) + text[at:]
