"""Every rule: one record where it fires, one where it stays quiet."""

import dataclasses
import datetime as dt
import tomllib

import msgspec
import pytest

from archgen.catalogue import Twins
from archgen.config import Config, PortfolioSettings
from archgen.findings import Finding, Place, Severity
from archgen.metadata.file_rights import EmbeddedRights
from archgen.pieces.survey import survey
from archgen.publication.gate_questions import CREDIT, MODEL_TERMS, MODEL_USED, PEOPLE, SCREEN_CAPTURE
from archgen.publication.gate_table import TABLE
from archgen.publication.rights import picture_right
from archgen.records import model
from archgen.records.designs.model import DesignState
from archgen.records.schema import read_piece_record
from archgen.rules.registry import RULES
from archgen.rules.runner import record_rules, run_rules
from archgen.twins.model import Pair, Relation
from tests.builders import TODAY, make_design, make_piece, make_record, paper_catalogue
from tests.plain_words import assert_said_plainly

DAY = dt.timedelta(days=1)
GRANTED = model.ReleaseStatus.GRANTED


def ref(**fields):
    return {"reference": (model.Reference(**{"file": "references/a.jpg", **fields}),)}


def release(status=GRANTED, scope=("portfolio",), file="release.pdf", **fields):
    return {"release": model.Release(status=status, scope=scope, file=file, **fields)}


def inks(*batches):
    return {batch.batch: batch for batch in batches}


def stencils(*changes):
    return {"stencil": tuple(model.Stencil(**{"file": f"stencils/{n}.png", **one}) for n, one in enumerate(changes))}


def photos(*changes):
    given = {"stage": model.Stage.HEALED, "alt": "An owl"}
    return {"photo": tuple(model.Photo(**{"file": f"photos/{n}.jpg", **given, **one}) for n, one in enumerate(changes))}


OWN_A, OWN_B = (model.Reference(file=f"references/{name}.jpg", license="own-work") for name in "ab")
BOTTLE = model.InkBatch(batch="GW2-2231", name="grey wash 2", expiry=dt.date(2027, 8, 1))
USED = model.Sitting(date=dt.date(2026, 3, 14))
FRESH = {"stage": model.Stage.FRESH}
TOUCHED_UP = model.Sitting(date=dt.date(2026, 6, 1), kind=model.SittingKind.TOUCH_UP)
WANTED = model.Healing(date=dt.date(2026, 4, 20), touch_up=True)


def told(record=None, **said):
    """A reference whose file says something of its rights."""
    return {**ref(**(record or {})), "rights": EmbeddedRights(**said)}


CC_BY = "https://creativecommons.org/licenses/by/4.0/"
FULLY = {
    "license": "CC-BY-4.0",
    "creator": "A. Sample",
    "source": "x",
    "rights_url": CC_BY,
    "likeness": model.Likeness.NONE,
}


def alike(*names, mirrored=False, score=1.0):
    """Two pictures of the piece that were found to be alike."""
    a, b = (f"{make_piece().folder}/{name}" for name in names)
    return Pair(a, b, Relation.VERSION, mirrored, 0, (1, 0, 0, 0, 1, 0), score)


def copy(*names):
    return dataclasses.replace(alike(*names), relation=Relation.EDITED)


def twins(*pairs, **more):
    return {"twins": Twins(pairs=pairs, **more)}


def landmark(x, y):
    """A stencil with one point on the cover; both pictures are 800 x 1000 pixels."""
    mark = model.Landmark(stencil=(x, y), on="photos/owl-fresh.jpg", at=(100, 200))
    return {**stencils({"landmark": (mark,)}), **photos({"file": "photos/owl-fresh.jpg"})}


BARE = {"photo": (), "size": model.Size(), "placement": model.Placement(), "finished": None, "sitting": ()}
V1, V2 = {"version": 1}, {"version": 2, "parent": 1}
ZERO, ONE, TWO = (f"stencils/{n}.png" for n in range(3))
TWO_RIGHTS = {
    "reference": (
        model.Reference(file="references/a.jpg", license="CC0-1.0"),
        model.Reference(file="references/b.jpg", license="InC"),
    )
}

