"""Two cameras an hour apart are brought to one clock where frames of one moment show it, and only there."""

import datetime as dt

import pytest

from archgen.intake.clocks import one_clock
from archgen.intake.comparing.likeness import NewTwins
from archgen.intake.grouping import Bunch
from archgen.intake.reading.seen import SeenPicture
from archgen.intake.reading.sorting import Sorted
from archgen.intake.sources import SourceFile
from archgen.metadata.origin import FileOrigin
from archgen.picture_facts.facts import Role
from archgen.twins.model import Pair, Relation
from tests.unit.intake.test_sorting import look


def shot(name, camera, time, role=Role.PHOTO):
    seen = look(digest=name, origin=FileOrigin(camera=camera))
    moment = dt.datetime.fromisoformat(f"2026-11-26 {time}") if time else None
    return SeenPicture(SourceFile(None, name), seen, Sorted(role, "", "", 0.9, Role.REFERENCE), moment)


def twins(*names, relation=Relation.BURST):
    pair = Pair(*names, relation, mirrored=False, turned=0, transform=(1, 0, 0, 0, 1, 0), score=0.95)
    return NewTwins(among={frozenset(names): pair})


def times(bunch):
    return {one.name: one.moment.strftime("%H:%M") for one in bunch.photos}


def bunch(gap="15:45"):
    return Bunch(
        [shot("a", "One", "14:40"), shot("b", "One", "14:45"), shot("c", "Two", gap), shot("d", "Two", "13:00")]
    )


def test_the_rarer_cameras_times_are_moved_by_whole_half_hours():
    made = Bunch([*bunch().pictures, shot("e", "One", "14:50")])
    moved = one_clock(made, twins("b", "c"))
    assert times(moved) == {"a": "14:40", "b": "14:45", "c": "14:45", "d": "12:00", "e": "14:50"}
    assert moved.why["c"] == "the clock of its camera is 1 h ahead of the other's"


@pytest.mark.parametrize("gap", ["14:46", "15:05", "04:00"])
def test_other_gaps_are_left(gap):
    made = bunch(gap)
    assert times(one_clock(made, twins("b", "c"))) == times(made)


def test_without_a_common_moment_nothing_is_moved():
    made = bunch()
    assert times(one_clock(made, NewTwins())) == times(made)
    assert times(one_clock(made, twins("b", "c", relation=Relation.VERSION))) == times(made)


def test_one_camera_is_left_alone():
    made = Bunch([shot("a", "One", "14:40"), shot("b", "One", "15:40")])
    assert one_clock(made, twins("a", "b")) is made
