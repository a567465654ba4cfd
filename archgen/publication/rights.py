"""What a recorded right says about three uses of a reference: a record-keeping aid, not a legal opinion.

The three questions: may it be a reference for a tattoo, may the reference itself be shown, may a photo of
the finished tattoo be shown. Each is answered yes, hold (ask, then record the answer) or no. Nothing
recorded means hold for the first and no for the other two. Sources of the rows: the Creative Commons 4.0
deeds and legal code (section 2(b)(1): a free licence does not clear the person shown), the
RightsStatements.org definitions 1.0; rows without such a source (stock, client-supplied, permission, AI) are
common practice. Knows references, not pieces or clients.
"""

import datetime as dt
from dataclasses import dataclass
from enum import Enum
from functools import lru_cache

from archgen.records.model import Likeness, Reference, Use
from archgen.records.vocabulary.licences import License, LicenseKind, known_license
from archgen.units import date_words


class Answer(Enum):
    """An answer to one of the three questions; from best to worst."""

    YES = "yes"
    HOLD = "hold"
    NO = "no"

    @property
    def rank(self) -> int:
        """Give 0 for yes, 2 for no."""
        return list(Answer).index(self)


class RightKind(Enum):
    """A row of the table."""

    OWN = "own work"
    PERMISSION = "written permission"
    CLIENT_SUPPLIED = "client-supplied, nothing in writing"
    STOCK = "paid licence"
    PUBLIC_DOMAIN = "public domain"
    CC_BY = "CC BY"
    CC_BY_SA = "CC BY-SA"
    CC_NC = "non-commercial licence"
    CC_ND = "no-derivatives licence"
    CC_NC_ND = "non-commercial, no-derivatives licence"
    OTHER_LICENCE = "another licence"
    IN_COPYRIGHT = "all rights reserved"
    UNDETERMINED = "undetermined"
    AI = "made by a trained model"
    MISSING = "not recorded"


@dataclass(frozen=True, slots=True)
class Ruling:
    """One answer with its reasons in plain sentences; nothing the artist records lifts a firm no."""

    answer: Answer
    reasons: tuple[str, ...] = ()
    firm: bool = False

    def worse(self, other: "Ruling") -> "Ruling":
        """Give the stricter of two rulings; equal ones keep both reasons."""
        if other.answer is self.answer:
            return Ruling(self.answer, self.reasons + other.reasons, self.firm or other.firm)
        return max(self, other, key=lambda ruling: ruling.answer.rank)


@dataclass(frozen=True, slots=True)
class Rights:
    """The answers for one reference, and what it asks of whoever shows the tattoo."""

    kind: RightKind
    use: Ruling
    show_reference: Ruling
    show_piece: Ruling
    needs_credit: bool
    is_ai: bool

    @property
    def is_recorded(self) -> bool:
        """Say whether any right stands in the record."""
        return self.kind is not RightKind.MISSING


_Y, _H, _N = Answer.YES, Answer.HOLD, Answer.NO
_NONCOMMERCIAL = "The licence excludes commercial use; paid work and a portfolio are a commercial question."
_NO_DERIVATIVES = "The licence does not let adaptations be shared."
_UNSETTLED = "Nobody has settled who holds the rights."