# code: what fires, what stays quiet; "inks" is the register, everything else stands in the record.
CASES = {
    "design.held-back": (
        {"designs": (make_design(reference=(model.Reference(license="unknown"),)),)},
        {"designs": (make_design(reference=(model.Reference(license="own-work"),)),)},
    ),
    "design.held-over": (
        {"designs": (make_design(state=DesignState.HELD, until=TODAY - DAY),)},
        {"designs": (make_design(state=DesignState.HELD, until=TODAY), make_design(until=TODAY - DAY))},
    ),
    "design.unknown-holder": (
        {"designs": (make_design(holder="C-0024"),)},
        {"designs": (make_design(holder="C-0042"),)},
    ),
    "portfolio.short-code": (
        {"clients": {code: model.Client(code=code) for code in ("C-3", "C-0042")}},
        {"clients": {code: model.Client(code=code) for code in ("C-003", "C-0042")}},
    ),
    "portfolio.order": ({"order": ("2026-03-14-barn-owls",)}, {"order": ("2026-03-14-barn-owl",)}),
    "rights.missing": (ref(source="https://example.org"), ref(license="own-work")),
    "rights.no-evidence": (ref(license="permission"), ref(license="permission", permission="references/a.pdf")),
    "rights.made-from": (
        ref(made_from=("references/b.jpg",)),
        {"reference": (OWN_A, model.Reference(file="references/b.jpg", made_from=("references/a.jpg",)))},
    ),
    "rights.circular": (ref(made_from=("references/a.jpg",)), ref(made_from=("references/b.jpg",))),
    "rights.screen-capture": (
        ref(license="own-work", digital_source="screenCapture"),
        ref(license="own-work", digital_source="screenCapture", creator="A. Sample"),
    ),
    "rights.not-yet": (ref(license="own-work", obtained=TODAY + DAY), ref(license="own-work", obtained=TODAY)),
    "rights.override-not-yet": (
        {"rights_override": model.RightsOverride(reason="x", date=TODAY + DAY)},
        {"rights_override": model.RightsOverride(reason="x", date=TODAY)},
    ),
    "rights.used-after-all": (
        {**ref(used=False), **stencils({"from_": ("references/a.jpg",)})},
        {**ref(used=False), **stencils({"from_": ("references/b.jpg",)})},
    ),
    "rights.likeness": (
        {**ref(license="own-work"), "subjects": ("portrait",)},
        {**ref(license="own-work", likeness=model.Likeness.NONE), "subjects": ("portrait",)},
    ),
    "rights.no-source": (ref(license="CC0-1.0"), ref(license="CC0-1.0", source="https://example.org")),
    "rights.no-credit": (ref(license="CC-BY-4.0"), ref(license="CC-BY-4.0", creator="A. Sample")),
    "rights.ask": (ref(license="client-supplied"), ref(license="client-supplied", allows=tuple(model.Use))),
    "rights.not-allowed": (ref(license="CC-BY-NC-4.0"), ref(license="CC-BY-4.0")),
    "rights.not-for-skin": (ref(license="InC"), ref(license="InC", permission="references/a.pdf")),
    "rights.expired": (ref(license="own-work", expires=TODAY - DAY), ref(license="own-work", expires=TODAY)),
    "rights.ai-terms": (ref(ai_system="Sample 2"), ref(ai_system="Sample 2", ai_terms="https://example.org")),
    "rights.person": (ref(likeness=model.Likeness.UNKNOWN), ref(likeness=model.Likeness.CONSENTED)),
    "rights.minor": (ref(likeness=model.Likeness.MINOR), ref(likeness=model.Likeness.NONE)),
    "embedded.license": (told({"license": "CC0-1.0"}, licence=CC_BY), told({"license": "CC-BY-4.0"}, licence=CC_BY)),
    "embedded.copyright": (
        told({"license": "own-work"}, copyright_notice="© A. Sample"),
        told({"license": "own-work"}, copyright_notice="© Sample Artist"),
    ),
    "embedded.no-flip": (told(constraints=("AL-CLR", "AL-FLP")), told(constraints=("AL-CLR",))),
    "embedded.ai": (told(digital_source="compositeSynthetic"), told({"ai_system": "M 2"}, ai_system="M")),
    "embedded.person": (told(minor_age="AG-U14"), told({"likeness": model.Likeness.MINOR}, minor_age="AG-U14")),
    "embedded.unread": (told(is_damaged=True), told(credit="A. Sample")),
    "embedded.more": (told(creators=("A. Sample",)), told(FULLY, creators=("B. Sample",), web_statement=CC_BY)),
    "release.not-asked": ({"release": model.Release()}, release()),
    "release.refused": (release(model.ReleaseStatus.REFUSED), release()),
    "release.withdrawn": (release(model.ReleaseStatus.WITHDRAWN), release()),
    "release.expired": (release(expires=TODAY - DAY), release(expires=TODAY)),
    "release.not-yet": (release(date=TODAY + DAY), release(date=TODAY)),
    "release.scope": (release(scope=("print",)), release(scope=("print", "portfolio"))),
    "release.no-paper": (release(file=None), release()),
    "batch.recalled": (
        {"inks": inks(msgspec.structs.replace(BOTTLE, recalled=TODAY))},
        {"inks": inks(BOTTLE)},
    ),
    "batch.expired": (
        {"inks": inks(msgspec.structs.replace(BOTTLE, expiry=USED.date - DAY))},
        {"inks": inks(msgspec.structs.replace(BOTTLE, expiry=USED.date))},
    ),
    "needle.expired": (
        {"needle": (model.Needle(code="3RL", expiry=USED.date - DAY),)},
        {"needle": (model.Needle(code="3RL", expiry=USED.date),)},
    ),
    "batch.not-recorded": ({"ink": (model.Ink(name="black"),)}, {"ink": (model.Ink(batch="GW2-2231"),)}),
    "followup.no-healed-photo": (photos(FRESH), photos({})),
    "followup.touch-up": ({"healing": (WANTED,)}, {"healing": (WANTED,), "sitting": (USED, TOUCHED_UP)}),
    "stencil.none-applied": (stencils({}, {}), stencils({}, {"applied": True})),
    "stencil.no-width": (stencils({}), stencils({"width": model.Length(60)})),
    "stencil.coarse": (stencils({"width": model.Length(90)}), stencils({"width": model.Length(40)})),
    "stencil.landmark-outside": (landmark(801, 10), landmark(800, 1000)),
    "piece.begun": (BARE, {**BARE, "finished": dt.date(2026, 3, 14), **photos({})}),
    "photo.none": ({"photo": ()}, photos({})),
    "photo.cover": (photos({}, {}), photos({}, {"cover": True})),
    "photo.no-alt": (photos({"alt": None}), photos({})),
    "photo.no-stage": (photos({"stage": None}), photos({})),
    "piece.no-size": ({"size": model.Size()}, {"size": model.Size(width=model.Length(60))}),
    "piece.no-placement": ({"placement": model.Placement()}, {}),
    "piece.future-date": ({"finished": dt.date(2126, 3, 14)}, {}),
    "piece.no-date": ({"finished": None, "sitting": ()}, {}),
    "version.mirrored": (
        {**stencils(V1, V2), **twins(alike(ZERO, ONE, mirrored=True))},
        {**stencils(V1, {**V2, "mirrored": True}), **twins(alike(ZERO, ONE, mirrored=True))},
    ),
    "version.not-mirrored": (
        {**stencils(V1, {**V2, "mirrored": True}), **twins(alike(ZERO, ONE))},
        {**stencils(V1, V2), **twins(alike(ZERO, ONE))},
    ),
    "version.no-parent": (
        {**stencils(V1, {"version": 2}), **twins(alike(ZERO, ONE))},
        {**stencils(V1, V2), **twins(alike(ZERO, ONE))},
    ),
    "version.other-parent": (
        {**stencils(V1, V2, {"version": 3, "parent": 2}), **twins(alike(ZERO, TWO))},
        {**stencils(V1, V2, {"version": 3, "parent": 2}), **twins(alike(ONE, TWO), alike(ZERO, TWO))},
    ),
    "version.not-described": (
        {**stencils(V1), **twins(alike(ZERO, "stencils/found.png"))},
        {**stencils(V1), **twins(alike(ZERO, "stencils/found.png", score=0.6))},
    ),
    "rights.seems-from": (
        {"reference": (OWN_A, OWN_B), **twins(alike("references/a.jpg", "references/b.jpg"))},
        {
            "reference": (OWN_A, msgspec.structs.replace(OWN_B, made_from=("references/a.jpg",))),
            **twins(alike("references/a.jpg", "references/b.jpg")),
        },
    ),
    "photo.held": (
        {**photos({}), **ref(), **twins(copy("photos/0.jpg", "references/a.jpg"))},
        {**photos({"publish": False}), **ref(), **twins(copy("photos/0.jpg", "references/a.jpg"))},
    ),
    "rights.same-picture": (
        {**TWO_RIGHTS, **twins(alike("references/a.jpg", "references/b.jpg"))},
        {**TWO_RIGHTS, **twins()},
    ),
}


