"""Two cameras whose clocks differ: found by frames of one moment, put right by moving the rarer camera's times."""

import datetime as dt
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations
from statistics import median

from archgen.intake.comparing.likeness import NewTwins
from archgen.intake.grouping import Bunch
from archgen.intake.reading.dates import span_words
from archgen.intake.reading.seen import SeenPicture
from archgen.languages.house import say
from archgen.twins.model import Relation

# Clocks differ by zones and by summer time: by half hours, give or take how wrong a clock runs.
_STEP, _OFF = dt.timedelta(minutes=30), dt.timedelta(minutes=8)
_MOST = dt.timedelta(hours=14)
_ONE_MOMENT = frozenset({Relation.BURST, Relation.EDITED, Relation.IDENTICAL, Relation.CROPPED})


def one_clock(bunch: Bunch, twins: NewTwins) -> Bunch:
    """Give the bunch with all photos by the clock of the camera that took most of them."""
    cameras = Counter(one.look.origin.camera for one in bunch.photos if one.moment)
    if len(cameras) < 2:
        return bunch
    usual = max(cameras, key=lambda camera: (cameras[camera], str(camera)))
    pictures, why = list(bunch.pictures), dict(bunch.why)
    for camera in cameras:
        shift = _apart(bunch, twins, usual, camera) if camera != usual else None
        if shift is None:
            continue
        for number, one in enumerate(pictures):
            if one.moment and one.look.origin.camera == camera:
                pictures[number] = replace(one, moment=one.moment - shift)
                ahead = say("the clock of its camera is {time} ahead of the other's", time=span_words(abs(shift)))
                behind = say("the clock of its camera is {time} behind the other's", time=span_words(abs(shift)))
                why[one.digest] = ahead if shift > dt.timedelta(0) else behind
    return Bunch(pictures, why, bunch.doubtful)


def _apart(bunch: Bunch, twins: NewTwins, usual: str | None, camera: str | None) -> dt.timedelta | None:
    """Give how far a camera's clock is ahead of the usual one's, in half hours; None when nothing shows it."""
    found = [gap.total_seconds() for gap in _gaps(bunch, twins, usual, camera)]
    if not found:
        return None
    gap = dt.timedelta(seconds=median(found))
    steps = round(gap / _STEP)
    if not steps or abs(gap) > _MOST or abs(gap - steps * _STEP) > _OFF:
        return None
    return steps * _STEP


def _gaps(bunch: Bunch, twins: NewTwins, usual: str | None, camera: str | None) -> Iterator[dt.timedelta]:
    for one, other in combinations(bunch.photos, 2):
        pair = twins.between(one, other)
        if pair is None or pair.relation not in _ONE_MOMENT or not one.moment or not other.moment:
            continue
        by_camera: dict[str | None, SeenPicture] = {one.look.origin.camera: one, other.look.origin.camera: other}
        if set(by_camera) == {usual, camera}:
            ours, theirs = by_camera[usual].moment, by_camera[camera].moment
            assert ours is not None  # noqa: S101  both have one
            assert theirs is not None  # noqa: S101
            yield theirs - ours
