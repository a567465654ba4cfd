"""Work that needs much memory waits for its turn."""

import threading

from archgen.storage.jobs import Budget, run


def test_what_is_held_never_passes_the_total():
    budget, gate, held, most = Budget(10), threading.Lock(), [], []

    def work(amount):
        with budget.hold(amount):
            with gate:
                held.append(amount)
                most.append(sum(held))
            threading.Event().wait(0.001)
            with gate:
                held.remove(amount)

    list(run(work, [3, 4, 5, 6, 7, 2, 1] * 6, 4))
    assert max(most) <= 10


def test_more_than_all_is_all_and_goes_alone():
    budget = Budget(10)
    with budget.hold(99):
        pass
    with budget.hold(10):
        pass


def test_an_error_gives_back_what_was_held():
    budget = Budget(1)
    try:
        with budget.hold(1):
            raise KeyError
    except KeyError:
        pass
    with budget.hold(1):
        pass
