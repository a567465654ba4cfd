"""Say in short words what a trace found: how numbers differ, who was told, who is still to be told."""

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Sequence

from archgen.records.model import Told
from archgen.records.vocabulary.batch_numbers import Difference
from archgen.tracing.book import BatchKind, BatchUse
from archgen.tracing.recall import Trace, Wearer
from archgen.units import date_words
from archgen.wording.counts import count_words

DIFFERENCE_WORDS = {
    Difference.LOOK_ALIKE: "characters that look alike, such as O and 0",
    Difference.SWAPPED: "two characters swapped",
    Difference.ONE_DIGIT: "one digit differs",
    Difference.ONE_LETTER: "one letter differs",
    Difference.ONE_MORE: "one character more or less",
    Difference.PART: "one is part of the other",
    Difference.MOVED_HYPHENS: "hyphens in other places: it may be another date",
    Difference.OTHER_ORDER: "the same parts in another order",
}


def days_words(days: Iterable[dt.date]) -> str:
    """Write all days; nothing when there is none."""
    return ", ".join(date_words(day) for day in days)


def product_words(maker: str | None, name: str | None) -> str:
    """Write "grey wash 2, Brackwater"."""
    return ", ".join(text for text in (name, maker) if text)


def kinds_words(kinds: Sequence[BatchKind]) -> str:
    """Write "Ink and needle", or "Batch" when it is not known."""
    return " and ".join(kind.value for kind in kinds).capitalize() or "Batch"


def told_words(told: Told) -> str:
    """Write "6 May 2026, phone, by Tove: will see a doctor"."""
    day = date_words(told.date) if told.date else "date not recorded"
    words = ", ".join(text for text in (day, told.how, f"by {told.by}" if told.by else None) if text)
    return f"{words}: {told.note}" if told.note else words


def wearers_words(wearers: Iterable[Wearer]) -> str:
    """Count people, and the pieces of which nobody knows the wearer: "4 clients and 1 piece without a client"."""
    clients = [wearer.client for wearer in wearers]
    known, unknown = sum(client is not None for client in clients), clients.count(None)
    parts = [count_words(known, "client")] if known else []
    parts += [f"{count_words(unknown, 'piece')} without a client"] if unknown else []
    return " and ".join(parts) or "nobody"


def pieces_words(uses: Iterable[BatchUse]) -> str:
    """Count the pieces of uses."""
    return count_words(len({use.piece.id for use in uses}), "piece")


def ruled_out_words(trace: Trace) -> tuple[str, ...]:
    """Say how many pieces lack a number and why it isn't this batch all the same, each reason once."""
    reasons = Counter(gap.why for gap in trace.ruled_out)
    return tuple(f"{count_words(count, 'piece')}: {why}" for why, count in reasons.most_common())


def to_tell_words(trace: Trace) -> str:
    """Say who is still to be told of a recall; nothing when no recall is recorded or nobody wears it."""
    if trace.recalled is None or not trace.wearers:
        return ""
    left = trace.to_tell
    if not left:
        return "Everybody was told."
    if len(left) == len(trace.wearers) > 1:
        return "All are still to be told."
    return f"{wearers_words(left)} {'is' if len(left) == 1 else 'are'} still to be told."
