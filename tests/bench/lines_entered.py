"""A pytest plugin that notes which test enters which lines of some files, itself or through its fixtures."""

import contextlib
import sys
from collections import defaultdict
from pathlib import Path

import pytest


class LinesEntered:
    """What was entered: lines by test, lines while files were imported, seconds by test."""

    def __init__(self, files):
        self.files = {str(file): file.name for file in map(Path, files)}
        self.by_test, self.by_fixture, self.seconds = defaultdict(set), defaultdict(set), defaultdict(float)
        self.at_import = set()
        self._noted_in = [self.at_import]

    def _call(self, frame, event, _):
        return self._line if event == "call" and frame.f_code.co_filename in self.files else None

    def _line(self, frame, event, _):
        if event == "line":
            entered = (frame.f_code.co_filename, frame.f_lineno)
            for lines in self._noted_in:
                lines.add(entered)
        return self._line

    @contextlib.contextmanager
    def _noting(self, lines):
        self._noted_in.append(lines)
        try:
            yield
        finally:
            self._noted_in.pop()

    def pytest_sessionstart(self):
        sys.settrace(self._call)

    def pytest_collection_finish(self):
        self._noted_in.pop()

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item):
        # A test that runs out of stack within the trace function ends the tracing.
        sys.settrace(self._call)
        _forget_results()
        with self._noting(self.by_test[item.nodeid]):
            result = yield
        # What a fixture does once is done for every test that asks for it.
        for fixtures in item._fixtureinfo.name2fixturedefs.values():
            for fixture in fixtures:
                self.by_test[item.nodeid] |= self.by_fixture[fixture]
        return result

    @pytest.hookimpl(wrapper=True)
    def pytest_fixture_setup(self, fixturedef):
        with self._noting(self.by_fixture[fixturedef]):
            return (yield)

    def pytest_runtest_logreport(self, report):
        if report.when == "call":
            self.seconds[report.nodeid] += report.duration

    def pytest_sessionfinish(self):
        sys.settrace(None)


def _forget_results():
    """Empty the caches of archgen's functions: what one test had worked out, the next is to enter too."""
    for name, module in list(sys.modules.items()):
        if name.partition(".")[0] == "archgen":
            for value in list(vars(module).values()):
                if hasattr(value, "cache_clear"):
                    value.cache_clear()
