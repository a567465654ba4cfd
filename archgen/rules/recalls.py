"""The rule about recalls: each is one event of the archive."""

import shlex
from collections.abc import Iterable, Iterator, Sequence

from archgen.findings import Severity
from archgen.languages.house import say, say_count
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
                say(
                    "{batch} recalled {day}: {counts}.",
                    batch=batch,
                    day=date_words(recall.recalled),
                    counts=", ".join(_counts(recall)),
                ),
                " ".join(_to_do(recall)),
                file=INKS,
                line=catalogue.ink_lines.get(batch),
            )


def _counts(recall: Trace) -> Iterator[str]:
    clients = [wearer.client for wearer in recall.wearers if wearer.client]
    to_tell = [wearer.client for wearer in recall.to_tell if wearer.client]
    if recall.to_tell:
        yield say_count("{number} piece", "{number} pieces", len({use.piece.id for use in recall.matches}))
    elif recall.matches:
        yield say("everybody was told")
    if to_tell:
        yield _clients_to_tell(len(to_tell), len(clients))
    if unknown := sum(wearer.client is None for wearer in recall.to_tell):
        yield say_count("{number} piece without a client", "{number} pieces without a client", unknown)
    if to_check := len({use.piece.id for near in recall.to_check for use in near.uses}):
        yield say_count(
            "{number} piece with almost the same number", "{number} pieces with almost the same number", to_check
        )


def _clients_to_tell(some: int, clients: int) -> str:
    if some == clients:
        return say_count("{number} client to tell", "{number} clients to tell", clients)
    return say_count("{some} of {number} client to tell", "{some} of {number} clients to tell", clients, some=some)


def _to_do(recall: Trace) -> Iterator[str]:
    batch = shlex.quote(recall.numbers[0])
    people = [_wearer(wearer.client, _titles(wearer.uses)) for wearer in recall.to_tell]
    if people:
        yield say("Put the bottle aside, read the recall notice and tell {people}.", people=_listed(people))
        yield say("Then write it down: archgen trace {batch} --told CLIENT --how phone.", batch=batch)
    labels = [f"{near.batch} ({_titles(near.uses)})" for near in recall.to_check]
    if labels:
        yield say(
            "Check the label of {labels}: correct the record, or add that number to {inks}.",
            labels=_listed(labels),
            inks=INKS,
        )


def _wearer(client: str | None, titles: str) -> str:
    return f"{client} ({titles})" if client else say("whoever wears {titles}", titles=titles)


def _titles(uses: Iterable[BatchUse]) -> str:
    return ", ".join(dict.fromkeys(use.piece.title for use in uses))


def _listed(texts: Sequence[str]) -> str:
    more = len(texts) - _MOST_NAMED
    return ", ".join(texts[:_MOST_NAMED]) + (" " + say("and {number} more", number=more) if more > 0 else "")


RULES = (ArchiveRule("batch.recalled", Severity.WARNING, "Whoever wears a recalled ink should be told.", _recalled),)
