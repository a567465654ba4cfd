"""A value can do what a frozen dataclass can."""

import copy
import dataclasses
import pickle

import pytest

from archgen.values.frozen import Value


class Inner(Value, frozen=True):
    """A value in another."""

    name: str


class Outer(Value, frozen=True):
    """A value with one of its own, and a default."""

    inner: Inner
    sizes: tuple[float, ...] = ()


ONE = Outer(Inner("owl"), (1.5,))


def test_values_that_hold_the_same_are_the_same():
    assert Outer(Inner("owl"), (1.5,)) == ONE
    assert hash(Outer(Inner("owl"), (1.5,))) == hash(ONE)
    assert Outer(Inner("moth"), (1.5,)) != ONE


def test_a_value_is_never_changed():
    with pytest.raises(AttributeError):
        ONE.sizes = ()


def test_dataclasses_takes_it_for_one_of_its_own():
    assert dataclasses.is_dataclass(Outer)
    assert dataclasses.replace(ONE, sizes=()) == Outer(Inner("owl"))
    assert dataclasses.asdict(ONE) == {"inner": {"name": "owl"}, "sizes": (1.5,)}
    assert [field.name for field in dataclasses.fields(Outer)] == ["inner", "sizes"]
    assert [field.name for field in dataclasses.fields(ONE.inner)] == ["name"]


def test_it_reads_as_it_is_written():
    assert repr(ONE) == "Outer(inner=Inner(name='owl'), sizes=(1.5,))"


def test_copies_are_the_same():
    assert copy.deepcopy(ONE) == pickle.loads(pickle.dumps(ONE)) == ONE  # noqa: S301  our own bytes
