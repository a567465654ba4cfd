"""Results come in the order of the values, few at a time."""

import subprocess
import sys
import threading
import time

import pytest

from archgen.storage import jobs
from archgen.storage.jobs import begun, run


@pytest.mark.parametrize("workers", [1, 2, 5])
def test_order_is_kept(workers):
    assert list(run(lambda n: n * n, range(50), workers)) == [n * n for n in range(50)]


def test_finished_results_do_not_pile_up():
    started = []
    gate = threading.Lock()

    def note(number):
        with gate:
            started.append(number)
        return number

    results = run(note, range(100), 2)
    for _ in range(10):
        next(results)
    assert len(started) < 20


def test_an_error_reaches_the_caller():
    with pytest.raises(ZeroDivisionError):
        list(run(lambda n: 1 // n, [1, 0, 1], 2))


def test_who_stops_does_not_wait_for_what_is_under_way():
    is_stopped, ended = threading.Event(), threading.Event()

    def work(number):
        if number:
            is_stopped.wait(10)
            ended.set()
        return number

    results = run(work, range(9), 2)
    next(results)
    results.close()
    assert not ended.is_set()
    is_stopped.set()


def test_nothing_begins_after_a_stop():
    begun = []

    def work(number):
        begun.append(number)
        if number == 1:
            raise ZeroDivisionError
        return number

    with pytest.raises(ZeroDivisionError):
        list(run(work, range(100), 2))
    assert len(begun) < 10


def test_threads_that_still_work_do_not_hold_the_program():
    code = "import time; from archgen.storage.jobs import run; next(run(lambda n: time.sleep(n * 60), [0, 1, 1], 2))"
    subprocess.run([sys.executable, "-c", code], check=True, timeout=30)


def test_threads_end_what_they_are_at_before_the_program_ends():
    work = "lambda n: (time.sleep(n * 0.3), print(n, flush=True))"
    code = f"import time; from archgen.storage.jobs import run; next(run({work}, [0, 1], 2))"
    ended = subprocess.run([sys.executable, "-c", code], check=True, timeout=30, capture_output=True, text=True)
    assert ended.stdout.split() == ["0", "1"]


@pytest.mark.parametrize("workers", [1, 3])
def test_what_was_begun_comes_group_by_group_in_order(workers):
    with begun(lambda n: n * n, [range(5), [], range(9, 40)], workers) as groups:
        assert [list(results) for results in groups] == [[n * n for n in range(5)], [], [n * n for n in range(9, 40)]]


def test_what_was_begun_is_done_before_it_is_asked_for_and_the_groups_in_turn():
    done, order = threading.Event(), []

    def work(name):
        order.append(name)
        if name == "b2":
            done.set()

    with begun(work, [["a1", "a2"], ["b1", "b2"]], 2):
        assert done.wait(5)
    assert set(order[:2]) == {"a1", "b1"}


def test_nothing_more_of_what_was_begun_is_done_when_its_block_ended():
    done, go_on = [], threading.Event()

    def work(number):
        go_on.wait(5)
        done.append(number)

    with pytest.raises(ZeroDivisionError), begun(work, [range(9)], 2):
        raise ZeroDivisionError
    go_on.set()
    time.sleep(0.2)
    assert len(done) <= 2


def test_an_error_of_what_was_begun_reaches_who_asks_for_it():
    with begun(lambda n: 1 // n, [[1, 0]], 2) as (results,):
        assert next(results) == 1
        with pytest.raises(ZeroDivisionError):
            next(results)


def test_a_thread_that_was_stopped_before_it_began_is_not_waited_for():
    thread = threading.Thread(target=print)
    jobs._threads.add(thread)
    jobs._wait_a_moment()
    assert not thread.is_alive()
