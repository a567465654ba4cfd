"""Change a module on purpose, one thing at a time: turn a comparison, drop a call, alter a number, omit an entry."""

import ast
import copy
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
_TURNED: dict[type, type] = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
    ast.In: ast.NotIn, ast.NotIn: ast.In, ast.Is: ast.IsNot, ast.IsNot: ast.Is, ast.And: ast.Or, ast.Or: ast.And,
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.FloorDiv: ast.Div, ast.Mod: ast.Mult,
}  # fmt: skip


@dataclass(frozen=True)
class Mutant:
    """One change: the module's path below the checkout, the whole changed text, line and words for a person.

    `lines` are those of its statement; None where it is carried out as the module is imported.
    """

    path: str
    text: str
    line: int
    words: str
    lines: range | None


class _Changes(ast.NodeTransformer):
    """Walk a module and make the change with the given number; without one, only count and describe them all."""

    def __init__(self, wanted: int | None = None):
        self.wanted, self.count, self.told = wanted, 0, []

    def _turn(self, node, words, new):
        number, self.count = self.count, self.count + 1
        self.told.append((getattr(node, "lineno", 0), words))
        return ast.copy_location(new(), node) if number == self.wanted else None

    def visit_FunctionDef(self, node):
        node.body = self._statements(node.body, skip_docstring=True)
        return node

    def visit_ClassDef(self, node):
        node.body = self._statements(node.body, skip_docstring=True)
        return node

    def visit_Module(self, node):
        node.body = self._statements(node.body, skip_docstring=True)
        return node

    def _statements(self, body, *, skip_docstring=False):
        return [
            statement if skip_docstring and number == 0 and _is_docstring(statement) else self.visit(statement)
            for number, statement in enumerate(body)
        ]

    def visit_ImportFrom(self, node):
        return node

    visit_Import = visit_ImportFrom  # noqa: N815

    def visit_AnnAssign(self, node):
        node.value = self.visit(node.value) if node.value else None
        return node

    def visit_Expr(self, node):
        if isinstance(node.value, ast.Call | ast.Yield | ast.YieldFrom) and (
            new := self._turn(node, f"dropped: {ast.unparse(node)[:70]}", ast.Pass)
        ):
            return new
        return self.generic_visit(node)

    def visit_Return(self, node):
        if isinstance(node.value, ast.Compare | ast.BoolOp | ast.Constant | ast.UnaryOp) or node.value is None:
            return self.generic_visit(node)
        new = self._turn(node, f"returns None: {ast.unparse(node)[:70]}", lambda: ast.Return(ast.Constant(None)))
        return new or self.generic_visit(node)

    def visit_If(self, node):
        return self._condition(node)

    visit_IfExp = visit_If  # noqa: N815
    visit_While = visit_If  # noqa: N815

    def _condition(self, node):
        if not isinstance(node.test, ast.Compare | ast.BoolOp | ast.UnaryOp | ast.NamedExpr):
            test = node.test
            if new := self._turn(test, f"negated: {ast.unparse(test)[:70]}", lambda: ast.UnaryOp(ast.Not(), test)):
                node.test = new
                return node
        return self.generic_visit(node)

    def visit_Compare(self, node):
        operator = type(node.ops[0])
        if operator in _TURNED and (
            new := self._turn(
                node,
                f"{operator.__name__} -> {_TURNED[operator].__name__}: {ast.unparse(node)[:70]}",
                lambda: ast.Compare(node.left, [_TURNED[operator](), *node.ops[1:]], node.comparators),
            )
        ):
            return new
        return self.generic_visit(node)

    def visit_BoolOp(self, node):
        for number, value in enumerate(node.values):
            rest = [other for at, other in enumerate(node.values) if at != number]
            alone = rest[0] if len(rest) == 1 else ast.BoolOp(node.op, rest)
            if new := self._turn(
                node, f"without {ast.unparse(value)[:50]}: {ast.unparse(node)[:60]}", lambda a=alone: copy.deepcopy(a)
            ):
                return new
        return self.generic_visit(node)

    def visit_UnaryOp(self, node):
        if isinstance(node.op, ast.Not) and (
            new := self._turn(node, f"without not: {ast.unparse(node)[:70]}", lambda: copy.deepcopy(node.operand))
        ):
            return new
        return self.generic_visit(node)

    def visit_BinOp(self, node):
        operator = type(node.op)
        is_text = any(isinstance(side, ast.JoinedStr) or _is_text(side) for side in (node.left, node.right))
        if (
            operator in _TURNED
            and not is_text
            and (
                new := self._turn(
                    node,
                    f"{operator.__name__} -> {_TURNED[operator].__name__}: {ast.unparse(node)[:70]}",
                    lambda: ast.BinOp(node.left, _TURNED[operator](), node.right),
                )
            )
        ):
            return new
        return self.generic_visit(node)

    def visit_Constant(self, node):
        value = node.value
        if isinstance(value, bool):
            other = not value
        elif isinstance(value, int):
            other = value + 1
        elif isinstance(value, float):
            other = value * 1.5 + 0.01
        else:
            return node
        return self._turn(node, f"{value} -> {other}", lambda: ast.Constant(other)) or node

    def visit_Dict(self, node):
        for number in range(len(node.keys) if len(node.keys) > 1 else 0):
            key = node.keys[number]
            if key is None:
                continue
            new = self._turn(
                key,
                f"without the entry {ast.unparse(key)[:60]}",
                lambda n=number: ast.Dict(node.keys[:n] + node.keys[n + 1 :], node.values[:n] + node.values[n + 1 :]),
            )
            if new:
                return new
        return self.generic_visit(node)

    def visit_Set(self, node):
        for number, item in enumerate(node.elts if len(node.elts) > 1 else ()):
            new = self._turn(
                item,
                f"without the entry {ast.unparse(item)[:60]}",
                lambda n=number: ast.Set(node.elts[:n] + node.elts[n + 1 :]),
            )
            if new:
                return new
        return self.generic_visit(node)

    def visit_JoinedStr(self, node):
        return node  # words for people

    def visit_arguments(self, node):
        node.defaults = [self.visit(value) for value in node.defaults]
        node.kw_defaults = [self.visit(value) if value else None for value in node.kw_defaults]
        return node

    def visit_arg(self, node):
        return node


