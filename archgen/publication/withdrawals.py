"""List pieces that had to leave the public eye, without a word about who asked; knows records, not files.

Whether a piece left is said only where the portfolio's folder was looked at.
"""

import datetime as dt
from collections.abc import Iterable, Mapping
from urllib.parse import quote

from archgen.catalogue import Catalogue, PortfolioFolder
from archgen.clock import printed
from archgen.languages.house import say
from archgen.publication.decision import Publication, decide_all
from archgen.publication.public_catalogue import former_addresses
from archgen.publication.releases import has_ended, is_withdrawn
from archgen.records.model import Piece, PieceRecord
from archgen.toml.problem import as_text
from archgen.units import date_words
from archgen.values.frozen import Value


class Withdrawal(Value, frozen=True):
    """A piece that must not be shown any more.

    Attributes:
        since: None when the day was not recorded.
        is_there: Whether it still lies in the portfolio's folder; None where nobody looked.
        addresses: The paths of its page and its pictures in the portfolio, by its title and photos of now.
    """

    piece: str
    title: str
    since: dt.date | None
    reason: str
    is_there: bool | None = None
    addresses: tuple[str, ...] = ()


def find_withdrawals(
    catalogue: Catalogue, publications: Mapping[str, Publication] | None = None
) -> tuple[Withdrawal, ...]:
    """List the pieces whose release was withdrawn or ended, or a right to whose reference ended; latest first.

    Without `publications` what may be public is decided here.
    """
    decided = decide_all(catalogue) if publications is None else publications
    hidden = (piece for piece in catalogue.pieces if not decided[piece.id].shown)
    found = [removal for piece in hidden if (removal := _withdrawal(piece, catalogue, decided))]
    return tuple(sorted(found, key=lambda one: (-(one.since or dt.date.min).toordinal(), one.piece)))


def _withdrawal(piece: Piece, catalogue: Catalogue, decided: Mapping[str, Publication]) -> Withdrawal | None:
    found = _why(piece.record, catalogue.built_on) if piece.record else None
    if found is None:
        return None
    reason, since = found
    is_there = catalogue.is_in_portfolio(piece.id)
    addresses = former_addresses(piece, catalogue, decided) if is_there is False else ()
    return Withdrawal(piece.id, piece.title, since, reason, is_there, addresses)


def _why(record: PieceRecord, today: dt.date) -> tuple[str, dt.date | None] | None:
    release = record.release
    if is_withdrawn(release):
        return say("photo release withdrawn"), release.withdrawn
    if has_ended(release, today):
        return say("photo release ended"), release.expires
    ended = [one.expires for one in record.reference if one.used and one.expires and one.expires < today]
    return (say("right to a reference ended"), max(ended)) if record.publish and ended else None


def since_words(since: dt.date | None) -> str:
    """Say since when."""
    return say("since {day}", day=date_words(since)) if since else say("date not recorded")


def write_withdrawals(catalogue: Catalogue, publications: Mapping[str, Publication] | None = None) -> str:
    """Write the log: a line for each piece, and the addresses to ask others to drop."""
    found = find_withdrawals(catalogue, publications)
    if not found:
        return say("Nothing had to be removed.") + "\n"
    lines = [
        say("Not to be shown any more, as of {day}:", day=date_words(printed(catalogue.built_on))),
        "",
        *map(_line, found),
    ]
    paths = [path for one in found for path in one.addresses]
    if paths:
        lines += ["", *_addresses(paths, catalogue.config.portfolio.url)]
    return "\n".join(lines) + "\n"


def _line(one: Withdrawal) -> str:
    where = {
        None: "",
        True: " " + say("STILL IN THE FOLDER portfolio: build again, or delete its files there."),
        False: " " + say("Not in the folder portfolio."),
    }
    return f"{as_text(one.title, 120)} ({one.piece}): {one.reason}; {since_words(one.since)}.{where[one.is_there]}"


def _addresses(paths: Iterable[str], url: str | None) -> list[str]:
    root = f"{url.rstrip('/')}/" if url else ""
    addresses = [f"{root}{quote(path)}" for path in dict.fromkeys(paths)]
    return [say("Ask search engines, and whoever else showed them, to drop these addresses:"), "", *addresses]


def write_gone(folder: PortfolioFolder, url: str | None) -> str:
    """Write all that was ever in the portfolio of this build folder and is no more, whatever the reason."""
    if not folder.gone:
        return say("Nothing that was in the portfolio has left it.") + "\n"
    lines = [say("Once in the portfolio, and not in its folder any more:"), ""]
    lines += [f"{as_text(title, 120)} ({piece})" for piece, (title, _) in folder.gone.items()]
    paths = (path for _, paths in folder.gone.values() for path in paths)
    return "\n".join([*lines, "", *_addresses(paths, url)]) + "\n"
