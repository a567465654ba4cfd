"""Gather new pictures into pieces: photos by time and likeness, then stencils and references by what binds them."""

import datetime as dt
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

from archgen.intake.comparing.likeness import NewTwins
from archgen.intake.reading.dates import number_in_name
from archgen.intake.reading.seen import SeenPicture
from archgen.languages.house import say, say_count
from archgen.picture_facts.facts import Role

# Photos of one sitting with less than this between two of them belong together while nothing says otherwise; lunch is
# shorter, and two clients a day have more between the last photo of one and the first of the other. Common practice.
ONE_SITTING = dt.timedelta(hours=4)
# Running numbers this close come from one camera on one day.
_NEAR_NUMBER = 12
# Days a stencil is drawn, or a reference saved, before the sitting; common practice, no source.
_BEFORE = dt.timedelta(days=21)

Tie = Callable[[SeenPicture, SeenPicture], str | None]


@dataclass(slots=True)
class Bunch:
    """Pictures that belong together, and why those that have no time of their own do."""

    pictures: list[SeenPicture]
    why: dict[str, str] = field(default_factory=dict)
    doubtful: set[str] = field(default_factory=set)

    @property
    def photos(self) -> list[SeenPicture]:
        """Give the photos, by time."""
        photos = [picture for picture in self.pictures if picture.is_photo]
        return sorted(photos, key=lambda one: (one.moment is None, str(one.moment), one.name))

    @property
    def span(self) -> tuple[dt.datetime, dt.datetime] | None:
        """Give the first and the last moment of its photos; None when none has one."""
        moments = [one.moment for one in self.photos if one.moment]
        return (min(moments), max(moments)) if moments else None


def gather_pieces(pictures: Sequence[SeenPicture], likeness: NewTwins, same_lines: Tie) -> list[Bunch]:
    """Gather new pictures, the earliest first; `same_lines` says why two show one drawing, or nothing."""
    photos = [picture for picture in pictures if picture.is_photo]
    bunches = _by_time(photos, likeness, same_lines)
    for picture in pictures:
        if not picture.is_photo:
            _place(picture, bunches, likeness, same_lines)
    return sorted(bunches, key=_order)


def _order(bunch: Bunch) -> tuple[str, str]:
    return str(bunch.span[0] if bunch.span else "9999"), min(one.name for one in bunch.pictures)


def _by_time(photos: Sequence[SeenPicture], likeness: NewTwins, same_lines: Tie) -> list[Bunch]:
    dated = sorted((one for one in photos if one.moment), key=lambda one: (one.moment, one.name))
    bunches: list[Bunch] = []
    for one in dated:
        last = bunches[-1].pictures[-1].moment if bunches else None
        assert one.moment is not None  # noqa: S101  dated
        if last is not None and one.moment - last <= ONE_SITTING and one.moment.date() == last.date():
            bunches[-1].pictures.append(one)
        else:
            bunches.append(Bunch([one]))
    for one in (one for one in photos if one.moment is None):
        _place(one, bunches, likeness, same_lines)
    return bunches


def _place(picture: SeenPicture, bunches: list[Bunch], likeness: NewTwins, same_lines: Tie) -> None:
    """Put a picture to the bunch that something binds it to, else by itself."""
    bound = [(tie, bunch) for bunch in bunches if (tie := _tie(picture, bunch, likeness, same_lines))]
    if not bound:
        bunches.append(Bunch([picture], doubtful={picture.digest} if not picture.is_photo else set()))
        return
    tie, bunch = min(bound, key=lambda one: one[0].rank)
    bunch.pictures.append(picture)
    bunch.why[picture.digest] = tie.words
    if tie.is_weak:
        bunch.doubtful.add(picture.digest)


@dataclass(frozen=True, slots=True)
class _Bond:
    rank: tuple[int, float]
    words: str
    is_weak: bool = False


def _tie(picture: SeenPicture, bunch: Bunch, likeness: NewTwins, same_lines: Tie) -> _Bond | None:
    """Say what binds a picture to a bunch, the strongest only."""
    for one in bunch.pictures:
        if likeness.between(picture, one) is not None:
            return _Bond((0, 0.0), say("the same picture as {file} in another form", file=_short(one)))
    for one in bunch.pictures:
        if one.sorted.role is not picture.sorted.role and (words := same_lines(picture, one)):
            return _Bond((1, 0.0), words)
    if words := _shared_word(picture, bunch.pictures):
        return _Bond((2, 0.0), words)
    for one in bunch.pictures:
        ours, theirs = number_in_name(picture.name), number_in_name(one.name)
        if ours and theirs and ours[0] == theirs[0] and abs(ours[1] - theirs[1]) <= _NEAR_NUMBER:
            return _Bond(
                (3, abs(ours[1] - theirs[1])),
                say("its number is next to that of {file}", file=_short(one)),
                is_weak=True,
            )
    if bunch.span and picture.moment:
        before = bunch.span[0] - picture.moment
        if dt.timedelta(hours=-12) <= before <= _BEFORE:
            days = max(before.days, 0)
            words = say_count("made {number} day before", "made {number} days before", days)
            words = words if days else say("of the same day")
            return _Bond((4, before.total_seconds()), words, is_weak=days > 0 and picture.sorted.role is Role.REFERENCE)
    return None


def _short(picture: SeenPicture) -> str:
    return picture.name.rpartition("/")[2]


def _words(name: str) -> set[str]:
    stem = name.rpartition("/")[2].rpartition(".")[0].casefold()
    letters = "".join(one if one.isalpha() else " " for one in stem)
    return {word for word in letters.split() if len(word) > 3} - _NO_NAMES


# Words that stand in the names of any pictures.
_NO_NAMES = frozenset(
    (
        *("image", "photo", "picture", "screenshot", "scan", "final", "fresh", "healed", "stencil", "line", "lines"),
        *("reference", "version", "copy", "edited", "mirrored"),
    )
)


def _shared_word(picture: SeenPicture, others: Iterable[SeenPicture]) -> str | None:
    ours = _words(picture.name)
    for one in others:
        if shared := ours & _words(one.name):
            return say("its name says {word}, as {file} does", word=min(shared), file=_short(one))
    return None
