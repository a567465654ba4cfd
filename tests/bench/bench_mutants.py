"""Change the decisive modules on purpose, one thing at a time, and count the changes that the suite notices.

    python -m tests.bench.bench_mutants                          # every decisive module, 40 changes each
    python -m tests.bench.bench_mutants needles units --most 0   # all changes of some

A change turns a comparison, a condition, a sum, a number, drops a call, a yielded value, an item of a table. The tests
that import the module run first; what they do not notice meets the wider ones of the same subject (`WIDER`). Survivors
are printed with their line: each is a missing test, or a change that alters nothing.
"""

import argparse
import ast
import contextlib
import copy
import io
import multiprocessing
import os
import random
import shutil
import signal
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
DECISIVE = {
    "publication": "publication/*.py",
    "leaks": "leaks/*.py",
    "stencil-plan": "printing/stencil_plan.py",
    "stencil-pdf": "printing/stencil_pdf.py",
    "needles": "records/vocabulary/needles.py",
    "batches": "records/vocabulary/batch_*.py",
    "placements": "records/vocabulary/placements.py",
    "units": "units.py",
    "followup": "pieces/followup.py",
    "pieces": "pieces/*.py",
    "rights": "rules/rights.py",
    "tracing": "tracing/*.py",
    "twins-naming": "twins/naming/*.py",
}
WIDER = {
    "publication": ("tests/unit/rules", "tests/unit/outputs", "tests/unit/pieces", "tests/properties/test_privacy.py"),
    "leaks": ("tests/properties/test_privacy.py", "tests/cli/test_leaks.py"),
    "stencil-plan": ("tests/unit/printing", "tests/unit/outputs/reprints", "tests/reference/test_stencil_print.py"),
    "stencil-pdf": ("tests/unit/printing", "tests/unit/outputs/reprints", "tests/reference/test_stencil_print.py"),
    "needles": ("tests/unit/records", "tests/unit/pieces"),
    "batches": ("tests/unit/tracing", "tests/reference/test_misspelled_batches.py"),
    "placements": ("tests/unit/records", "tests/unit/wording"),
    "units": ("tests/unit/records", "tests/unit/toml"),
    "followup": ("tests/unit/rules", "tests/unit/outputs", "tests/cli/test_audit.py"),
    "pieces": ("tests/unit/pieces", "tests/unit/rules", "tests/unit/outputs"),
    "rights": ("tests/unit/rules", "tests/cli/test_audit.py"),
    "tracing": ("tests/unit/rules/test_recall_rule.py", "tests/unit/outputs/sheets", "tests/cli/test_trace.py"),
    "twins-naming": ("tests/unit/twins", "tests/reference/test_twins.py", "tests/properties/test_twins.py"),
}  # fmt: skip
# A change that keeps a test busy for longer than this has been noticed.
SECONDS = 300
_TURNED: dict[type, type] = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
    ast.In: ast.NotIn, ast.NotIn: ast.In, ast.Is: ast.IsNot, ast.IsNot: ast.Is, ast.And: ast.Or, ast.Or: ast.And,
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.FloorDiv: ast.Div, ast.Mod: ast.Mult,
}  # fmt: skip


@dataclass(frozen=True)
class Mutant:
    """One change: the module's path below the checkout, the whole changed text, line and words for a person."""

    path: str
    text: str
    line: int
    words: str


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


def mutants_of(path):
    """Give every change of one module that alters its text."""
    source = (ROOT / path).read_text(encoding="utf-8")
    counting = _Changes()
    counting.visit(ast.parse(source))
    plain = ast.unparse(ast.parse(source))
    for number, (line, words) in enumerate(counting.told):
        text = ast.unparse(ast.fix_missing_locations(_Changes(number).visit(ast.parse(source))))
        if text != plain:
            yield Mutant(path, text, line, words)


def tests_of(path):
    """Give the quick test files that import a module."""
    module = "archgen." + path.removesuffix(".py").replace("/", ".").removeprefix("archgen.")
    package, _, name = module.rpartition(".")
    found = []
    for folder in ("tests/unit", "tests/properties", "tests/cli", "tests/reference"):
        for file in sorted((ROOT / folder).rglob("test_*.py")):
            text = file.read_text(encoding="utf-8")
            if f"from {module} import" in text or (f"from {package} import" in text and name in text):
                found.append(file.relative_to(ROOT).as_posix())
    # The module's own tests first: most changes are noticed there.
    own = f"test_{name}.py"
    return sorted(found, key=lambda file: (not file.endswith(own), "/unit/" not in file, file))