def found(tmp_path, changes, **settings):
    record = {
        key: value
        for key, value in changes.items()
        if key not in {"clients", "designs", "inks", "order", "rights", "twins"}
    }
    piece = make_piece(record=make_record(**record))
    if "twins" in changes:
        seen = {path for pair in changes["twins"].pairs for path in (pair.a, pair.b) if "/stencils/" in path}
        piece = msgspec.structs.replace(piece, stencils=tuple(sorted({*piece.stencils, *seen})))
    designs = changes.get("designs", ())
    catalogue = paper_catalogue(tmp_path, piece, twins=changes.get("twins", Twins()), designs=designs)
    if "rights" in changes:
        facts = {
            path: msgspec.structs.replace(one, rights=changes["rights"] if "/references/" in path else None)
            for path, one in catalogue.facts.items()
        }
        catalogue = dataclasses.replace(catalogue, facts=facts)
    registers = {name: changes[name] for name in ("clients", "inks") if name in changes}
    catalogue = dataclasses.replace(catalogue, **registers)
    if "order" in changes:
        settings["order"] = changes["order"]
    if settings:
        config = Config(root=tmp_path, portfolio=PortfolioSettings(**settings))
        catalogue = dataclasses.replace(catalogue, config=config)
    return run_rules(survey(catalogue))


