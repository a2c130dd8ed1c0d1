"""The changes that a mutant may be: one node of the syntax tree, written anew.

What no test can notice is never drawn: docstrings, annotations, decorators, imports, the words of
errors, messages and keys, and what `equivalent.py` and `same_lines.py` name, which decides no
answer. Nor is what fails at once whatever is tested, such as words subtracted.
"""

from __future__ import annotations

import ast
import copy
import random
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from tests.mutating.equivalent import EQUIVALENT, ONES, ONLY_QUICKER
from tests.mutating.same_lines import INSTEAD

_COMPARED: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.GtE,
    ast.GtE: ast.Lt,
    ast.Gt: ast.LtE,
    ast.LtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
}
_REACHED: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.Mult,
    ast.Pow: ast.Mult,
}
_CALLED = {
    "min": "max",
    "max": "min",
    "any": "all",
    "all": "any",
    "floor": "ceil",
    "ceil": "floor",
    "sin": "cos",
    "cos": "sin",
    "abs": "float",
    "minimum": "maximum",
    "maximum": "minimum",
}
# What these say to Python hangs on no figure: a mutant of them would live whatever is tested.
_MANNERS = frozenset({"strict", "maxsize", "frozen", "slots", "kw_only", "stacklevel", "timeout"})
_FACTOR = 1.5
"""A number with a fraction is made half as large again: what rounding hides is no mutant."""


@dataclass(frozen=True, slots=True)
class Mutant:
    """One change: the file, the line, the lines of its statement, and the text on both sides."""

    file: str
    line: int
    statement: range
    module_level: bool
    before: str
    after: str
    start: int
    end: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line}: {_short(self.before)} -> {_short(self.after)}"

    def line_written(self, source: str) -> str:
        """Return the line on which the change begins, as it is then.

        What is a single word has the line above it before it: "if not parts: break".
        """
        lines = self.written(source).splitlines()
        line = lines[self.line - 1].strip()
        return line if " " in line else f"{lines[self.line - 2].strip()} {line}"

    def written(self, source: str) -> str:
        """Return the file with the change; places are counted in bytes, as the parser does."""
        data = source.encode()
        return (data[: self.start] + self.after.encode() + data[self.end :]).decode()


def _short(text: str) -> str:
    words = " ".join(text.split())
    return words if len(words) <= 90 else words[:87] + "..."


def mutants_of(path: Path, name: str) -> list[Mutant]:
    """Return every change that one file can undergo, but those that decide no answer."""
    source = path.read_text(encoding="utf-8")
    alike = INSTEAD.get(name, {})
    every = all_of(source, name)
    return [each for each in every if not alike or each.line_written(source) not in alike]


def all_of(source: str, name: str) -> list[Mutant]:
    """Return every change of a file, also those of lines that may stand there instead."""
    return list(_Reader(source, name).mutants())


def draw(every: list[Mutant], count: int, seed: int) -> list[Mutant]:
    """Return so many changes, each of another line; the same for the same seed."""
    chance = random.Random(seed)
    by_line: dict[tuple[str, int], list[Mutant]] = {}
    for mutant in every:
        by_line.setdefault((mutant.file, mutant.line), []).append(mutant)
    lines = chance.sample(sorted(by_line), min(count, len(by_line)))
    return [chance.choice(by_line[line]) for line in lines]


