"""Results come in the order of the values, few at a time."""

import threading

import pytest

from archgen.storage.jobs import run


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
