"""Digests of plain values: equal ones are of equal values, so that what was made of a value need not be made again."""

import datetime as dt
import hashlib
from typing import Any

import msgspec


def value_digest(value: object) -> str:
    """Give a digest of plain values; the class a value is of is no part of it."""
    return hashlib.sha256(_ENCODER.encode(value)).hexdigest()


def _plain(value: Any) -> float | str:
    if isinstance(value, float):  # a length, or hours
        return float(value)
    if isinstance(value, dt.date):  # a day that is watched: as part of a digest it is asked
        return value.isoformat()
    raise NotImplementedError(type(value).__name__)


_ENCODER = msgspec.msgpack.Encoder(enc_hook=_plain, order="deterministic")