class _Reader:
    """Walks one file and offers changes."""

    def __init__(self, source: str, name: str) -> None:
        self._name = name
        self._tree = ast.parse(source)
        self._data = source.encode()
        starts = [0]
        for line in self._data.splitlines(keepends=True):
            starts.append(starts[-1] + len(line))
        self._starts = starts

    def mutants(self) -> Iterator[Mutant]:
        yield from self._body(self._tree.body, None, True)

    def _body(
        self, body: list[ast.stmt], returns: ast.expr | None, module_level: bool
    ) -> Iterator[Mutant]:
        for statement in body:
            yield from self._statement(statement, returns, module_level)

    def _statement(
        self, statement: ast.stmt, returns: ast.expr | None, module_level: bool
    ) -> Iterator[Mutant]:
        match statement:
            case ast.FunctionDef():
                given = [*statement.args.defaults, *statement.args.kw_defaults]
                lines = range(statement.lineno, statement.body[0].lineno)
                for default in given:
                    yield from self._within(default, lines, True)
                yield from self._body(statement.body, statement.returns, False)
                return
            case ast.ClassDef():
                yield from self._body(statement.body, None, True)
                return
            case ast.Import() | ast.ImportFrom() | ast.Raise() | ast.Assert() | ast.Global():
                return
            case ast.If(test=ast.Name(id="TYPE_CHECKING")):
                return
            case ast.If(test=ast.Compare(left=ast.Attribute(attr="platform"))):
                # what another system than this one runs, no test here can tell
                yield from self._body(statement.orelse, returns, module_level)
                return
            case ast.Expr(value=ast.Constant()):
                return
            case _:
                pass
        parts = [part for part in ast.iter_child_nodes(statement) if isinstance(part, ast.expr)]
        if isinstance(statement, ast.AnnAssign):
            parts = [statement.value] if statement.value else []
            if _words(statement.annotation) == "TypeAlias":
                parts = []
        if isinstance(statement, ast.Assign):
            name = _words(statement.targets[0])
            if name.startswith("__") or name in EQUIVALENT.get(self._name, {}):
                parts = []
        if isinstance(statement, ast.With):
            parts = [item.context_expr for item in statement.items]
        inner = [
            block
            for block in ("body", "orelse", "finalbody")
            if isinstance(getattr(statement, block, None), list)
        ]
        last = statement.end_lineno or statement.lineno
        if inner:
            last = max((part.end_lineno or part.lineno for part in parts), default=statement.lineno)
        lines = range(statement.lineno, last + 1)
        for part in parts:
            yield from self._within(part, lines, module_level)
        yield from self._whole(statement, lines, returns, module_level)
        for block in inner:
            yield from self._body(getattr(statement, block), returns, module_level)
        for handler in getattr(statement, "handlers", []):
            yield from self._body(handler.body, returns, module_level)
        for case in getattr(statement, "cases", []):
            yield from self._body(case.body, returns, module_level)

    def _whole(
        self, statement: ast.stmt, lines: range, returns: ast.expr | None, module_level: bool
    ) -> Iterator[Mutant]:
        """Changes of a statement: a condition or a result turned round, a call left out."""
        match statement:
            case ast.If(test=test) if not isinstance(test, ast.Compare | ast.UnaryOp):
                yield self._mutant(test, test, lines, module_level, "not ({})")
            case ast.Return(value=ast.expr() as value) if not isinstance(value, ast.Compare):
                kind = _words(returns) if returns is not None else ""
                if kind == "bool":
                    yield self._mutant(value, value, lines, module_level, "not ({})")
                elif kind in ("float", "int") and not _is_nothing(value):
                    yield self._mutant(value, value, lines, module_level, "-({})")
            case ast.AugAssign(op=op, value=value) if type(op) in _REACHED:
                other = copy.deepcopy(statement)
                other.op = _REACHED[type(op)]()
                if not _is_text(value):
                    yield self._mutant(statement, other, lines, module_level, "{}")
            case ast.Expr(value=ast.Call(func=function)) if _words(function) not in ONLY_QUICKER:
                yield self._mutant(statement, ast.Pass(), lines, module_level, "{}")
            case ast.Break():
                yield self._mutant(statement, ast.Continue(), lines, module_level, "{}")
            case ast.Continue():
                yield self._mutant(statement, ast.Break(), lines, module_level, "{}")
            case _:
                pass

    def _within(self, node: ast.AST | None, lines: range, module_level: bool) -> Iterator[Mutant]:
        """Changes of an expression and of all in it."""
        if node is None or isinstance(node, ast.JoinedStr):
            return
        if isinstance(node, ast.keyword) and node.arg in _MANNERS:
            return
        if isinstance(node, ast.expr):
            for other in _others(node):
                yield self._mutant(node, other, lines, module_level, "({})")
        for child in ast.iter_child_nodes(node):
            yield from self._within(child, lines, module_level)

    def _mutant(
        self,
        node: ast.expr | ast.stmt,
        other: ast.AST,
        lines: range,
        module_level: bool,
        frame: str,
    ) -> Mutant:
        start = self._starts[node.lineno - 1] + node.col_offset
        end = self._starts[(node.end_lineno or node.lineno) - 1] + (node.end_col_offset or 0)
        return Mutant(
            self._name,
            node.lineno,
            lines,
            module_level,
            self._data[start:end].decode(),
            frame.format(ast.unparse(ast.fix_missing_locations(other))),
            start,
            end,
        )


def _others(node: ast.expr) -> Iterator[ast.expr]:
    """Return what could stand for one expression."""
    match node:
        case ast.Compare(ops=[op]):
            yield ast.Compare(node.left, [_COMPARED[type(op)]()], node.comparators)
        case ast.Compare(ops=[first, *rest]):
            yield ast.Compare(node.left, [_COMPARED[type(first)](), *rest], node.comparators)
            *front, last = node.ops
            yield ast.Compare(node.left, [*front, _COMPARED[type(last)]()], node.comparators)
        case ast.BinOp(left=left, op=op, right=right) if type(op) in _REACHED:
            by_one = isinstance(op, ast.Mult | ast.Div) and _words(right) in ONES
            if not (_is_text(left) or _is_text(right) or by_one):
                yield ast.BinOp(left, _REACHED[type(op)](), right)
        case ast.BoolOp(op=ast.And()):
            yield ast.BoolOp(ast.Or(), node.values)
        case ast.BoolOp(op=ast.Or()):
            yield ast.BoolOp(ast.And(), node.values)
        case ast.UnaryOp(op=ast.Not() | ast.USub(), operand=operand):
            yield operand
        case ast.IfExp(test=test, body=body, orelse=orelse):
            yield ast.IfExp(test, orelse, body)
        case ast.Call(func=ast.Name(id=name)) if name in _CALLED:
            yield ast.Call(ast.Name(_CALLED[name]), node.args, node.keywords)
        case ast.Call(func=ast.Attribute(value=owner, attr=name)) if name in _CALLED:
            yield ast.Call(ast.Attribute(owner, _CALLED[name]), node.args, node.keywords)
        case ast.Constant(value=bool() as value):
            yield ast.Constant(not value)
        case ast.Constant(value=int() as value):
            yield ast.Constant(value + 1)
        case ast.Constant(value=float() as value):
            yield ast.Constant(value * _FACTOR if value else 1.0)
        case _:
            pass


def _words(node: ast.expr) -> str:
    return ast.unparse(node)


def _is_text(node: ast.expr) -> bool:
    """Return whether an expression is words, or a list: what cannot be reckoned with."""
    if isinstance(node, ast.BinOp):
        return _is_text(node.left) or _is_text(node.right)
    kinds = ast.JoinedStr | ast.List | ast.Tuple | ast.ListComp | ast.Dict
    return isinstance(node, kinds) or (
        isinstance(node, ast.Constant) and isinstance(node.value, str)
    )


def _is_nothing(node: ast.expr) -> bool:
    return isinstance(node, ast.Constant) and not node.value
