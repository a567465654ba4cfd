"""Rules about what a reference's file itself says: against the record, beside it, or beyond it."""

from collections.abc import Callable, Iterator
from dataclasses import replace

from archgen.catalogue import Catalogue
from archgen.findings import Severity
from archgen.languages.house import say, to_say
from archgen.metadata.file_rights import EmbeddedRights
from archgen.publication.embedded import (
    NO_FLIP,
    claims,
    embedded_in,
    fills,
    is_ours,
    licence_of,
    likeness_of,
    says_ai,
)
from archgen.publication.rights import was_made_by_a_model
from archgen.records.model import Likeness, Piece, PieceRecord, Reference
from archgen.records.vocabulary.licences import LicenseKind, known_license, license_words
from archgen.rules.rule import Hit, Rule
from archgen.toml.kinds import field_words

_Check = Callable[[Reference, EmbeddedRights, Catalogue], Hit | None]
_SHOWN = 80


def _each(check: _Check) -> Callable[[Piece, PieceRecord, Catalogue], Iterator[Hit]]:
    """Let a check look at every reference whose file says something."""

    def check_piece(piece: Piece, record: PieceRecord, catalogue: Catalogue) -> Iterator[Hit]:
        for number, reference in enumerate(record.reference):
            embedded = embedded_in(reference, piece, catalogue)
            hit = check(reference, embedded, catalogue) if embedded else None
            if hit is not None:
                yield replace(hit, key=f"reference.{number}{hit.key}")

    return check_piece


def _quoted(text: str) -> str:
    return f'"{text[:_SHOWN]}{"…" if len(text) > _SHOWN else ""}"'


def _licence(reference: Reference, embedded: EmbeddedRights, _catalogue: Catalogue) -> Hit | None:
    recorded, told = known_license(reference.license or ""), licence_of(embedded)
    # A permission, a paid licence or own work can stand beside what was once published under a licence.
    if recorded is None or told is None or recorded.kind is LicenseKind.PLAIN or recorded.id == told.id:
        return None
    return Hit(
        say(
            "{file}: the record says {recorded}, the file {told}.",
            file=reference.file,
            recorded=license_words(recorded.id),
            told=license_words(told.id),
        ),
        say("Look it up where the picture comes from, and correct license if the file is right."),
        key=".license",
    )


def _copyright(reference: Reference, embedded: EmbeddedRights, catalogue: Catalogue) -> Hit | None:
    known = known_license(reference.license or "")
    if reference.license == "own-work":
        claimed = [text for text in claims(embedded) if not is_ours((text,), catalogue)]
    elif known and known.kind is LicenseKind.PUBLIC_DOMAIN and licence_of(embedded) is None:
        claimed = [embedded.copyright_notice] if embedded.copyright_notice else []
    else:
        return None
    if not claimed:
        return None
    return Hit(
        say(
            "{file}: you wrote {license}, and the file itself says {claimed}.",
            file=reference.file,
            license=license_words(reference.license or ""),
            claimed=_quoted(claimed[0]),
        ),
        say("If that is not you, record the right you were given, or ask for one."),
        key=".license",
    )


def _no_flip(reference: Reference, embedded: EmbeddedRights, _catalogue: Catalogue) -> Hit | None:
    if NO_FLIP not in embedded.constraints:
        return None
    return Hit(
        say("{file}: the file asks that the picture isn't flipped.", file=reference.file),
        say(
            "It carries the constraint AL-FLP of PLUS. A stencil is printed mirrored and comes out the right way "
            "round on skin. Before you draw a mirrored version, ask the rights holder."
        ),
        key=".file",
    )


def _trained_model(reference: Reference, embedded: EmbeddedRights, _catalogue: Catalogue) -> Hit | None:
    if not says_ai(embedded) or was_made_by_a_model(reference):
        return None
    named = f" ({embedded.ai_system})" if embedded.ai_system else ""
    return Hit(
        say(
            "{file}: the file says that a trained model made or changed it{named}; the record does not.",
            file=reference.file,
            named=named,
        ),
        say(
            'Add digital_source, ai_system = "name and version" and ai_terms = "https://..." (the terms you agreed to).'
        ),
        key=".file",
    )


def _people(reference: Reference, embedded: EmbeddedRights, _catalogue: Catalogue) -> Hit | None:
    told = likeness_of(embedded)
    silent = reference.likeness is None
    if told is None or not (silent or reference.likeness is Likeness.NONE):
        return None
    problem = say(_shown(told, silent=silent), file=reference.file)
    remedy = say("Look, and correct likeness if the file is right.")
    if silent:
        remedy = say('Look, then set likeness = "client", "consented", "public-figure", "minor", "unknown" or "none".')
    return Hit(problem, remedy, key=".likeness")


def _shown(told: Likeness, *, silent: bool) -> str:
    if told is Likeness.MINOR and silent:
        return to_say("{file}: the file says that a minor is shown, and the record says nothing about people.")
    if told is Likeness.MINOR:
        return to_say("{file}: the file says that a minor is shown, and the record says nobody is.")
    if silent:
        return to_say("{file}: the file says that a person is shown, and the record says nothing about people.")
    return to_say("{file}: the file says that a person is shown, and the record says nobody is.")


def _unread(reference: Reference, embedded: EmbeddedRights, _catalogue: Catalogue) -> Hit | None:
    if not embedded.is_damaged:
        return None
    return Hit(
        say("{file}: what the file says of its rights is damaged or too large, and was not read.", file=reference.file),
        say("Look at the place it comes from, and record what is said there."),
        key=".file",
    )


def _knows_more(reference: Reference, embedded: EmbeddedRights, _catalogue: Catalogue) -> Hit | None:
    keys = [key for key, _, _ in fills(reference, embedded)]
    if not keys:
        return None
    return Hit(
        say(
            "{file}: the file itself knows more: {fields}.",
            file=reference.file,
            fields=", ".join(map(field_words, keys)),
        ),
        say('Run "archgen audit --propose" to see the lines; add what is right.'),
        key=".file",
    )


_ASK, _NOTE = Severity.WARNING, Severity.NOTE
RULES: tuple[Rule, ...] = (
    Rule("embedded.license", _ASK, "Two answers to one question cannot both hold.", _each(_licence), True),
    Rule("embedded.copyright", _ASK, "A claim in a file is a claim, until it is settled.", _each(_copyright), True),
    Rule("embedded.no-flip", _ASK, "Some rights holders forbid mirroring.", _each(_no_flip), True),
    Rule(
        "embedded.ai", _ASK, "What a trained model made is labelled, and its terms count.", _each(_trained_model), True
    ),
    Rule("embedded.person", _ASK, "A licence for the picture does not clear the person.", _each(_people), True),
    Rule("embedded.unread", _NOTE, "What could not be read may hold a condition.", _each(_unread), True),
    Rule("embedded.more", _NOTE, "A credit that came with the file is easily kept.", _each(_knows_more), True),
)
