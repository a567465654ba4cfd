"""Change the decisive modules on purpose, one thing at a time, and count the changes that the suite notices.

    python -m tests.bench.bench_mutants                          # every decisive module, 40 changes each
    python -m tests.bench.bench_mutants needles units --most 0   # all changes of some
    python -m tests.bench.bench_mutants units --again LOG        # what an earlier run, kept in a file, did not notice

A change turns a comparison, a condition, a sum, a number, drops a call, a yielded value, an item of a table. The tests
of a room run once unchanged, which shows that they pass and which of them enter which lines; then each change meets
those that enter its line, the quickest first, until one fails. Survivors are printed with their line: each is a missing
test, or a change that alters nothing. Tests that start archgen as a program of its own are not asked.
"""

import argparse
import contextlib
import io
import os
import pickle
import random
import resource
import shutil
import sys
import tempfile
import traceback
from pathlib import Path

from tests.bench.changes import ROOT, mutants_of

DECISIVE = {
    "publication": ("publication/*.py",),
    "leaks": ("leaks/*.py",),
    "stencil-plan": ("printing/stencil_plan.py",),
    "stencil-pdf": ("printing/stencil_pdf.py",),
    "needles": ("records/vocabulary/needles.py", "records/vocabulary/needle_forms/*.py"),
    "batches": ("records/vocabulary/batch_*.py",),
    "placements": ("records/vocabulary/placements.py", "records/vocabulary/body/*.py"),
    "units": ("units.py",),
    "followup": ("pieces/followup.py",),
    "pieces": ("pieces/*.py",),
    "rights": ("rules/rights.py",),
    "tracing": ("tracing/*.py",),
    "twins-naming": ("twins/naming/*.py",),
    "quoting": ("quoting/*.py",),
    "supplies": ("supplies/*.py",),
    "holdings": ("holdings/*.py", "packing/bundle.py"),
    "sealing": ("sealing/*.py",),
}
WIDER = {
    "quoting": ("tests/unit/quoting", "tests/unit/wording/planning"),
    "supplies": ("tests/unit/supplies", "tests/cli/test_stock.py"),
    "holdings": ("tests/cli/test_client.py",),
    "sealing": ("tests/unit/sealing", "tests/cli/test_keeping.py"),
    "publication": (
        "tests/unit/publication",
        "tests/properties/test_gate.py",
        "tests/unit/rules",
        "tests/unit/outputs",
        "tests/unit/pieces",
        "tests/properties/test_privacy.py",
    ),
    "leaks": (
        "tests/unit/leaks",
        "tests/cli/test_leaks_of_pictures.py",
        "tests/properties/test_privacy.py",
        "tests/cli/test_leaks.py",
    ),
    "stencil-plan": ("tests/unit/printing", "tests/unit/outputs/reprints", "tests/reference/test_stencil_print.py"),
    "stencil-pdf": ("tests/unit/printing", "tests/unit/outputs/reprints", "tests/reference/test_stencil_print.py"),
    "needles": (
        "tests/unit/records",
        "tests/unit/pieces",
        "tests/unit/wording",
        "tests/reference/test_needle_forms.py",
        "tests/properties/test_words_of_the_trade.py",
    ),
    "batches": ("tests/unit/tracing", "tests/reference/test_misspelled_batches.py"),
    "placements": (
        "tests/unit/records",
        "tests/unit/wording",
        "tests/reference/test_placement_phrases.py",
        "tests/properties/test_words_of_the_trade.py",
    ),
    "units": ("tests/unit/records", "tests/unit/toml"),
    "followup": ("tests/unit/pieces", "tests/unit/rules", "tests/unit/outputs", "tests/cli/test_audit.py"),
    "pieces": ("tests/unit/pieces", "tests/unit/rules", "tests/unit/outputs"),
    "rights": ("tests/unit/rules", "tests/cli/test_audit.py"),
    "tracing": (
        "tests/unit/tracing",
        "tests/unit/rules/test_recall_rule.py",
        "tests/unit/outputs/sheets",
        "tests/cli/test_trace.py",
    ),
    "twins-naming": ("tests/unit/twins", "tests/reference/test_twins.py", "tests/properties/test_twins.py"),
}
# A change that keeps the tests busy for so long has been noticed: so many times what they took without it, and seconds.
TIMES, SECONDS = 5, 30
# What so many tests did not notice counts as not noticed.
MOST_TESTS = 1500
# Of a library that is loaded once for all tries pytest says that it cannot look into its assertions.
_RULES = ("-W", "ignore::pytest.PytestAssertRewriteWarning")


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
    return found


def _copy_checkout(target):
    for name in ("archgen", "tests", "themes"):
        shutil.copytree(ROOT / name, target / name, ignore=shutil.ignore_patterns("__pycache__", "shots"))
    for name in ("content", "README.md", "DEVELOPERS.md", "pyproject.toml", "node_modules", "LICENSE"):
        if (ROOT / name).exists():
            (target / name).symlink_to(ROOT / name)


def _run(folder, tests, seconds, watching=None):
    """Run tests in a child that has the libraries loaded already; True when all pass.

    What they enter of the files `watching` is left in the folder's lines.pickle.
    """
    child = os.fork()
    if child == 0:
        try:
            resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds))
            os._exit(_test(folder, tests, watching))
        except BaseException:  # whatever stops the tests has noticed the change
            (folder / "said.txt").write_text(traceback.format_exc(), encoding="utf-8")
            os._exit(99)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0


