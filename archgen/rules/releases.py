"""Rules about the client's photo release."""

from collections.abc import Callable, Iterator

from archgen.catalogue import Catalogue
from archgen.findings import Severity
from archgen.publication.decision import PORTFOLIO_SCOPE, release_reasons
from archgen.records.model import Piece, PieceRecord, Release, ReleaseStatus
from archgen.rules.rule import Hit, Rule
from archgen.units import date_words

_Check = Callable[[Piece, PieceRecord, Catalogue], Iterator[Hit]]


def _status(status: ReleaseStatus, problem: str, remedy: str) -> _Check:
    """Fire where a piece is to be published against this status."""

    def check(_piece: Piece, record: PieceRecord, catalogue: Catalogue) -> Iterator[Hit]:
        required = catalogue.config.portfolio.require_release
        reasons = release_reasons(record.release, catalogue.built_on, required=required)
        if record.publish and record.release.status is status and reasons:
            yield Hit(problem, remedy, key="release.status")

    return check


def _ended(release: Release, catalogue: Catalogue) -> bool:
    return release.expires is not None and release.expires < catalogue.built_on


def _expired(_piece: Piece, record: PieceRecord, catalogue: Catalogue) -> Iterator[Hit]:
    release = record.release
    if record.publish and release.status is ReleaseStatus.GRANTED and release.expires and _ended(release, catalogue):
        yield Hit(
            f"The client's photo release ended on {date_words(release.expires)}.",
            "Ask again and correct expires, or set publish = false.",
            key="release.expires",
        )


def _scope(_piece: Piece, record: PieceRecord, catalogue: Catalogue) -> Iterator[Hit]:
    release = record.release
    if not record.publish or release.status is not ReleaseStatus.GRANTED or _ended(release, catalogue):
        return
    required = catalogue.config.portfolio.require_release
    for reason in release_reasons(release, catalogue.built_on, required=required):
        remedy = f'If the client agreed to it, add "{PORTFOLIO_SCOPE}" to scope; if not, set publish = false.'
        yield Hit(reason, remedy, key="release.scope")


def _no_paper(_piece: Piece, record: PieceRecord, _catalogue: Catalogue) -> Iterator[Hit]:
    release = record.release
    if record.publish and release.status is ReleaseStatus.GRANTED and not release.file:
        problem = "A photo release is recorded as granted, and no signed paper is named."
        yield Hit(problem, 'Add file = "release.pdf" to [release]; it is never published.', key="release")


_STOP, _ASK, _NOTE = Severity.ERROR, Severity.WARNING, Severity.NOTE
RULES: tuple[Rule, ...] = (
    Rule(
        "release.not-asked",
        _ASK,
        "A photo of a client's skin is shown only when the client agreed.",
        _status(
            ReleaseStatus.NOT_ASKED,
            "This piece is to be published, and the client has not been asked for a photo release.",
            'Ask, then write the answer under [release]: status = "granted", scope = ["portfolio"], date = ...',
        ),
    ),
    Rule(
        "release.refused",
        _STOP,
        "A refusal holds.",
        _status(
            ReleaseStatus.REFUSED,
            "This piece is to be published, but the client refused a photo release.",
            "Set publish = false.",
        ),
    ),
    Rule(
        "release.withdrawn",
        _STOP,
        "A release can be taken back as easily as it was given.",
        _status(
            ReleaseStatus.WITHDRAWN,
            "The client took the photo release back. The piece is out of the portfolio made by this build.",
            "Put the new portfolio online, ask for removal wherever else it was shown, and set publish = false.",
        ),
    ),
    Rule("release.expired", _STOP, "A release with an end allows nothing after it.", _expired),
    Rule("release.scope", _STOP, "A release covers the uses it names, no others.", _scope),
    Rule("release.no-paper", _NOTE, "A release is worth what can be shown of it.", _no_paper),
)
