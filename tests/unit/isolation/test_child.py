"""Work in a child process: it ends within its limits, dies alone, and the next finds a child again."""

import os
import signal

import pytest

from archgen.isolation import child
from archgen.isolation.child import RaisedError, WorkFailedError
from archgen.isolation.limits import SystemLimit, WorkLimits, system_limits

WITHIN = WorkLimits(cpu_s=1, memory_bytes=300_000_000, wall_s=20)
posix = pytest.mark.skipif(os.name == "nt", reason="Windows has no such limits")


def ask(task, kind=int, limits=WITHIN, **arguments):
    return child.call(f"tests.unit.isolation.tasks:{task}", kind, limits, **arguments)


def test_a_value_and_bytes_come_back():
    assert ask("add", a=20, b=22) == (42, b"and bytes")


def test_a_child_is_kept_for_the_next_work():
    first = ask("who")
    assert ask("who") == first
    assert first[0] != os.getpid()


def test_what_the_work_raises_is_told():
    with pytest.raises(RaisedError) as caught:
        ask("refuse", words="not this one")
    assert (caught.value.kind, caught.value.words) == ("ValueError", ("not this one",))


@posix
@pytest.mark.parametrize(("task", "arguments", "why"), [
    ("eat", {"size": 1 << 30}, "takes too much memory"), ("nest", {"depth": 0}, "is nested too deeply"),
    ("spin", {}, "takes too long"), ("die", {"number": int(signal.SIGSEGV)}, "stops the program that opens it"),
])  # fmt: skip
def test_work_that_takes_too_much_or_kills_fails_alone(task, arguments, why):
    with pytest.raises(WorkFailedError) as caught:
        ask(task, **arguments)
    assert (caught.value.why, caught.value.is_certain) == (why, True)
    assert ask("add", a=1, b=1)[0] == 2


@posix
def test_a_child_that_was_killed_from_outside_may_do_it_another_time():
    with pytest.raises(WorkFailedError) as caught:
        ask("die", number=int(signal.SIGKILL))
    assert not caught.value.is_certain


@posix
def test_work_that_waits_is_ended_by_the_clock():
    with pytest.raises(WorkFailedError) as caught:
        ask("sleep_for_ever", limits=WorkLimits(wall_s=0.3))
    assert (caught.value.why, caught.value.is_certain) == ("takes too long", False)


def test_what_a_library_prints_is_no_answer():
    assert ask("chatter", str) == ("answered", b"")


@posix
def test_the_child_writes_no_file(tmp_path):
    with pytest.raises((RaisedError, WorkFailedError)):
        ask("write", type(None), path=str(tmp_path / "written"))
    assert (tmp_path / "written").stat().st_size == 0


def test_limits_are_asked_only_of_a_system_that_has_them():
    limits = WorkLimits(cpu_s=2.5, memory_bytes=7)
    assert list(system_limits(limits, 1.2, frozenset())) == []
    assert list(system_limits(limits, 1.2, frozenset({"RLIMIT_CPU", "RLIMIT_DATA"}))) == [
        SystemLimit("RLIMIT_CPU", 4),
        SystemLimit("RLIMIT_DATA", 7),
    ]


@pytest.mark.parametrize("code", [0xC0000005, 3, 70])
def test_a_death_on_windows_is_a_number_that_names_no_signal(code):
    assert child.death_of(code, was_ended=False).why == "stops the program that opens it"