def codes(findings):
    return {finding.code for finding in findings}


def test_every_rule_has_a_case_and_every_case_a_rule():
    assert {rule.code for rule in RULES} == set(CASES)


def test_no_two_rules_share_a_code():
    assert len({rule.code for rule in RULES}) == len(RULES)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.code)
def test_every_rule_says_why_it_exists(rule):
    assert rule.reason.endswith((".", ")."))


@pytest.mark.parametrize("code", CASES)
def test_a_rule_fires(tmp_path, code):
    fired = found(tmp_path, CASES[code][0])
    assert code in codes(fired)
    for finding in fired:
        assert_said_plainly(finding.problem)


def test_every_sentence_of_the_gate_is_said_plainly():
    rows = [*TABLE.values(), *PEOPLE.values(), CREDIT, SCREEN_CAPTURE, MODEL_USED, MODEL_TERMS]
    sentences = [cell.words for row in rows for cell in (row.use, row.show_reference, row.show_piece) if cell.words]
    assert len(sentences) > 80
    for sentence in sentences:
        assert_said_plainly(sentence)


@pytest.mark.parametrize(
    "sentence", ["No [[reference]] here.", "Say used = false.", "It isn't in piece.toml.", "The rights_url is empty."]
)
def test_what_only_a_file_says_is_no_plain_sentence(sentence):
    with pytest.raises(AssertionError):
        assert_said_plainly(sentence)


@pytest.mark.parametrize("code", CASES)
def test_a_rule_stays_quiet(tmp_path, code):
    assert code not in codes(found(tmp_path, CASES[code][1]))


