"""Planned pictures for tests, without any file behind them."""

import datetime as dt
from pathlib import Path

from archgen.intake.plan import GroupKind, Guess, PlannedGroup, PlannedPicture, What
from archgen.picture_facts.facts import Derivative


def planned(name, what=What.FRESH, **more):
    role = what.folder or "photos"
    values = {
        "source": Path("/phone") / name,
        "name": name,
        "digest": name.encode().hex().ljust(64, "0"),
        "file_bytes": 10,
        "width": 3000,
        "height": 4000,
        "taken": None,
        "moment": more.get("taken"),
        "guess": Guess(what, "", "", False, What.OUT),
        "file": f"{role}/{name}",
        "small": Derivative(100, 120, "a.jpg"),
        **more,
    }
    return PlannedPicture(**values)


def taken(name, hour, minute, what=What.FRESH, day=26, **more):
    moment = dt.datetime(2026, 11, day, hour, minute)  # noqa: DTZ001 - as cameras write it
    return planned(name, what, taken=moment, **more)


def group(*pictures, day=dt.date(2026, 11, 26)):
    return PlannedGroup("a", GroupKind.NEW_PIECE, "New piece", "2026-11-26-new-piece", day, pictures)
