"""2,000 generated records: nothing is published that a plain sentence below forbids, and what none forbids is.

The sentences are written from the layout of the archive folder, the Creative Commons deeds and the definitions of
RightsStatements.org, not from the program's table; where the program is stricter than they are, it must say why.
"""

import datetime as dt
import random
from pathlib import Path

import msgspec

from archgen.config import Config, PortfolioSettings
from archgen.publication.decision import decide_publication
from archgen.records import model
from tests.builders import TODAY, make_piece, make_record, paper_catalogue

NUMBER = 2000
DAY = dt.timedelta(days=1)
PAST, AHEAD = TODAY - DAY, TODAY + DAY
LETTER, TERMS = "references/letter.pdf", "https://example.org/terms"
Status, Likeness, Use = model.ReleaseStatus, model.Likeness, model.Use
FREE = {"own-work", "CC0-1.0", "CC-PDM-1.0", "CC-BY-4.0"}
OPEN = {
    "commissioned", "client-supplied", "CC-BY-SA-4.0", "MIT", "InC-OW-EU", "InC-EDU", "InC-RUU", "NoC-CR", "NoC-OKLR",
    "NoC-US", "CNE", "UND", "NKC",
}  # fmt: skip
SHUT = {"CC-BY-NC-4.0", "CC-BY-ND-4.0", "CC-BY-NC-ND-4.0", "InC", "InC-NC", "NoC-NC", "all-rights-reserved"}
NONE = {None, "unknown", "permission", "stock"}
WRONG = {"CC-BY-99", "freeware"}
WORDS = [*sorted(FREE | OPEN | SHUT | WRONG | (NONE - {None})), None]
MADE = (
    None,
    None,
    None,
    "trainedAlgorithmicMedia",
    "compositeWithTrainedAlgorithmicMedia",
    "composite",
    "screenCapture",
)


def generated(rng):
    """Give a record, settings and files that nobody described; most of what is drawn forbids nothing."""
    number = rng.choice((0, 1, 1, 1, 2, 2, 3))
    references = tuple(reference(rng, n, number) for n in range(number))
    release = model.Release(
        status=rng.choice((*(Status.GRANTED,) * 16, *Status)),
        scope=rng.choice((("portfolio",),) * 6 + (("print",), (), ("website", "print"))),
        date=rng.choice((None, None, PAST, TODAY, AHEAD) if rng.random() < 0.3 else (PAST,)),
        withdrawn=PAST if rng.random() < 0.05 else None,
        expires=rng.choice((None, None, None, TODAY, AHEAD, PAST)) if rng.random() < 0.3 else None,
    )
    override = (
        model.RightsOverride(reason="x", date=rng.choice((None, PAST, TODAY, AHEAD))) if rng.random() < 0.2 else None
    )
    record = make_record(
        publish=rng.random() < 0.95,
        subjects=("portrait",) if rng.random() < 0.1 else ("owl",),
        styles=("fine-line",),
        reference=references,
        release=release,
        rights_override=override,
    )
    settings = PortfolioSettings(require_rights=rng.random() < 0.85, require_release=rng.random() < 0.9)
    found = ("references/film.jpg",) if rng.random() < 0.1 else ()
    return record, settings, found


def reference(rng, number, total):
    likely = rng.random() < 0.5
    return model.Reference(
        file=f"references/{number}.jpg",
        license=rng.choice(sorted(FREE)) if likely else rng.choice(WORDS),
        creator="A. Sample" if rng.random() < 0.85 else None,
        permission=LETTER if rng.random() < 0.3 else None,
        rights_url=TERMS if rng.random() < 0.2 else None,
        allows=tuple(use for use in Use if rng.random() < 0.6) if rng.random() < 0.3 else None,
        obtained=rng.choice((None, PAST, TODAY, AHEAD)) if rng.random() < 0.2 else None,
        expires=rng.choice((TODAY, AHEAD, PAST)) if rng.random() < 0.15 else None,
        likeness=rng.choice((None, None, Likeness.NONE, *Likeness)) if rng.random() < 0.4 else None,
        digital_source=rng.choice(MADE) if rng.random() < 0.3 else None,
        ai_system="Sample 2" if rng.random() < 0.15 else None,
        ai_terms=TERMS if rng.random() < 0.15 else None,
        used=rng.random() < 0.9,
        made_from=tuple({f"references/{rng.randrange(total + 1)}.jpg" for _ in range(rng.choice((1, 1, 2)))})
        if rng.random() < 0.1
        else (),
    )


# ---------------------------------------------------------------- the plain sentences


def release_forbids(release, settings):
    """A client who took it back or refused is obeyed; nothing counts before its day or after; the use is named."""
    if release.withdrawn or release.status in {Status.WITHDRAWN, Status.REFUSED}:
        return True
    if (release.date and release.date > TODAY) or (release.expires and release.expires < TODAY):
        return True
    names_it = bool({"portfolio", "website"} & set(release.scope))
    if not settings.require_release and not release.scope:
        return False
    return not names_it or (release.status is not Status.GRANTED and settings.require_release)


