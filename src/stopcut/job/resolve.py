"""From the document as written to the job the rooms work from: defaults, inheritance, names with units."""

from __future__ import annotations

from pathlib import Path
from typing import Any, cast

from stopcut.job.document import ArcTable, BoardTable, Document, LineTable, MatchTable
from stopcut.job.job import (
    DEFAULTS,
    Arc,
    Avoid,
    Board,
    Border,
    Columns,
    Job,
    Line,
    Match,
    NamedStroke,
    Ornament,
    Shift,
    WidenedLetter,
)

__all__ = ["resolved"]


def resolved(document: Document, *, name: str, text: str, base_folder: Path | None) -> Job:
    """The job of a document that has no faults."""
    return Job(
        name=name,
        title=document.title,
        units=cast(Any, _or_default(document.units, "units")),
        wanted_by=document.wanted_by,
        board=_board(document.board),
        lines=tuple(_line(document, line, number) for number, line in enumerate(document.line, 1)),
        ornaments=_ornaments(document),
        border=_border(document),
        avoid=tuple(Avoid(a.what, a.x, a.y, a.radius, a.width, a.height) for a in document.avoid),
        match=_match(document.match),
        wall_deg=float(_or_default(document.groove.wall, "groove.wall")),
        flat_bottom_mm=document.groove.flat_bottom if isinstance(document.groove.flat_bottom, float) else None,
        face_off_mm=float(_or_default(document.groove.face_off, "groove.face_off")),
        planed_mm=float(_or_default(document.groove.planed, "groove.planed")),
        columns=_columns(document),
        text=text,
        base_folder=base_folder,
    )


def _or_default(value: Any, key: str) -> Any:
    return DEFAULTS[key].value if value is None else value


def _board(table: BoardTable) -> Board:
    share = float(DEFAULTS["board.margin"].value)
    return Board(
        width_mm=table.width,
        height_mm=table.height,
        thickness_mm=table.thickness,
        margin_mm=min(table.width, table.height) * share if table.margin is None else table.margin,
        wood=_or_default(table.wood, "board.wood"),
        grain=_or_default(table.grain, "board.grain"),
    )


def _line(document: Document, line: LineTable, number: int) -> Line:
    def of(key: str) -> Any:
        """The line's own setting, else [lettering]'s, else the default."""
        own = getattr(line, key)
        return own if own is not None else _or_default(getattr(document.lettering, key), f"lettering.{key}")

    weight, stem = _weight_and_stem(document, line)
    cap_height = of("cap_height")
    line_gap = of("line_gap")
    thinnest = document.lettering.thinnest if line.thinnest is None else line.thinnest
    flat_bottom = document.groove.flat_bottom if line.flat_bottom is None else line.flat_bottom
    features = document.lettering.features if line.features is None else line.features
    return Line(
        number=number,
        words=line.words,
        face=of("face"),
        weight=weight,
        stem_mm=stem,
        cap_height_mm=None if cap_height == "fit" else cap_height,
        size=float(_or_default(line.size, "line.size")),
        openness=of("openness"),
        tuck=of("tuck"),
        align=of("align"),
        word_space=of("word_space"),
        line_gap=1.0 if isinstance(line_gap, tuple) else line_gap,
        line_gap_mm=line_gap[1] if isinstance(line_gap, tuple) else None,
        drop_mm=float(_or_default(line.drop, "line.drop")),
        arc=_arc(line.arc),
        features=features or (),
        thinnest_mm=thinnest if isinstance(thinnest, float) else None,
        wall_deg=_or_default(document.groove.wall if line.wall is None else line.wall, "groove.wall"),
        flat_bottom_mm=flat_bottom if isinstance(flat_bottom, float) else None,
        shifts=_shifts(line),
        strokes=tuple(NamedStroke(table.letter, table.nth, table.stroke, table.kind) for table in line.strokes),
        widen=tuple(WidenedLetter(table.letter, table.nth, table.by) for table in line.widen),
        in_columns="\t" in line.words if line.in_columns is None else line.in_columns,
        draw_in=bool(document.columns.draw_in if line.draw_in is None else line.draw_in),
    )


def _weight_and_stem(document: Document, line: LineTable) -> tuple[float | None, float | None]:
    """The nearest of the line and [lettering] that says anything of either: a weight and a stem replace each other."""
    for table in (line, document.lettering):
        if table.weight is not None or table.stem is not None:
            return table.weight, table.stem
    return float(DEFAULTS["lettering.weight"].value), None


def _arc(table: ArcTable | None) -> Arc | None:
    return None if table is None else Arc(table.radius, _or_default(table.bend, "arc.bend"))


def _shifts(line: LineTable) -> tuple[Shift, ...]:
    shifts = []
    for table in line.shifts:
        kind, amount = table.by
        by_mm, by_share = (amount, None) if kind == "mm" else (None, amount)
        shifts.append(Shift(table.pair, table.nth, by_mm, by_share))
    return tuple(shifts)


def _ornaments(document: Document) -> tuple[Ornament, ...]:
    return tuple(
        Ornament(
            number=number,
            file=table.file,
            x_mm=table.x,
            y_mm=table.y,
            width_mm=table.width,
            turn_deg=_or_default(table.turn, "ornament.turn"),
            carve=_or_default(table.carve, "ornament.carve"),
        )
        for number, table in enumerate(document.ornament, 1)
    )


def _border(document: Document) -> Border | None:
    table = document.border
    if table is None:
        return None
    lines, corners = _or_default(table.lines, "border.lines"), _or_default(table.corners, "border.corners")
    return Border(table.inset, table.stroke, lines, corners)


def _columns(document: Document) -> Columns:
    table, share = document.columns, float(DEFAULTS["columns.between"].value)
    return Columns(
        _or_default(table.number, "columns.number"),
        document.board.width * share if table.between is None else table.between,
        _or_default(table.after_tab, "columns.after_tab"),
        _or_default(table.leaders, "columns.leaders"),
        bool(table.draw_in),
    )


def _match(table: MatchTable | None) -> Match | None:
    if table is None:
        return None
    return Match(table.cap_height, table.stem, tuple((gap.pair, gap.gap) for gap in table.gaps))
