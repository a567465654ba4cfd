"""What is used how fast, what is open and for how long it will last: from records alone, nothing is counted by hand.

A bottle or box lasts as many pieces as those of its kind that were used up; fewer than two of them foretell nothing.
Pieces differ, so how long it lasts is said between the shortest and the longest of them (our own rule of thumb).
"""

import datetime as dt
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from enum import Enum

import msgspec

from archgen.records.model import Box, InkBatch
from archgen.records.vocabulary.needles import read_needles
from archgen.tracing.book import BatchBook, BatchKind, BatchUse
from archgen.values.frozen import Value

MONTHS = 12
_DAYS_A_MONTH = 365.25 / 12
# What was not used for so long is not reordered.
_ASLEEP_MONTHS = 6
# To be reordered when it may be empty so soon.
_SOON_MONTHS = 1.0
_USED_UP = 2
_USES = 3
_Key = tuple[BatchKind, str]


class Need(Enum):
    """What is to be done about a product, the most urgent first."""

    RECALLED = "recalled"
    EXPIRED = "expired"
    REORDER = "reorder"
    EXPIRES_FIRST = "expires-first"
    MAY_EXPIRE = "may-expire"
    NOTHING = "nothing"


class Container(Value, frozen=True):
    """A bottle or box of the register.

    Attributes:
        pieces: In how many pieces it was used.
        uses: What for, the most frequent first, in the artist's words.
        is_past: Whether its date passed.
        months_left: Between how many months from today it will be used up; None where nothing foretells it.
        pieces_to_date: How many pieces may be made until its date at the pace there is; None without either.
    """

    batch: str
    opened: dt.date | None
    closed: dt.date | None
    expiry: dt.date | None
    recalled: dt.date | None
    pieces: int
    uses: tuple[str, ...]
    is_past: bool = False
    months_left: tuple[float, float] | None = None
    pieces_to_date: float | None = None

    @property
    def is_open(self) -> bool:
        """Say whether it was opened and not used up."""
        return self.opened is not None and self.closed is None

    @property
    def is_usable(self) -> bool:
        """Say whether it is neither recalled nor past its date."""
        return not self.recalled and not self.is_past


class Product(Value, frozen=True):
    """An ink or a needle, by its name.

    Attributes:
        by_month: Pieces in each of the last twelve months, this one last.
        pace: Pieces a month over that time, or since the first record where that is less.
        containers: Those that are open or were never opened, the oldest first.
        used_up: How many were.
        runs_out: Whether it is in use and may soon be used up, by date or call too.
    """

    kind: BatchKind
    name: str
    by_month: tuple[int, ...]
    pace: float
    last_used: dt.date | None
    containers: tuple[Container, ...]
    used_up: int
    runs_out: bool
    need: Need


def take_stock(book: BatchBook, today: dt.date) -> tuple[Product, ...]:
    """Say for every ink and needle how it stands, what needs something first, then by use."""
    names: dict[_Key, str] = {}
    uses: dict[_Key, list[BatchUse]] = defaultdict(list)
    held: dict[_Key, list[Container]] = defaultdict(list)
    for use in book.uses:
        for name in _names(use.kind, use.name or ""):
            key = use.kind, _plain(name)
            names.setdefault(key, name)
            uses[key].append(use)
    by_container = _by_container(book)
    register: tuple[tuple[BatchKind, str, InkBatch | Box], ...] = (
        *((BatchKind.INK, one.name or one.batch, one) for one in book.catalogue.inks.values()),
        *((BatchKind.NEEDLE, one.code, one) for one in book.catalogue.boxes),
    )
    for kind, written, one in register:
        for name in _names(kind, written):
            key = kind, _plain(name)
            names.setdefault(key, name)
            held[key].append(_container(one, by_container.get((kind, one.batch or ""), ()), today))
    first = min((use.last_day for found in uses.values() for use in found if use.last_day), default=today)
    months = min(MONTHS, max(1.0, (today - first).days / _DAYS_A_MONTH))
    products = [_product(key, name, uses[key], held[key], (today, months)) for key, name in names.items()]
    order = list(Need)
    return tuple(sorted(products, key=lambda one: (one.kind.value, order.index(one.need), -one.pace, one.name)))


def _plain(name: str) -> str:
    return "".join(name.casefold().split())


def _names(kind: BatchKind, written: str) -> list[str]:
    """Give the inks or needles that words name."""
    if kind is BatchKind.INK:
        return [written] if written else []
    return needle_names(written) if kind is BatchKind.NEEDLE else []