# Row -> (answer, why) for: use as a reference, show the reference, show the finished tattoo.
TABLE: dict[RightKind, tuple[tuple[Answer, str], tuple[Answer, str], tuple[Answer, str]]] = {
    RightKind.OWN: ((_Y, "Your own work."), (_Y, "Your own work."), (_Y, "Your own work.")),
    RightKind.PERMISSION: (
        (_Y, "Permission in writing, inside its scope and dates."),
        (_H, "Does the permission name showing the reference itself?"),
        (_H, "Does the permission name showing the finished tattoo?"),
    ),
    RightKind.CLIENT_SUPPLIED: (
        (_H, "The client says it is theirs; nothing is in writing."),
        (_N, "Nothing is in writing."),
        (_H, "Nothing is in writing: ask the client where it comes from."),
    ),
    RightKind.STOCK: (
        (_H, "Does the paid licence allow a drawing after it on skin?"),
        (_N, "Most paid licences forbid showing the picture by itself."),
        (_H, "Does the paid licence allow showing work made from it?"),
    ),
    RightKind.PUBLIC_DOMAIN: (
        (_Y, "No copyright claimed; rights of people shown remain."),
        (_Y, "No copyright claimed."),
        (_Y, "No copyright claimed."),
    ),
    RightKind.CC_BY: (
        (_Y, "Allowed; keep the credit."),
        (_Y, 'Allowed with credit, a link to the licence and the note "changed" where it was.'),
        (_Y, "Allowed with credit."),
    ),
    RightKind.CC_BY_SA: (
        (_Y, "Allowed; keep the credit."),
        (_Y, "Allowed with credit and a link to the licence."),
        (_H, "Sharing an adaptation may call for the same licence: is that all right with you?"),
    ),
    RightKind.CC_NC: ((_H, _NONCOMMERCIAL), (_N, _NONCOMMERCIAL), (_N, _NONCOMMERCIAL)),
    RightKind.CC_ND: (
        (_H, _NO_DERIVATIVES),
        (_Y, "Allowed unchanged, with credit."),
        (_N, _NO_DERIVATIVES),
    ),
    RightKind.CC_NC_ND: ((_H, _NO_DERIVATIVES), (_N, _NONCOMMERCIAL), (_N, _NO_DERIVATIVES)),
    RightKind.OTHER_LICENCE: (
        (_H, "Does this licence allow a drawing after it on skin?"),
        (_N, "What this licence asks for when shown is not recorded."),
        (_H, "Does this licence allow showing work made from it?"),
    ),
    RightKind.IN_COPYRIGHT: (
        (_N, "All rights are reserved: not without permission."),
        (_N, "All rights are reserved."),
        (_N, "All rights are reserved; showing a tattoo made from it is disputed ground."),
    ),
    RightKind.UNDETERMINED: ((_H, _UNSETTLED), (_N, _UNSETTLED), (_H, _UNSETTLED)),
    RightKind.AI: (
        (_Y, "System and terms are recorded."),
        (_H, "Do the terms of the system let the picture be shown? If so, label it."),
        (_Y, "Allowed with a label that a trained model was used."),
    ),
    RightKind.MISSING: (
        (_H, "No right is recorded for this reference."),
        (_N, "No right is recorded for this reference."),
        (_N, "No right is recorded for this reference."),
    ),
}

_WORDS = {
    "own-work": RightKind.OWN,
    "permission": RightKind.PERMISSION,
    "commissioned": RightKind.PERMISSION,
    "client-supplied": RightKind.CLIENT_SUPPLIED,
    "stock": RightKind.STOCK,
    "all-rights-reserved": RightKind.IN_COPYRIGHT,
    "unknown": RightKind.MISSING,
    "InC": RightKind.IN_COPYRIGHT,
    "InC-NC": RightKind.CC_NC,
    "NoC-NC": RightKind.CC_NC,
    "NoC-US": RightKind.PUBLIC_DOMAIN,
}

# IPTC NewsCodes "digitalsourcetype" of pictures in which a trained model had a part.
AI_SOURCES = frozenset({"trainedAlgorithmicMedia", "compositeWithTrainedAlgorithmicMedia", "compositeSynthetic"})


@lru_cache(maxsize=1024)  # several rules and every page ask the same of a reference
def answers(reference: Reference, *, today: dt.date, evidence_exists: bool = True) -> Rights:
    """Answer the three questions for one reference.

    Args:
        reference: The reference as recorded.
        today: The day of the build, against which an expiry counts.
        evidence_exists: Whether the file named under permission is there.
    """
    has_evidence = reference.permission is not None and evidence_exists
    kind = kind_of(reference, has_evidence=has_evidence)
    is_ai = was_made_by_a_model(reference)
    use, show_reference, show_piece = (Ruling(answer, (why,)) for answer, why in TABLE[kind])
    credited = asks_for_credit(reference)
    if credited and not reference.creator:
        show_piece = show_piece.worse(Ruling(_H, ("The licence asks for credit and no creator is recorded.",)))
    if is_ai:
        use = use.worse(_ai_use(reference))
        show_reference = show_reference.worse(Ruling(*_one(TABLE[RightKind.AI][1])))
    if reference.expires and reference.expires < today:
        ended = f"The right ended on {date_words(reference.expires)}"
        use = use.worse(Ruling(_N, (f"{ended}: no new use.",), firm=True))
        show_reference = show_reference.worse(Ruling(_N, (f"{ended}.",), firm=True))
        show_piece = show_piece.worse(Ruling(_H, (f"{ended}: does it say the tattoo may still be shown?",)))
    use = _settle(use, Use.TATTOO, reference)
    show_reference = _settle(show_reference, Use.SHOW_REFERENCE, reference)
    show_piece = _settle(show_piece, Use.SHOW_TATTOO, reference)
    person_use, person_show = _person(reference.likeness)
    return Rights(
        kind=kind,
        use=use.worse(person_use),
        show_reference=show_reference.worse(person_show),
        show_piece=show_piece.worse(person_show),
        needs_credit=credited,
        is_ai=is_ai,
    )