def test_a_finding_stands_at_the_line_of_its_key(tmp_path):
    piece = make_piece(record=make_record(**ref()), lines={"reference.0": 41})
    (finding,) = (f for f in run_rules(survey(paper_catalogue(tmp_path, piece))) if f.code == "rights.missing")
    assert str(finding.place) == "pieces/2026-03-14-barn-owl/piece.toml, line 41"


@pytest.mark.parametrize(
    ("changes", "settings"),
    [
        ({"publish": False}, {}),
        ({"rights_override": model.RightsOverride(reason="redrawn")}, {}),
        ({}, {"require_rights": False}),
    ],
)
def test_a_missing_right_is_a_question_where_it_stops_nothing(tmp_path, changes, settings):
    severities = {f.code: f.severity for f in found(tmp_path, {**ref(), **changes}, **settings)}
    assert severities["rights.missing"] is Severity.WARNING


def test_a_missing_right_is_an_error_where_it_stops_publishing(tmp_path):
    severities = {f.code: f.severity for f in found(tmp_path, ref())}
    assert severities["rights.missing"] is Severity.ERROR


@pytest.mark.parametrize(
    ("reference", "code"),
    [
        ({"license": "permission"}, "rights.no-evidence"),
        ({"made_from": ()}, "rights.missing"),
        ({"license": "own-work", "digital_source": "composite"}, "rights.made-from"),
        ({"license": "InC"}, "rights.not-allowed"),
        ({"license": "own-work", "expires": TODAY - DAY}, "rights.expired"),
        ({"license": "own-work", "obtained": TODAY + DAY}, "rights.not-yet"),
    ],
)
def test_what_stops_a_piece_is_an_error_until_a_decision_lifts_it(tmp_path, reference, code):
    override = {"rights_override": model.RightsOverride(reason="redrawn")}
    assert [one.severity for one in problems(tmp_path, ref(**reference), code)] == [Severity.ERROR]
    lifted = problems(tmp_path, {**ref(**reference), **override}, code)
    assert [one.severity for one in lifted] == [Severity.WARNING]


@pytest.mark.parametrize(
    ("reference", "asked"),
    [
        ({"license": "CC-BY-SA-4.0", "creator": "A"}, ("show_piece",)),
        ({"license": "UND"}, ("use", "show_piece")),
        ({"license": "stock", "rights_url": "https://example.org/terms"}, ("use", "show_piece")),
    ],
)
def test_all_that_a_licence_leaves_open_is_asked_at_once(tmp_path, reference, asked):
    answers = picture_right(model.Reference(**reference), today=TODAY).by_row
    held = {name: getattr(answers, name).reasons for name in ("use", "show_reference", "show_piece")}
    (finding,) = problems(tmp_path, ref(**reference), "rights.ask")
    said = f"{finding.problem} {finding.remedy}"
    assert all(reason in said for name in asked for reason in held[name])


def test_a_decision_that_is_not_understood_is_said_not_to_count(tmp_path):
    piece = make_piece(record=make_record(rights_override=model.RightsOverride(reason="redrawn")))
    wrong = Finding(
        "record.wrong-type", Severity.ERROR, piece.id, Place(piece.toml, 9), "x.", "x.", "rights_override.date"
    )
    catalogue = dataclasses.replace(paper_catalogue(tmp_path, piece), findings=(wrong,))
    (said,) = (one for one in run_rules(survey(catalogue)) if one.code == "rights.override-not-yet")
    assert (said.key, "doesn't count" in said.problem) == ("rights_override", True)


@pytest.mark.parametrize("likeness", [model.Likeness.UNKNOWN, model.Likeness.PUBLIC_FIGURE])
def test_a_person_stays_an_error_whatever_was_decided_about_rights(tmp_path, likeness):
    override = {"rights_override": model.RightsOverride(reason="redrawn")}
    (finding,) = problems(tmp_path, {**ref(license="own-work", likeness=likeness), **override}, "rights.person")
    assert finding.severity is Severity.ERROR