def _test(folder, tests, watching):
    import hypothesis
    import pytest

    from tests.bench.lines_entered import LinesEntered

    os.chdir(folder)
    sys.path[:] = [str(folder), *(entry for entry in sys.path if entry not in ("", str(ROOT)))]
    # This very script was imported from the checkout; the tests are to come from the copy.
    for name in [name for name in sys.modules if name.partition(".")[0] in ("tests", "archgen")]:
        del sys.modules[name]
    # Compiled when nothing is changed yet; what is changed has another time than what was compiled.
    sys.dont_write_bytecode = not watching
    # The smallest example that fails is of no interest here.
    phases = [hypothesis.Phase.explicit, hypothesis.Phase.generate]
    hypothesis.settings.register_profile("changed", phases=phases, database=None, deadline=None)
    hypothesis.settings.load_profile("changed")
    noted = LinesEntered([folder / path for path in watching or ()])
    said = io.StringIO()
    with contextlib.redirect_stdout(said), contextlib.redirect_stderr(said):
        code = pytest.main(
            ["-x", "-q", "-p", "no:cacheprovider", "-p", "no:xdist", *_RULES, *tests],
            plugins=[noted] if watching else [],
        )
    (folder / "said.txt").write_text(said.getvalue(), encoding="utf-8")
    if watching:
        lines = {test: {(Path(file).relative_to(folder).as_posix(), line) for file, line in found}
                 for test, found in noted.by_test.items()}  # fmt: skip
        at_import = {(Path(file).relative_to(folder).as_posix(), line) for file, line in noted.at_import}
        (folder / "lines.pickle").write_bytes(pickle.dumps((lines, at_import, dict(noted.seconds))))
    return int(code)


def _asked(mutant, lines, at_import, seconds):
    """List the tests that enter the change's statement, the module's own and quickest first.

    What is carried out on import meets the tests that enter the module anywhere, or import it.
    """
    touched = {(mutant.path, line) for line in mutant.lines or ()}
    if mutant.lines is None or touched & at_import:
        touched = {(mutant.path, line) for line in range(10_000)}
    own, importing = f"test_{Path(mutant.path).stem}", tests_of(mutant.path)
    found = [test for test, entered in lines.items() if touched & entered or test.partition("::")[0] in importing]
    found.sort(key=lambda test: (own not in test, seconds.get(test, 0) > 0.5, seconds.get(test, 0)))
    return found[:MOST_TESTS]


def try_room(room, mutants, folder, chosen=None):
    """Give each change and whether it went unnoticed; nothing when the room's tests fail without any change."""
    paths = _paths(room)
    tests = set(chosen) if chosen else {test for path in paths for test in tests_of(path)}
    tests |= set() if chosen else {test for test in WIDER[room] if (ROOT / test).exists()}
    # A folder's tests come with it.
    tests = sorted(test for test in tests if not any(test != other and test.startswith(f"{other}/") for other in tests))
    if not _run(folder, tests, 3600, paths):
        print(f"{room}: its tests fail as they are:\n{(folder / 'said.txt').read_text()[-2000:]}", flush=True)
        return
    lines, at_import, seconds = pickle.loads((folder / "lines.pickle").read_bytes())  # noqa: S301  our own
    for mutant in mutants:
        asked = _asked(mutant, lines, at_import, seconds)
        target = folder / mutant.path
        whole = target.read_text(encoding="utf-8")
        target.write_text(mutant.text, encoding="utf-8")
        limit = SECONDS + TIMES * sum(seconds.get(test, 0) for test in asked)
        try:
            yield mutant, not asked or _run(folder, asked, int(limit)), len(asked)
        finally:
            target.write_text(whole, encoding="utf-8")


def _paths(room):
    found = sorted(path for pattern in DECISIVE[room] for path in (ROOT / "archgen").glob(pattern))
    return [path.relative_to(ROOT).as_posix() for path in found if path.name != "__init__.py"]


def main():
    """Count what is noticed, and print what is not."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("rooms", nargs="*", choices=[*DECISIVE, []], help="which; all without")
    parser.add_argument("--most", type=int, default=40, help="changes a room at most, 0 for all")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--again", type=Path, help="try only the changes that this output of a run calls not noticed")
    parser.add_argument("--tests", nargs="+", help="ask these instead of all that concern the room")
    options = parser.parse_args()
    again = options.again.read_text(encoding="utf-8") if options.again else ""
    # Loaded once for all: every try forks from here.
    import cv2  # noqa: F401
    import jinja2  # noqa: F401
    import msgspec  # noqa: F401
    import pikepdf  # noqa: F401
    import pytest  # noqa: F401
    import typst  # noqa: F401

    counts = {}
    with tempfile.TemporaryDirectory() as scratch:
        _copy_checkout(Path(scratch))
        for room in options.rooms or DECISIVE:
            found = [mutant for path in _paths(room) for mutant in mutants_of(path)]
            if again:
                found = [mutant for mutant in found if f": {mutant.path}:{mutant.line}  {mutant.words}\n" in again]
            elif options.most and len(found) > options.most:
                found = random.Random(options.seed).sample(found, options.most)
            counts[room] = [0, 0]
            for mutant, alive, asked in try_room(room, found, Path(scratch), options.tests):
                counts[room][0] += 1
                counts[room][1] += not alive
                if alive:
                    where = f"{mutant.path}:{mutant.line}"
                    print(f"{room}: not noticed by {asked} tests: {where}  {mutant.words}", flush=True)
            _tell(room, *counts[room])
    _tell("all", *map(sum, zip(*counts.values(), strict=True)))


def _tell(room, tried, noticed):
    print(f"{room:14} {noticed:4} of {tried:4} noticed  {noticed / max(tried, 1):.0%}", flush=True)


if __name__ == "__main__":
    main()
