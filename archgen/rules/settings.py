"""The rule about what archive.toml names of the archive."""

from collections.abc import Iterator

from archgen.config import FILE
from archgen.findings import Severity
from archgen.pieces.survey import SurveyedCatalogue
from archgen.rules.rule import ArchiveRule, Hit
from archgen.toml.problem import nearest


def _order(catalogue: SurveyedCatalogue) -> Iterator[Hit]:
    ids = [piece.id for piece in catalogue.pieces]
    for name in dict.fromkeys(catalogue.config.portfolio.order):
        if name not in ids:
            near = nearest(name, ids)
            meant = f'Did you mean "{near}"?' if near else "Write the name of the piece's folder."
            yield Hit(f'"{name}" is to come first in the portfolio, and there is no such piece.', meant, file=FILE)


RULES = (ArchiveRule("portfolio.order", Severity.NOTE, "The piece that is to come first should come first.", _order),)