@pytest.mark.parametrize(
    ("reference", "code", "published", "private"),
    [
        ({"license": "own-work", "likeness": model.Likeness.UNKNOWN}, "rights.person", "error", "warning"),
        ({"license": "own-work", "likeness": model.Likeness.MINOR}, "rights.minor", "warning", "warning"),
        ({"license": "CC-BY-4.0"}, "rights.no-credit", "warning", "warning"),
        ({"license": "own-work", "digital_source": "screenCapture"}, "rights.screen-capture", "warning", "warning"),
        ({"license": "UND"}, "rights.ask", "warning", "warning"),
        ({"license": "InC"}, "rights.not-for-skin", "warning", "warning"),
    ],
)
def test_how_serious_a_question_is(tmp_path, reference, code, published, private):
    for publish, severity in ((True, published), (False, private)):
        (finding,) = problems(tmp_path, {**ref(**reference), "publish": publish}, code)
        assert finding.severity.value == severity


@pytest.mark.parametrize(("publish", "severity"), [(True, Severity.ERROR), (False, Severity.WARNING)])
def test_a_portrait_of_nobody_knows_whom_stops_only_what_is_to_be_shown(tmp_path, publish, severity):
    changes = {**ref(license="own-work"), "subjects": ("portrait",), "publish": publish}
    (finding,) = problems(tmp_path, changes, "rights.likeness")
    assert finding.severity is severity


@pytest.mark.parametrize(("is_named", "says"), [(True, "is named by"), (False, "seems to lie under")])
def test_whether_the_record_or_a_picture_says_that_it_was_used_is_told(tmp_path, is_named, says):
    seen = twins() if is_named else twins(alike(ZERO, "references/a.jpg"))
    drawn = stencils({"from_": ("references/a.jpg",)} if is_named else {})
    (finding,) = problems(tmp_path, {**ref(used=False), **drawn, **seen}, "rights.used-after-all")
    assert says in finding.problem
    assert ("twins --different" in finding.remedy) is not is_named


def test_what_was_only_looked_at_asks_for_nothing(tmp_path):
    changes = ref(used=False, license="CC-BY-4.0", likeness=model.Likeness.UNKNOWN, digital_source="screenCapture")
    assert not {code for code in codes(found(tmp_path, changes)) if code.startswith("rights.")}


def test_a_file_that_is_not_described_is_asked_about_where_it_lies(tmp_path):
    piece = make_piece(record=make_record(reference=(OWN_A,)))
    film = f"{piece.folder}/references/film.jpg"
    piece = msgspec.structs.replace(piece, references=(*piece.references, film))
    catalogue = survey(paper_catalogue(tmp_path, piece))
    (finding,) = (one for one in run_rules(catalogue) if one.code == "rights.missing")
    assert (finding.place.file, finding.severity) == (film, Severity.ERROR)
    assert finding.remedy.index("used = false") < finding.remedy.index("license")
    kept = msgspec.structs.replace(piece, record=make_record(reference=(OWN_A,), publish=False))
    decided = make_record(reference=(OWN_A,), rights_override=model.RightsOverride(reason="ours", date=TODAY))
    for quieter in (kept, msgspec.structs.replace(piece, record=decided)):
        findings = run_rules(survey(paper_catalogue(tmp_path, quieter)))
        assert [one.severity for one in findings if one.code == "rights.missing"] == [Severity.WARNING]


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        (ref(source="https://example.org"), "rights.missing"),
        (ref(license="own-work", expires=TODAY - DAY), "rights.expired"),
    ],
)
def test_what_has_a_rule_of_its_own_is_told_by_that_one_only(tmp_path, changes, code):
    told = codes(found(tmp_path, changes))
    assert code in told
    assert not {"rights.ask", "rights.not-allowed", "rights.not-for-skin"} & set(told)


def test_a_picture_that_is_named_as_a_letter_is_told(tmp_path):
    changes = ref(license="permission", permission="references/a.jpg")
    for publish, severity in ((True, Severity.ERROR), (False, Severity.WARNING)):
        told = {
            one.key: one.severity for one in problems(tmp_path, {**changes, "publish": publish}, "rights.no-evidence")
        }
        assert told == {"reference.0.license": severity, "reference.0.permission": severity}


