"""Rules about the client's photo release."""

from collections.abc import Callable, Iterator

from archgen.catalogue import Catalogue
from archgen.findings import Severity
from archgen.languages.house import say, to_say
from archgen.publication.releases import (
    PORTFOLIO_SCOPE,
    has_ended,
    has_not_begun,
    is_withdrawn,
    release_reasons,
)
from archgen.records.model import Piece, PieceRecord, Release, ReleaseStatus
from archgen.rules.rule import Hit, Rule

_Check = Callable[[Piece, PieceRecord, Catalogue], Iterator[Hit]]


def _status(status: ReleaseStatus, remedy: str) -> _Check:
    """Fire where a piece is to be published against this status."""

    def check(_piece: Piece, record: PieceRecord, catalogue: Catalogue) -> Iterator[Hit]:
        release = record.release
        if record.publish and release.status is status and not is_withdrawn(release):
            for reason in _reasons(release, catalogue)[:1]:
                problem = say("This piece is to be published. {reason}", reason=reason)
                yield Hit(problem, say(remedy), key="release.status")

    return check


def _reasons(release: Release, catalogue: Catalogue) -> list[str]:
    return release_reasons(release, catalogue.built_on, required=catalogue.config.portfolio.require_release)


def _withdrawn(_piece: Piece, record: PieceRecord, catalogue: Catalogue) -> Iterator[Hit]:
    if record.publish and is_withdrawn(record.release):
        day = "" if record.release.withdrawn else " " + say("Add the day: withdrawn = 2026-09-02.")
        yield Hit(
            _reasons(record.release, catalogue)[0],
            say(
                "Build, put the new portfolio online, ask for removal wherever else it was shown "
                "(archive/removals.txt lists the addresses), and set publish = false.{day}",
                day=day,
            ),
            key="release.status",
        )


def _says_yes(record: PieceRecord) -> bool:
    return record.publish and record.release.status is ReleaseStatus.GRANTED and not is_withdrawn(record.release)


def _expired(_piece: Piece, record: PieceRecord, catalogue: Catalogue) -> Iterator[Hit]:
    if _says_yes(record) and has_ended(record.release, catalogue.built_on):
        reason = _reasons(record.release, catalogue)[0]
        yield Hit(reason, say("Ask again and correct expires, or set publish = false."), key="release.expires")


def _not_yet(_piece: Piece, record: PieceRecord, catalogue: Catalogue) -> Iterator[Hit]:
    if _says_yes(record) and has_not_begun(record.release, catalogue.built_on):
        reason = _reasons(record.release, catalogue)[0]
        yield Hit(reason, say("Check the day, and correct it if it is a slip."), key="release.date")


def _scope(_piece: Piece, record: PieceRecord, catalogue: Catalogue) -> Iterator[Hit]:
    release, today = record.release, catalogue.built_on
    if _says_yes(record) and not has_ended(release, today) and not has_not_begun(release, today):
        for reason in _reasons(release, catalogue):
            remedy = say(
                'If the client agreed to it, add "{scope}" to scope; if not, set publish = false.',
                scope=PORTFOLIO_SCOPE,
            )
            yield Hit(reason, remedy, key="release.scope")


def _no_paper(_piece: Piece, record: PieceRecord, _catalogue: Catalogue) -> Iterator[Hit]:
    release = record.release
    if record.publish and release.status is ReleaseStatus.GRANTED and not release.file:
        problem = say("A photo release is recorded as granted, and no signed paper is named.")
        yield Hit(problem, say('Add file = "release.pdf" to [release]; it is never published.'), key="release")


_STOP, _ASK, _NOTE = Severity.ERROR, Severity.WARNING, Severity.NOTE
RULES: tuple[Rule, ...] = (
    Rule(
        "release.not-asked",
        _ASK,
        "A photo of a client's skin is shown only when the client agreed.",
        _status(
            ReleaseStatus.NOT_ASKED,
            to_say('Ask, then write the answer under [release]: status = "granted", scope = ["portfolio"], date = ...'),
        ),
    ),
    Rule("release.refused", _STOP, "A refusal holds.", _status(ReleaseStatus.REFUSED, to_say("Set publish = false."))),
    Rule("release.withdrawn", _STOP, "A release can be taken back as easily as it was given.", _withdrawn),
    Rule("release.expired", _STOP, "A release with an end allows nothing after it.", _expired),
    Rule("release.not-yet", _STOP, "A release allows nothing before its day.", _not_yet),
    Rule("release.scope", _STOP, "A release covers the uses it names, no others.", _scope),
    Rule("release.no-paper", _NOTE, "A release is worth what can be shown of it.", _no_paper),
)
