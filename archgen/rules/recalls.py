"""The rule about recalls: each is one event of the archive."""

import shlex
from collections.abc import Iterable, Iterator, Sequence

from archgen.findings import Severity
from archgen.pieces.survey import SurveyedCatalogue
from archgen.records.registers import INKS
from archgen.rules.rule import ArchiveRule, Hit
from archgen.tracing.book import BatchBook, BatchUse
from archgen.tracing.recall import Trace, recalls
from archgen.units import date_words

# People and labels named in one finding; the page and archgen trace have them all.
_MOST_NAMED = 8


def _recalled(catalogue: SurveyedCatalogue) -> Iterator[Hit]:
    """Tell each recall as the one event it is, as long as somebody is to be told or a label to be looked at."""
    if not any(bottle.recalled for bottle in catalogue.inks.values()):
        return
    for recall in recalls(BatchBook(catalogue)):
        if recall.recalled and (recall.to_tell or recall.to_check):
            batch = recall.numbers[0]
            yield Hit(
                f"{batch} recalled {date_words(recall.recalled)}: {', '.join(_counts(recall))}.",
                " ".join(_to_do(recall)),
                file=INKS,
                line=catalogue.ink_lines.get(batch),
            )


def _counts(recall: Trace) -> Iterator[str]:
    clients = [wearer.client for wearer in recall.wearers if wearer.client]
    to_tell = [wearer.client for wearer in recall.to_tell if wearer.client]
    if recall.to_tell:
        yield _count(len({use.piece.id for use in recall.matches}), "piece")
    elif recall.matches:
        yield "everybody was told"
    if to_tell:
        some = f"{len(to_tell)} of " if len(to_tell) < len(clients) else ""
        yield f"{some}{_count(len(clients), 'client')} to tell"
    if unknown := sum(wearer.client is None for wearer in recall.to_tell):
        yield f"{_count(unknown, 'piece')} without a client"
    if to_check := len({use.piece.id for near in recall.to_check for use in near.uses}):
        yield f"{_count(to_check, 'piece')} with almost the same number"


def _to_do(recall: Trace) -> Iterator[str]:
    batch = shlex.quote(recall.numbers[0])
    people = [
        f"{wearer.client} ({_titles(wearer.uses)})" if wearer.client else f"whoever wears {_titles(wearer.uses)}"
        for wearer in recall.to_tell
    ]
    if people:
        yield f"Put the bottle aside, read the recall notice and tell {_listed(people)}."
        yield f"Then write it down: archgen trace {batch} --told CLIENT --how phone."
    labels = [f"{near.batch} ({_titles(near.uses)})" for near in recall.to_check]
    if labels:
        yield f"Check the label of {_listed(labels)}: correct the record, or add that number to {INKS}."


def _titles(uses: Iterable[BatchUse]) -> str:
    return ", ".join(dict.fromkeys(use.piece.title for use in uses))


def _listed(texts: Sequence[str]) -> str:
    more = len(texts) - _MOST_NAMED
    return ", ".join(texts[:_MOST_NAMED]) + (f" and {more} more" if more > 0 else "")


def _count(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"


RULES = (ArchiveRule("batch.recalled", Severity.WARNING, "Whoever wears a recalled ink should be told.", _recalled),)