@pytest.mark.parametrize(("key", "told"), [("reference.0.permission", False), ("reference.1.permission", True)])
def test_what_was_said_of_a_letter_when_it_was_looked_for_is_not_said_twice(tmp_path, key, told):
    piece = make_piece(record=make_record(**ref(license="permission", permission="references/a.jpg")))
    place = Place(f"{piece.folder}/piece.toml")
    said = Finding("file.missing", Severity.WARNING, piece.id, place, "It isn't there.", "Put it there.", key)
    findings = run_rules(survey(paper_catalogue(tmp_path, piece, findings=(said,))))
    asked = [one.key for one in findings if one.code == "rights.no-evidence"]
    assert ("reference.0.permission" in asked) is told


def test_what_seems_to_lie_under_a_stencil_is_asked_about(tmp_path):
    changes = {**ref(used=False), **stencils({}), **twins(alike(ZERO, "references/a.jpg", score=0.6))}
    (finding,) = problems(tmp_path, changes, "rights.used-after-all")
    assert finding.severity is Severity.ERROR
    assert ZERO in finding.problem


@pytest.mark.parametrize(("part", "asked"), [("a", 1), ("b", 0)])
def test_the_picture_that_holds_the_other_is_asked_about(tmp_path, part, asked):
    one = alike("references/a.jpg", "references/b.jpg")
    one = dataclasses.replace(one, relation=Relation.CROPPED, part=f"{make_piece().folder}/references/{part}.jpg")
    (finding,) = problems(tmp_path, {"reference": (OWN_A, OWN_B), **twins(one)}, "rights.seems-from")
    assert finding.key == f"reference.{asked}.made_from"


def test_the_same_picture_is_not_made_from_itself(tmp_path):
    one = dataclasses.replace(alike("references/a.jpg", "references/b.jpg"), relation=Relation.IDENTICAL)
    assert not problems(tmp_path, {"reference": (OWN_A, OWN_B), **twins(one)}, "rights.seems-from")


def test_what_a_client_said_is_no_trouble_for_a_piece_that_stays_in(tmp_path):
    changes = {"publish": False, **release(model.ReleaseStatus.WITHDRAWN)}
    assert not {code for code in codes(found(tmp_path, changes)) if code.startswith("release.")}


def test_an_old_piece_without_a_healed_photo_is_only_a_note(tmp_path):
    changes = {**photos(FRESH), "finished": dt.date(2024, 1, 1)}
    severities = {f.code: f.severity for f in found(tmp_path, changes)}
    assert severities["followup.no-healed-photo"] is Severity.NOTE


def test_a_young_piece_needs_no_healed_photo(tmp_path):
    changes = {**photos(FRESH), "finished": TODAY - 27 * DAY}
    assert "followup.no-healed-photo" not in codes(found(tmp_path, changes))


def test_a_broken_piece_is_left_alone(tmp_path):
    assert run_rules(survey(paper_catalogue(tmp_path, model.Piece(id="broken", record=None)))) == []


def test_rules_that_need_no_picture_say_the_same_without_pictures(tmp_path):
    catalogue = paper_catalogue(tmp_path)
    without = dataclasses.replace(catalogue, facts={})
    assert run_rules(survey(catalogue), record_rules()) == run_rules(survey(without), record_rules())


def problems(tmp_path, changes, code):
    return [finding for finding in found(tmp_path, changes) if finding.code == code]


def test_a_record_of_one_line_gets_one_note_with_all_lines_to_add(tmp_path):
    piece = make_piece(record=model.PieceRecord(title="Owl"), photos=("pieces/2026-03-14-barn-owl/photos/a.jpg",))
    (finding,) = run_rules(survey(paper_catalogue(tmp_path, piece)))
    assert finding.code == "piece.begun"
    record, problems = read_piece_record(tomllib.loads('title = "Owl"\n' + finding.remedy.partition("\n")[2]), {})
    assert problems == []
    later = run_rules(survey(paper_catalogue(tmp_path, make_piece(record=record, photos=piece.photos))))
    assert codes(later) == {"followup.no-healed-photo"}