def _is_docstring(statement):
    return isinstance(statement, ast.Expr) and _is_text(statement.value)


def _is_text(node):
    return isinstance(node, ast.Constant) and isinstance(node.value, str)


def mutants_of(path: str) -> Iterator[Mutant]:
    """Give every change of one module that alters its text."""
    source = (ROOT / path).read_text(encoding="utf-8")
    tree = ast.parse(source)
    counting = _Changes()
    counting.visit(ast.parse(source))
    plain, lines = ast.unparse(tree), _lines_of_statements(tree)
    for number, (line, words) in enumerate(counting.told):
        text = ast.unparse(ast.fix_missing_locations(_Changes(number).visit(ast.parse(source))))
        if text != plain:
            yield Mutant(path, text, line, words, lines.get(line))


def _lines_of_statements(tree: ast.Module) -> dict[int, range]:
    """Give, for each line inside a function, all lines of its statement; of a compound one those of its head."""
    found = {}
    for function in ast.walk(tree):
        if not isinstance(function, ast.FunctionDef | ast.AsyncFunctionDef):
            continue
        for statement in ast.walk(function):
            if isinstance(statement, ast.stmt) and statement is not function:
                body = getattr(statement, "body", None)
                end = body[0].lineno if body else statement.end_lineno + 1
                found |= dict.fromkeys(range(statement.lineno, end), range(statement.lineno, end))
            elif isinstance(statement, ast.match_case):
                lines = range(statement.pattern.lineno, statement.body[0].lineno)
                found |= dict.fromkeys(lines, lines)
    return found