def person_forbids(one, record):
    """Only an answer about the person clears the person."""
    if one.likeness is None:
        return "portrait" in record.subjects and not one.made_from
    if one.likeness is Likeness.CLIENT:
        return record.release.status is not Status.GRANTED
    return one.likeness not in {Likeness.NONE, Likeness.CONSENTED}


def right_forbids(one):  # noqa: C901, PLR0911, PLR0912 - one sentence after the other
    """Give "error", "no", "open", "missing" or None, by what one reference's own record says."""
    made = (one.digital_source or "") if one.digital_source else ""
    edited = made in {"composite", "compositeWithTrainedAlgorithmicMedia"} or (
        one.ai_system and made != "trainedAlgorithmicMedia"
    )
    allowed = one.allows is not None and Use.SHOW_TATTOO in one.allows
    if one.license in WRONG:
        return "error"
    if (one.obtained and one.obtained > TODAY) or (one.expires and one.expires < TODAY):
        return "no"
    if one.allows is not None and not allowed:
        return "no"
    if one.permission and allowed and one.license not in FREE:
        return asked_beside(one)
    if one.license in SHUT:
        return "open" if one.permission else "no"
    if one.license in FREE:
        if one.license == "own-work" and not (one.permission and allowed):
            if made == "trainedAlgorithmicMedia" and not (one.ai_system and one.ai_terms):
                return "open"
            if edited and not one.made_from and not (one.ai_system and one.ai_terms):
                return "open" if one.permission or one.ai_system or "Trained" in made else "missing"
        return asked_beside(one)
    if one.license in OPEN:
        return asked_beside(one) if allowed else "open"
    if one.license == "stock" and one.rights_url and allowed:
        return asked_beside(one)
    if one.license == "stock" and one.rights_url:
        return "open"
    if one.license is None and not one.permission:
        if made == "trainedAlgorithmicMedia" and one.ai_system and one.ai_terms:
            return asked_beside(one)
        if one.made_from and made != "trainedAlgorithmicMedia":
            return asked_beside(one)
    return "open" if one.permission else "missing"


def asked_beside(one):
    """Credit is given where the licence asks for it, and a picture of a screen has a maker."""
    needs_maker = (one.license or "").startswith("CC-BY") or one.digital_source == "screenCapture"
    return "open" if needs_maker and not one.creator else None


def behind(numbers, references):
    """Give these references and all they were made from, and whether something of that is wrong."""
    files = {one.file: n for n, one in enumerate(references)}
    seen, ahead, unknown = set(), list(numbers), False
    while ahead:
        number = ahead.pop()
        if number in seen:
            continue
        seen.add(number)
        for name in references[number].made_from:
            if name in files:
                ahead.append(files[name])
            else:
                unknown = True
    return seen, unknown


def is_circular(number, references):
    files = {one.file: n for n, one in enumerate(references)}
    first = [files[name] for name in references[number].made_from if name in files]
    return number in behind(first, references)[0]


def must_hold(record, settings, found):
    """Give the sentences that forbid a record; empty when none does."""
    override = record.rights_override
    decided = override is not None and (override.date is None or override.date <= TODAY)
    lifted = {"missing", "open"} if decided or not settings.require_rights else set()
    lifted |= {"no"} if decided else set()
    counting, unknown = behind([n for n, one in enumerate(record.reference) if one.used], record.reference)
    why = set()
    if not record.publish:
        why.add("not wanted")
    if release_forbids(record.release, settings):
        why.add("release")
    for number in counting:
        one = record.reference[number]
        if person_forbids(one, record):
            why.add("person")
        if is_circular(number, record.reference):
            why.add("circular")
        if (right := right_forbids(one)) and right not in lifted:
            why.add(right)
    if (unknown or found) and "missing" not in lifted:
        why.add("not described")
    if found and "portrait" in record.subjects:
        why.add("person")
    return why


def test_nothing_is_published_that_a_plain_sentence_forbids_and_all_else_is(tmp_path: Path):
    rng = random.Random(20261125)
    published, held, wrong = 0, 0, []
    for _ in range(NUMBER):
        record, settings, found = generated(rng)
        piece = make_piece(record=record)
        paths = tuple(f"{piece.folder}/{file}" for file in (*(one.file for one in record.reference), *found))
        piece = msgspec.structs.replace(piece, references=paths)
        catalogue = paper_catalogue(tmp_path, piece, config=Config(root=tmp_path, portfolio=settings))
        publication = decide_publication(piece, catalogue)
        why = must_hold(record, settings, found)
        if publication.shown is bool(why):
            wrong.append((why, publication.reasons, record.reference, record.release))
        published, held = published + publication.shown, held + (not publication.shown)
        assert publication.shown or all(len(reason) > 10 for reason in publication.reasons)
    assert not wrong, wrong[:3]
    assert min(published, held) > NUMBER / 5, (published, held)