def test_a_table_that_is_there_is_not_offered_again(tmp_path):
    lines = {"size": 2}
    record = make_record(**BARE)
    findings = run_rules(survey(paper_catalogue(tmp_path, make_piece(record=record, lines=lines))))
    assert "[size]" not in next(f.remedy for f in findings if f.code == "piece.begun")
    assert "piece.no-size" in codes(findings)


def test_a_landmark_outside_its_picture_is_told_with_what_is_allowed(tmp_path):
    (finding,) = problems(tmp_path, landmark(40300, 22), "stencil.landmark-outside")
    assert finding.problem == (
        "A landmark, 40300 pixels across and 22 down, lies outside stencils/0.png, which is 800 wide and 1000 high."
    )


def test_an_undescribed_version_gets_the_lines_to_add(tmp_path):
    changes = {**stencils({"version": 4}), **twins(alike(ZERO, "stencils/found.png", mirrored=True))}
    (finding,) = problems(tmp_path, changes, "version.not-described")
    lines = tomllib.loads(finding.remedy.partition("\n")[2])["stencil"][0]
    assert lines == {"file": "stencils/found.png", "version": 5, "parent": 4, "mirrored": True}
    assert finding.place.file.endswith("stencils/found.png")


def test_a_drawing_that_looks_the_same_mirrored_is_not_asked_about(tmp_path):
    both = [f"{make_piece().folder}/{name}" for name in (ZERO, ONE)]
    changes = {**stencils(V1, V2), **twins(alike(ZERO, ONE, mirrored=True), symmetric=frozenset(both))}
    assert problems(tmp_path, changes, "version.mirrored") == []


def test_a_version_is_compared_with_its_parent(tmp_path):
    pairs = (alike(ZERO, ONE, mirrored=True), alike(ONE, TWO), alike(ZERO, TWO, mirrored=True))
    changes = {**stencils(V1, {**V2, "mirrored": True}, {"version": 3, "parent": 2, "mirrored": True}), **twins(*pairs)}
    assert not {code for code in codes(found(tmp_path, changes)) if code.startswith("version.")}


def test_written_words_about_mirroring_settle_the_question(tmp_path):
    record = make_record(**stencils(V1, V2))
    piece = make_piece(record=record, lines={"stencil.1.mirrored": 30})
    catalogue = paper_catalogue(tmp_path, piece, **twins(alike(ZERO, ONE, mirrored=True)))
    assert "version.mirrored" not in codes(run_rules(survey(catalogue)))


def test_the_same_picture_in_two_pieces_with_two_rights_is_told_where_one_is_missing(tmp_path):
    owl = make_piece("owl", make_record(reference=(model.Reference(file="references/a.jpg", license="PDM-1.0"),)))
    moth = make_piece("moth", make_record(reference=(model.Reference(file="references/b.jpg"),)))
    pair = Pair(moth.references[0], owl.references[0], Relation.EDITED, False, 0, (1, 0, 0, 0, 1, 0), 0.95)
    findings = run_rules(survey(paper_catalogue(tmp_path, owl, moth, **twins(pair))))
    assert [f.piece for f in findings if f.code == "rights.same-picture"] == ["moth"]


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ({}, 1),
        ({"source": "https://example.org/owl"}, 0),
        ({"creator": "Sample Maker"}, 0),
        ({"license": "own-work"}, 0),
        ({"license": "commissioned"}, 0),
        ({"made_from": ("references/b.jpg",)}, 0),
    ],
)
def test_one_word_about_where_a_reference_came_from_is_enough(tmp_path, said, expected):
    assert len(problems(tmp_path, ref(**said), "rights.no-source")) == expected


@pytest.mark.parametrize("likeness", model.Likeness)
def test_a_person_asks_only_where_the_answer_is_open(tmp_path, likeness):
    open_answers = {model.Likeness.UNKNOWN, model.Likeness.PUBLIC_FIGURE, model.Likeness.CLIENT}
    given = {**ref(license="own-work", likeness=likeness), "release": model.Release()}
    asks = bool(problems(tmp_path, given, "rights.person"))
    assert asks == (likeness in open_answers)
