"""Say in short words what a trace found: how numbers differ, who was told, who is still to be told."""

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Sequence

from archgen.languages.house import say, say_all, say_count, say_in, to_say
from archgen.records.model import Told
from archgen.records.vocabulary.batch_numbers import Difference
from archgen.tracing.book import BatchKind, BatchUse
from archgen.tracing.recall import Trace, Wearer
from archgen.units import date_words

DIFFERENCE_WORDS = {
    Difference.LOOK_ALIKE: to_say("characters that look alike, such as O and 0"),
    Difference.SWAPPED: to_say("two characters swapped"),
    Difference.ONE_DIGIT: to_say("one digit differs"),
    Difference.ONE_LETTER: to_say("one letter differs"),
    Difference.ONE_MORE: to_say("one character more or less"),
    Difference.PART: to_say("one is part of the other"),
    Difference.MOVED_HYPHENS: to_say("hyphens in other places: it may be another date"),
    Difference.OTHER_ORDER: to_say("the same parts in another order"),
}


def days_words(days: Iterable[dt.date]) -> str:
    """Write all days; nothing when there is none."""
    return ", ".join(date_words(day) for day in days)


def product_words(maker: str | None, name: str | None) -> str:
    """Write "grey wash 2, Brackwater"."""
    return ", ".join(text for text in (name, maker) if text)


def kinds_words(kinds: Sequence[BatchKind]) -> str:
    """Write "Ink and needle", or "Batch" when it is not known."""
    words = say_all([say_in("batch", kind.value) for kind in kinds])
    return words[:1].upper() + words[1:] or say("Batch")


def told_words(told: Told) -> str:
    """Write "6 May 2026, phone, by Tove: will see a doctor"."""
    day = date_words(told.date) if told.date else say("date not recorded")
    words = ", ".join(text for text in (day, told.how, say("by {by}", by=told.by) if told.by else None) if text)
    return f"{words}: {told.note}" if told.note else words


def wearers_words(wearers: Iterable[Wearer]) -> str:
    """Count people, and the pieces of which nobody knows the wearer: "4 clients and 1 piece without a client"."""
    clients = [wearer.client for wearer in wearers]
    known, unknown = sum(client is not None for client in clients), clients.count(None)
    parts = [say_count("{number} client", "{number} clients", known)] if known else []
    if unknown:
        parts.append(say_count("{number} piece without a client", "{number} pieces without a client", unknown))
    return say_all(parts) or say("nobody")


def pieces_words(uses: Iterable[BatchUse]) -> str:
    """Count the pieces of uses."""
    return say_count("{number} piece", "{number} pieces", len({use.piece.id for use in uses}))


def ruled_out_words(trace: Trace) -> tuple[str, ...]:
    """Say how many pieces lack a number and why it isn't this batch all the same, each reason once."""
    reasons = Counter(gap.why for gap in trace.ruled_out)
    return tuple(
        say_count("{number} piece: {why}", "{number} pieces: {why}", count, why=why)
        for why, count in reasons.most_common()
    )


def to_tell_words(trace: Trace) -> str:
    """Say who is still to be told of a recall; nothing when no recall is recorded or nobody wears it."""
    if trace.recalled is None or not trace.wearers:
        return ""
    left = trace.to_tell
    if not left:
        return say("Everybody was told.")
    if len(left) == len(trace.wearers) > 1:
        return say("All are still to be told.")
    who = wearers_words(left)
    if len(left) == 1:
        return say("{who} is still to be told.", who=who)
    return say("{who} are still to be told.", who=who)
