"""Lists one can search, narrow and sort: cards, and the choices with their counts."""

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any, Generic, TypeVar

from archgen.languages.house import say, to_say
from archgen.outputs.archive.context import AlsoUsed
from archgen.outputs.site_pages import PagePicture
from archgen.units import month_words
from archgen.values.frozen import Value
from archgen.wording.pieces import Mark

# Cards on one page of a list; scripts bring the others there as one scrolls.
CARDS_PER_PAGE = 60
# Rows on one page of an index.
ROWS_PER_PAGE = 100
# Choices of a group shown at once; the others are behind "more".
CHOICES_AT_ONCE = 6
# A group with more choices than this is searched, not read.
MOST_CHOICES_READ = 30
NOT_RECORDED = to_say("not recorded")

Subject = TypeVar("Subject")


class Card(Value, frozen=True):
    """One piece or one stencil in a list.

    Attributes:
        drawing: Whether the picture is a stencil, shown in violet on paper.
        longest_mm: The longest side, for the size rule; None when no size is recorded.
        applied: Whether the drawing is the one on the skin.
        mirrored: Whether the stored drawing is mirrored.
        also: Other pieces that use the drawing.
        to_print: A print that is kept ready, from the site's folder, and its words.
    """

    href: str
    title: str
    picture: PagePicture | None
    drawing: bool
    longest_mm: float | None
    lines: tuple[str, ...]
    soft: str | None
    marks: tuple[Mark, ...]
    applied: bool = False
    mirrored: bool = False
    also: tuple[AlsoUsed, ...] = ()
    to_print: tuple[str, str] | None = None
    broken: bool = False


class Choice(Value, frozen=True):
    """One thing to narrow by: its number in the list's script, the key it has in an address, words, count."""

    number: int
    key: str
    words: str
    count: int


class ChoiceGroup(Value, frozen=True):
    """Choices of one kind; a card that has any of the chosen ones stays."""

    key: str
    words: str
    is_open: bool
    choices: tuple[Choice, ...]
    more: tuple[Choice, ...]

    @property
    def is_sought(self) -> bool:
        """Say whether there are so many that one types a few letters of what one wants."""
        return len(self.choices) + len(self.more) > MOST_CHOICES_READ


class Order(Value, frozen=True):
    """One way to sort: a key, the words of the control, and what the count says of it."""

    key: str
    words: str
    said: str


class CardList(Value, Generic[Subject], frozen=True):
    """A whole list: what the page shows and what its script knows.

    Attributes:
        longest_mm: Per card the longest side, as its bar shows it; None when it is not recorded.
        months: Per card the month it was finished in, counted by `month_of`; None without a date.
        subjects: Per card what it shows.
        chosen_by: Per card the numbers of its choices.
        ranks: Per order the rank of each card; the first order is that of the cards.
    """

    cards: tuple[Card, ...]
    groups: tuple[ChoiceGroup, ...]
    orders: tuple[Order, ...]
    longest_mm: tuple[float | None, ...]
    months: tuple[int | None, ...]
    subjects: tuple[Subject, ...]
    chosen_by: tuple[tuple[int, ...], ...]
    ranks: tuple[tuple[int, ...], ...]


class ListEntry(Value, Generic[Subject], frozen=True):
    """A card with what it shows, its traits per group, its sort key per order, and its month where that is known."""

    card: Card
    subject: Subject
    traits: Mapping[str, tuple[str, ...]]
    sorted_by: Mapping[str, Any]
    month: int | None = None


def card_list(
    entries: Iterable[ListEntry[Subject]], groups: Sequence[tuple[str, str]], orders: tuple[Order, ...]
) -> CardList[Subject]:
    """Make a list sorted by the first order; groups are pairs of key and words, empty ones are left out."""
    ordered = sorted(entries, key=lambda entry: entry.sorted_by[orders[0].key])
    numbers: dict[tuple[str, str], int] = {}
    made = [_group(key, words, place, ordered, numbers) for place, (key, words) in enumerate(groups)]
    return CardList(
        cards=tuple(entry.card for entry in ordered),
        groups=tuple(group for group in made if len(group.choices) > 1),
        orders=orders,
        longest_mm=tuple(entry.card.longest_mm for entry in ordered),
        months=tuple(entry.month for entry in ordered),
        subjects=tuple(entry.subject for entry in ordered),
        chosen_by=tuple(tuple(numbers[trait] for trait in _traits(entry)) for entry in ordered),
        ranks=tuple(_ranks([entry.sorted_by[order.key] for entry in ordered]) for order in orders),
    )


def _traits(entry: ListEntry[Any]) -> Iterator[tuple[str, str]]:
    for group, traits in entry.traits.items():
        yield from ((group, trait) for trait in dict.fromkeys(traits))


def _ranks(keys: Sequence[Any]) -> tuple[int, ...]:
    ranks = [0] * len(keys)
    for rank, place in enumerate(sorted(range(len(keys)), key=keys.__getitem__)):
        ranks[place] = rank
    return tuple(ranks)


def _group(
    key: str, words: str, place: int, entries: Sequence[ListEntry[Any]], numbers: dict[tuple[str, str], int]
) -> ChoiceGroup:
    counts = Counter(trait for entry in entries for trait in dict.fromkeys(entry.traits.get(key, ())))
    choices = []
    for trait, count in sorted(counts.items(), key=_most_first):
        numbers[key, trait] = len(numbers)
        choices.append(Choice(numbers[key, trait], f"{key}:{trait}", trait, count))
    more = CHOICES_AT_ONCE if len(choices) > CHOICES_AT_ONCE + 1 else len(choices)
    return ChoiceGroup(key, words, place < 3, tuple(choices[:more]), tuple(choices[more:]))


def _most_first(item: tuple[str, int]) -> tuple[Any, ...]:
    return (item[0] == say(NOT_RECORDED), -item[1], item[0])


def month_of(day: dt.date | None) -> int | None:
    """Count months from the beginning of our years, so that each is a whole number."""
    return day.year * 12 + day.month - 1 if day else None


class MonthRule(Value, frozen=True):
    """All months from the first to the last as a rule with two stops.

    Attributes:
        bars: For each month from the first how many cards are of it, as a share of the most.
        ticks: Whether each month begins a year.
    """

    first: int
    last: int
    bars: tuple[float, ...]
    ticks: tuple[bool, ...]

    @property
    def ends(self) -> tuple[str, str]:
        """Name the first and the last month."""
        return month_words(self.first), month_words(self.last)


def month_rule(months: Iterable[int | None]) -> MonthRule | None:
    """Lay the months of cards on a rule; None where there are not two to choose between."""
    counts = Counter(month for month in months if month is not None)
    if len(counts) < 2:
        return None
    first, last, most = min(counts), max(counts), max(counts.values())
    span = range(first, last + 1)
    bars = tuple(round(counts[month] / most, 3) for month in span)
    return MonthRule(first, last, bars, tuple(month % 12 == 0 for month in span))