def needle_names(written: str) -> list[str]:
    """Give the needles that words name, each once: "3RL, 7RL" are two, and "1203RL" is a 3 round liner."""
    found = {}
    for one in read_needles(written):
        name = one.text
        if one.count and one.grouping:
            name = f"{one.count} {one.grouping.value}{' bugpin' if one.bugpin else ''}"
        found[_plain(name)] = name
    return list(found.values())


def _by_container(book: BatchBook) -> dict[_Key, list[BatchUse]]:
    """Sort the uses by the number of the bottle or box as the register writes it."""
    found: dict[_Key, list[BatchUse]] = defaultdict(list)
    for use in book.uses:
        if use.kind is BatchKind.INK:
            for bottle in book.catalogue.bottles(use.batch):
                found[use.kind, bottle.batch].append(use)
        elif use.kind is BatchKind.NEEDLE and (box := book.box(use.batch)):
            found[use.kind, box.batch or ""].append(use)
    return found


def _container(one: InkBatch | Box, uses: Sequence[BatchUse], today: dt.date) -> Container:
    words = Counter(use.use for use in uses if use.use)
    return Container(
        batch=one.batch or "",
        opened=one.opened,
        closed=one.closed,
        expiry=one.expiry,
        recalled=one.recalled if isinstance(one, InkBatch) else None,
        pieces=len({use.piece.id for use in uses}),
        uses=tuple(word for word, _ in words.most_common(_USES)),
        is_past=one.expiry is not None and one.expiry < today,
    )


def _product(
    key: _Key,
    name: str,
    uses: Sequence[BatchUse],
    held: Sequence[Container],
    now: tuple[dt.date, float],
) -> Product:
    today, months = now
    days = {use.piece.id: use.last_day for use in uses if use.last_day and use.last_day <= today}
    by_month = Counter(_months_before(today, day) for day in days.values() if day)
    recent = [by_month[at] for at in reversed(range(MONTHS))]
    pace = sum(recent) / months
    lasted = sorted(one.pieces for one in held if one.closed and one.pieces)
    at_hand = [one for one in held if not one.closed or one.closed > today]
    at_hand.sort(key=lambda one: (not one.is_open, one.opened or one.expiry or dt.date.max, one.batch))
    containers = tuple(_foretold(one, lasted, pace, today) for one in at_hand)
    last = max((day for day in days.values() if day), default=None)
    # Of what was never registered nobody knows whether more lies in the drawer.
    runs_out = bool(held) and _runs_out(containers, last, today)
    return Product(
        kind=key[0],
        name=name,
        by_month=tuple(recent),
        pace=pace,
        last_used=last,
        containers=containers,
        used_up=sum(one.closed is not None for one in held),
        runs_out=runs_out,
        need=_need(containers, today, runs_out=runs_out),
    )


def _months_before(today: dt.date, day: dt.date) -> int:
    return (today.year - day.year) * 12 + today.month - day.month


def _foretold(one: Container, lasted: Sequence[int], pace: float, today: dt.date) -> Container:
    if not one.is_open or not pace:
        return one
    to_date = _months_to(one.expiry, today) * pace if one.expiry and one.is_usable else None
    if len(lasted) < _USED_UP:
        return msgspec.structs.replace(one, pieces_to_date=to_date)
    least, most = (max(pieces - one.pieces, 0) / pace for pieces in (lasted[0], lasted[-1]))
    return msgspec.structs.replace(one, months_left=(least, most), pieces_to_date=to_date)


def _runs_out(containers: Iterable[Container], last: dt.date | None, today: dt.date) -> bool:
    """Say whether what is in use needs a new one; a bottle never opened is a reserve."""
    is_awake = last is not None and _months_before(today, last) < _ASLEEP_MONTHS
    usable = [one for one in containers if one.is_usable]
    return is_awake and all(one.is_open and one.months_left and one.months_left[0] <= _SOON_MONTHS for one in usable)


def _need(containers: Sequence[Container], today: dt.date, *, runs_out: bool) -> Need:
    """Say what is most urgent."""
    opened = [one for one in containers if one.is_open]
    if any(one.recalled for one in opened):
        return Need.RECALLED
    if any(one.is_past for one in opened):
        return Need.EXPIRED
    if runs_out:
        return Need.REORDER
    found = {_expires(one, today) for one in opened if one.is_usable}
    return next((need for need in (Need.EXPIRES_FIRST, Need.MAY_EXPIRE) if need in found), Need.NOTHING)


def _months_to(day: dt.date, today: dt.date) -> float:
    return (day - today).days / _DAYS_A_MONTH


def _expires(one: Container, today: dt.date) -> Need:
    if one.expiry is None or one.months_left is None:
        return Need.NOTHING
    months = _months_to(one.expiry, today)
    least, most = one.months_left
    return Need.EXPIRES_FIRST if months < least else Need.MAY_EXPIRE if months < most else Need.NOTHING
