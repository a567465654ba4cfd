"""Builds beside the pages: one for many saves, none that outlives the desk."""

import sys
import time

import pytest

from archgen.build import build
from archgen.desk.background import KEEP, TIDY, BackgroundBuild
from archgen.desk.server import the_only_desk
from archgen.progress import Silent


@pytest.fixture
def builder(tmp_path):
    done = []
    made = BackgroundBuild(tmp_path / "archive", tmp_path / "built", lambda: done.append(True), settle=0.1)
    made.done = done
    made.start()
    yield made
    made.stop()


def until(what, seconds=10.0):
    end = time.monotonic() + seconds
    while not what():
        assert time.monotonic() < end, "not in time"
        time.sleep(0.01)


def test_many_saves_one_after_the_other_start_one_build(builder, tmp_path):
    log = tmp_path / "log"
    builder._command = [sys.executable, "-c", f"open({str(log)!r}, 'a').write('x')"]
    for _ in range(5):
        builder.ask()
        time.sleep(0.02)
    until(lambda: builder.done)
    time.sleep(0.3)
    assert log.read_text() == "x"
    assert builder.trouble == ""


def test_a_save_during_a_build_starts_another_one_after_it(builder, tmp_path):
    log = tmp_path / "log"
    builder._command = [sys.executable, "-c", f"import time; time.sleep(0.4); open({str(log)!r}, 'a').write('x')"]
    builder.ask()
    time.sleep(0.3)
    builder.ask()
    until(lambda: len(builder.done) == 2)
    assert log.read_text() == "xx"


def test_what_stops_a_build_is_kept_in_words(builder):
    builder._command = [sys.executable, "-c", "import sys; sys.exit('The disk is full.')"]
    builder.ask()
    until(lambda: builder.done)
    assert builder.trouble == "The disk is full."


def test_a_build_ends_with_the_desk(builder):
    builder._command = [sys.executable, "-c", "import time; time.sleep(60)"]
    builder.ask()
    until(lambda: builder._process is not None)
    begun = time.monotonic()
    builder.stop()
    assert time.monotonic() - begun < 5
    assert builder.done == []


def test_a_build_in_its_own_process_writes_the_pages_and_keeps_what_the_inbox_needs(state):
    waiting = state.cache.put_blob(b"a picture that waits", ".jpg")
    done = []
    made = BackgroundBuild(state.root, state.out, lambda: done.append(True), settle=0.0)
    made.start()
    made.ask()
    until(lambda: done, seconds=120)
    made.stop()
    assert made.trouble == ""
    assert (state.out / "archive/index.html").is_file()
    assert (state.out / "cache/blobs" / waiting).is_file()
    state.renew()
    assert state.current.catalogue.portfolio is not None
    assert state.may_tidy()
    with the_only_desk(state.out):
        build(state.root, state.out, state.options, Silent())
    assert (state.out / "cache/blobs" / waiting).is_file()
    build(state.root, state.out, state.options, Silent())
    assert not (state.out / "cache/blobs" / waiting).is_file()
    state.renew()
    assert not state.cache.has_blob(waiting)


@pytest.mark.parametrize(("nothing_waits", "said"), [(True, TIDY), (False, KEEP)])
def test_a_build_tidies_only_while_nothing_waits_to_be_filed(tmp_path, nothing_waits, said):
    log, done = tmp_path / "log", []
    made = BackgroundBuild(
        tmp_path / "archive", tmp_path / "built", lambda: done.append(True), lambda: nothing_waits, settle=0.0
    )
    made._command = [sys.executable, "-c", f"import sys; open({str(log)!r}, 'w').write(sys.argv[1])"]
    made.start()
    made.ask()
    until(lambda: done)
    made.stop()
    assert log.read_text() == said