def kind_of(reference: Reference, *, has_evidence: bool) -> RightKind:
    """Find the row of a reference; a permission without its evidence counts as not recorded."""
    kind = _kind_of_licence(reference, has_evidence=has_evidence)
    # A letter beside a licence that leaves showing the tattoo open is what the right rests on.
    return RightKind.PERMISSION if has_evidence and TABLE[kind][2][0] is not _Y else kind


def _kind_of_licence(reference: Reference, *, has_evidence: bool) -> RightKind:
    if reference.license is None:
        # The terms of a system are a recorded right of their own.
        return RightKind.AI if was_made_by_a_model(reference) and reference.ai_terms else RightKind.MISSING
    known = known_license(reference.license)
    if known is None:
        return RightKind.MISSING
    kind = _kind_of_known(known)
    needs_paper = known.id == "permission" or (kind is RightKind.STOCK and not reference.rights_url)
    return RightKind.MISSING if needs_paper and not has_evidence else kind


def _kind_of_known(known: License) -> RightKind:
    match known.kind:
        case LicenseKind.PUBLIC_DOMAIN:
            return RightKind.PUBLIC_DOMAIN
        case LicenseKind.OTHER_SPDX:
            return RightKind.OTHER_LICENCE
        case LicenseKind.CREATIVE_COMMONS:
            return _kind_of_terms(frozenset(known.terms))
    return _WORDS.get(known.id, RightKind.UNDETERMINED)


def _kind_of_terms(terms: frozenset[str]) -> RightKind:
    if "ND" in terms:
        return RightKind.CC_NC_ND if "NC" in terms else RightKind.CC_ND
    if "NC" in terms:
        return RightKind.CC_NC
    return RightKind.CC_BY_SA if "SA" in terms else RightKind.CC_BY


def asks_for_credit(reference: Reference) -> bool:
    """Say whether the licence asks for the creator's name wherever the work is shown."""
    known = known_license(reference.license or "")
    return known is not None and "BY" in known.terms


def was_made_by_a_model(reference: Reference) -> bool:
    """Say whether the record says that a trained model made or changed the picture."""
    source = (reference.digital_source or "").rstrip("/").rpartition("/")[2]
    return source in AI_SOURCES or reference.ai_system is not None


def _one(row: tuple[Answer, str]) -> tuple[Answer, tuple[str, ...]]:
    return row[0], (row[1],)


def _ai_use(reference: Reference) -> Ruling:
    if reference.ai_system and reference.ai_terms:
        return Ruling(*_one(TABLE[RightKind.AI][0]))
    return Ruling(_H, ("A trained model had a part in it: record the system, its version and its terms.",))


def _settle(ruling: Ruling, use: Use, reference: Reference) -> Ruling:
    """Let a recorded answer decide a question that was on hold."""
    if ruling.answer is not _H or reference.allows is None:
        return ruling
    if use in reference.allows:
        return Ruling(_Y, ("You recorded that this is allowed.",))
    return Ruling(_N, ("What you recorded as allowed does not name this.",))


_CONSENT = "A person can be recognised: only with that person's consent, or where local law allows it."
_NOBODY = Ruling(_Y), Ruling(_Y)
_PERSON: dict[Likeness | None, tuple[Ruling, Ruling]] = {
    # Nothing said about people counts as nobody shown: most references are birds and flowers.
    None: _NOBODY,
    Likeness.NONE: _NOBODY,
    # The client wears the piece: their own release decides.
    Likeness.CLIENT: _NOBODY,
    Likeness.CONSENTED: _NOBODY,
    Likeness.PUBLIC_FIGURE: (Ruling(_H, (_CONSENT,)), Ruling(_N, (_CONSENT,))),
    Likeness.UNKNOWN: (Ruling(_H, (_CONSENT,)), Ruling(_N, (_CONSENT,))),
    Likeness.MINOR: (
        Ruling(_H, ("A minor is shown: ask a parent or guardian, and keep it in the studio.",)),
        Ruling(_N, ("A minor is shown: it stays in the studio.",), firm=True),
    ),
}


def _person(likeness: Likeness | None) -> tuple[Ruling, Ruling]:
    return _PERSON[likeness]
