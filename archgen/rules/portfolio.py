"""The rules about the portfolio beside single pieces: what comes first, designs, and what is hard to keep out of it."""

from collections.abc import Iterator

from archgen.config import FILE
from archgen.findings import Severity
from archgen.languages.house import say, say_count
from archgen.leaks.values.spellings import is_short_code
from archgen.pieces.survey import SurveyedCatalogue
from archgen.records.designs.model import DesignState
from archgen.records.registers import CLIENTS
from archgen.rules.rule import ArchiveRule, Hit
from archgen.toml.problem import nearest, shown
from archgen.units import date_words


def _order(catalogue: SurveyedCatalogue) -> Iterator[Hit]:
    ids = [piece.id for piece in catalogue.pieces]
    for name in dict.fromkeys(catalogue.config.portfolio.order):
        if name not in ids:
            near = nearest(name, ids)
            meant = say('Did you mean "{near}"?', near=near) if near else say("Write the name of the piece's folder.")
            yield Hit(
                say('"{name}" is to come first in the portfolio, and there is no such piece.', name=name),
                meant,
                file=FILE,
            )


def _held_back(catalogue: SurveyedCatalogue) -> Iterator[Hit]:
    for design in catalogue.designs:
        decision = catalogue.publications[design.id]
        if design.record and decision.wanted and not decision.shown:
            problem = say(
                "The design {title} isn't shown in the portfolio: {reasons}",
                title=shown(design.title),
                reasons=decision.reasons[0],
            )
            yield Hit(problem, say("Answer that in its record, then build again."), file=design.toml)


def _held_over(catalogue: SurveyedCatalogue) -> Iterator[Hit]:
    for design in catalogue.designs:
        said = design.record
        if said and said.state is DesignState.HELD and said.until and said.until < catalogue.built_on:
            problem = say(
                "The design {title} was held until {until}.", title=shown(design.title), until=date_words(said.until)
            )
            remedy = say('Ask whoever wanted it, then write state = "free" or "taken", or a later day.')
            yield Hit(problem, remedy, file=design.toml, line=design.lines.get("until"))


def _unknown_holder(catalogue: SurveyedCatalogue) -> Iterator[Hit]:
    for design in catalogue.designs:
        holder = design.record.holder if design.record else None
        if holder and catalogue.clients and catalogue.client(holder) is None:
            near = nearest(holder, catalogue.clients)
            meant = (
                say('Did you mean "{near}"?', near=near) if near else say("Correct the code, or add the client there.")
            )
            problem = say(
                "{holder}, for whom the design {title} is held, isn't among your clients.",
                holder=shown(holder),
                title=shown(design.title),
            )
            yield Hit(problem, meant, file=design.toml, line=design.lines.get("holder"))


def _short_code(catalogue: SurveyedCatalogue) -> Iterator[Hit]:
    short = [code for code in catalogue.clients if is_short_code(code)]
    if short:
        problem = say_count(
            "{number} client code, {code}, is so short that a search for it finds chance in every page.",
            "{number} client codes, such as {code}, are so short that a search for them finds chance in every page.",
            len(short),
            code=shown(short[0]),
        )
        remedy = say(
            "Before anything is public it is looked for only where it stands by itself in a text, not inside of files. "
            'Codes of four letters and digits or more, such as "C-0003", are looked for everywhere.'
        )
        yield Hit(problem, remedy, file=CLIENTS)


RULES = (
    ArchiveRule("portfolio.short-code", Severity.NOTE, "A code must be told from chance to be kept in.", _short_code),
    ArchiveRule("portfolio.order", Severity.NOTE, "The piece that is to come first should come first.", _order),
    ArchiveRule(
        "design.held-back", Severity.WARNING, "A design is offered only where its references allow it.", _held_back
    ),
    ArchiveRule("design.held-over", Severity.NOTE, "A design that nobody fetches should be free again.", _held_over),
    ArchiveRule("design.unknown-holder", Severity.NOTE, "Who a design is held for must be found.", _unknown_holder),
)