def _copy_checkout(target):
    for name in ("archgen", "tests", "themes"):
        shutil.copytree(ROOT / name, target / name, ignore=shutil.ignore_patterns("__pycache__", "shots"))
    for name in ("content", "README.md", "DEVELOPERS.md", "pyproject.toml", "node_modules", "LICENSE"):
        if (ROOT / name).exists():
            (target / name).symlink_to(ROOT / name)


def _run(folder, tests):
    """Run tests in a child that has the libraries loaded already; True when all pass."""
    child = os.fork()
    if child == 0:
        try:
            os.chdir(folder)
            sys.path[:] = [str(folder), *(entry for entry in sys.path if entry not in ("", str(ROOT)))]
            # This very script was imported from the checkout; the tests are to come from the copy.
            for name in [name for name in sys.modules if name.partition(".")[0] in ("tests", "archgen")]:
                del sys.modules[name]
            sys.dont_write_bytecode = True
            signal.alarm(SECONDS)
            with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
                import pytest

                code = pytest.main(["-x", "-q", "-p", "no:cacheprovider", "-p", "no:xdist", *tests])
            os._exit(int(code))
        except BaseException:  # whatever stops the tests has noticed the change
            os._exit(99)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0


def _worker(queue, results, folder):
    import cv2  # noqa: F401  loaded once for all
    import numpy as np  # noqa: F401
    import pikepdf  # noqa: F401
    import PIL.Image  # noqa: F401
    import pytest  # noqa: F401
    import typst  # noqa: F401

    while (task := queue.get()) is not None:
        room, mutant, first, wider = task
        if mutant is None:
            results.put((room, mutant, _run(folder, [*first, *wider])))
            continue
        target = folder / mutant.path
        whole = target.read_text(encoding="utf-8")
        target.write_text(mutant.text, encoding="utf-8")
        try:
            alive = _run(folder, first) if first else True
            if alive and wider:
                alive = _run(folder, wider)
        finally:
            target.write_text(whole, encoding="utf-8")
        results.put((room, mutant, alive))


def planned(rooms, most, rng):
    """List what is to be tried: room, change (None: the control without one), its tests and the wider ones."""
    for room in rooms:
        paths = sorted((ROOT / "archgen").glob(DECISIVE[room]))
        paths = [path.relative_to(ROOT).as_posix() for path in paths if path.name != "__init__.py"]
        wider = [test for test in WIDER[room] if (ROOT / test).exists()]
        # Without a change everything must pass, or nothing that follows means anything.
        yield room, None, sorted({test for path in paths for test in tests_of(path)}), wider
        found = [(path, mutant) for path in paths for mutant in mutants_of(path)]
        for path, mutant in rng.sample(found, most) if most and len(found) > most else found:
            first = tests_of(path)
            yield room, mutant, first, [test for test in wider if test not in first]


def try_all(tasks, workers):
    """Give room, change and whether it went unnoticed, as they come."""
    context = multiprocessing.get_context("fork")
    queue, results = context.Queue(), context.Queue()
    with tempfile.TemporaryDirectory() as scratch:
        started = []
        for number in range(workers):
            folder = Path(scratch) / str(number)
            folder.mkdir()
            _copy_checkout(folder)
            started.append(context.Process(target=_worker, args=(queue, results, folder)))
            started[-1].start()
        for task in [*tasks, *[None] * workers]:
            queue.put(task)
        for _ in tasks:
            yield results.get()
        for worker in started:
            worker.join()


def main():
    """Count what is noticed, and print what is not."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("rooms", nargs="*", choices=[*DECISIVE, []], help="which; all without")
    parser.add_argument("--most", type=int, default=40, help="changes a room at most, 0 for all")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--workers", type=int, default=2)
    options = parser.parse_args()
    tasks = list(planned(options.rooms or DECISIVE, options.most, random.Random(options.seed)))
    counts = {room: [0, 0] for room, *_ in tasks}
    for room, mutant, alive in try_all(tasks, options.workers):
        if mutant is None:
            if not alive:
                print(f"{room}: its tests fail as they are; its figures mean nothing", flush=True)
            continue
        counts[room][0] += 1
        counts[room][1] += not alive
        if alive:
            print(f"{room}: not noticed: {mutant.path}:{mutant.line}  {mutant.words}", flush=True)
    print()
    for room, (tried, noticed) in [*counts.items(), ("all", map(sum, zip(*counts.values(), strict=True)))]:
        print(f"{room:14} {noticed:4} of {tried:4} noticed  {noticed / max(tried, 1):.0%}")


if __name__ == "__main__":
    main()
