"""Every small wrong change that a module can suffer, and a sample of them that stays the same while other code changes.

Left out, because nobody could notice or because it is wording: strings, annotations, decorators, `__all__`, the
`strict` of a zip, asserts.
"""

from __future__ import annotations

import ast
import copy
import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

__all__ = ["Mutant", "mutants_of", "sampled"]

COMPARED = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot, ast.IsNot: ast.Is, ast.In: ast.NotIn, ast.NotIn: ast.In,
}  # fmt: skip
RECKONED = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.FloorDiv: ast.Mult,
    ast.Mod: ast.Mult, ast.Pow: ast.Mult, ast.BitOr: ast.BitAnd, ast.BitAnd: ast.BitOr, ast.MatMult: ast.Mult,
}  # fmt: skip
CALLED = {"min": "max", "max": "min", "any": "all", "all": "any", "sorted": "list", "abs": "float"}
TENTH = 1.1
"""Floats are made a tenth larger: our choice, as the least that a carver would mind."""


@dataclass(frozen=True)
class Mutant:
    """One change: room and module, the function it is in (empty at the module's top), line, what stood, what stands.

    start and end are offsets in the module's bytes; nth counts equal changes of a function from the top.
    """

    room: str
    module: str
    function: str
    line: int
    start: int
    end: int
    was: str
    becomes: str
    nth: int = 0

    @property
    def name(self) -> str:
        """What it is called in records: the same for as long as its function holds that change."""
        return f"{self.room}/{self.module}:{self.function}: {self.was} → {self.becomes} #{self.nth}"

    def applied(self, content: bytes) -> bytes:
        """The module's bytes with the change."""
        return content[: self.start] + self.becomes.encode() + content[self.end :]


def mutants_of(path: Path) -> list[Mutant]:
    """All changes of one module, from the top."""
    content = path.read_bytes()
    starts = [0]
    for line in content.splitlines(keepends=True):
        starts.append(starts[-1] + len(line))
    found: list[Mutant] = []
    counts: dict[tuple[str, str, str], int] = {}
    for node, function in _places(ast.parse(content), ""):
        for becomes in _changes(node):
            place: ast.expr | ast.stmt = node.test if isinstance(node, ast.If | ast.While) else node
            start = starts[place.lineno - 1] + place.col_offset
            end = starts[(place.end_lineno or place.lineno) - 1] + (place.end_col_offset or 0)
            was = ast.unparse(place)
            key = (function, was, becomes)
            nth = counts[key] = counts.get(key, -1) + 1
            found.append(
                Mutant(path.parent.name, path.stem, function, place.lineno, start, end, was, becomes, nth)
            )  # fmt: skip
    return found


def sampled(mutants: list[Mutant], size: int, seed: int) -> list[Mutant]:
    """So many of them: those with the least digests of seed and name, so that other changes leave them alone."""
    return sorted(mutants, key=lambda one: hashlib.sha256(f"{seed} {one.name}".encode()).digest())[:size]


def _places(node: ast.AST, function: str) -> Iterator[tuple[ast.expr | ast.stmt, str]]:
    """Expressions and statements that may be changed, with the function they are in."""
    if isinstance(node, ast.expr | ast.stmt):
        yield node, function
    for field, value in ast.iter_fields(node):
        if field in {"decorator_list", "annotation", "returns", "type_params"} or isinstance(node, ast.Assert):
            continue
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef) and field == "body":
            inner = f"{function}.{node.name}".lstrip(".")
        else:
            inner = function
        for child in value if isinstance(value, list) else [value]:
            if isinstance(child, ast.AST) and not _left_out(child):
                yield from _places(child, inner)


def _left_out(node: ast.AST) -> bool:
    if isinstance(node, ast.keyword):
        return node.arg == "strict"
    if isinstance(node, ast.Assign):
        return any(isinstance(target, ast.Name) and target.id == "__all__" for target in node.targets)
    return isinstance(node, ast.JoinedStr) or (
        isinstance(node, ast.BinOp) and ast.unparse(node)[:1].isupper() and _alias(node)
    )


def _changes(node: ast.expr | ast.stmt) -> list[str]:
    """What may stand in its place (of a branch: in its condition's)."""
    match node:
        case ast.Compare(ops=[op, *rest]) if type(op) in COMPARED:
            return [_with(node, ops=[COMPARED[type(op)](), *rest])]
        case ast.BinOp(op=op, left=left) if type(op) in RECKONED and not _is_text(left):
            return [_with(node, op=RECKONED[type(op)]())]
        case ast.BoolOp(op=op):
            return [_with(node, op=ast.Or() if isinstance(op, ast.And) else ast.And())]
        case ast.UnaryOp(op=ast.Not() | ast.USub(), operand=operand) if not isinstance(operand, ast.Constant):
            return [f"({ast.unparse(operand)})"]
        case ast.Constant(value=bool() as value):
            return [str(not value)]
        case ast.Constant(value=int() as value):
            return [str(value + 1)]
        case ast.Constant(value=float() as value):
            return [f"{value * TENTH:.6g}" if value else "1.0"]
        case ast.Call(func=ast.Name(id=name)) if name in CALLED and not (name == "sorted" and node.keywords):
            return [_with(node, func=ast.Name(CALLED[name]))]
        case ast.If(test=test) | ast.While(test=test) if not isinstance(test, ast.Compare):
            return [f"(not ({ast.unparse(test)}))"]
        case ast.Expr(value=ast.Call()) | ast.Raise() | ast.AugAssign():
            return ["pass"]
        case ast.Continue():
            return ["break"]
        case ast.Break():
            return ["continue"]
        case ast.Return(value=ast.expr() as value) if not isinstance(value, ast.Constant):
            return ["return None"]
    return []


def _with(node: ast.expr, **fields: object) -> str:
    other = copy.copy(node)
    for name, value in fields.items():
        setattr(other, name, value)
    return f"({ast.unparse(other)})"


def _alias(node: ast.expr) -> bool:
    """Whether it is a union of kinds and no sum."""
    if isinstance(node, ast.BinOp):
        return isinstance(node.op, ast.BitOr) and _alias(node.left) and _alias(node.right)
    return (isinstance(node, ast.Name) and not node.id.isupper()) or (
        isinstance(node, ast.Constant) and node.value is None
    )


def _is_text(node: ast.expr) -> bool:
    return isinstance(node, ast.JoinedStr) or (isinstance(node, ast.Constant) and isinstance(node.value, str))
