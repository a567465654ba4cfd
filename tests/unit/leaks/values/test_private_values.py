"""What of an archive is looked for, as what, and how surely."""

import msgspec
import pytest

from archgen.leaks.values.private_values import private_values
from archgen.leaks.values.spellings import Way
from archgen.publication.decision import decide_all
from archgen.records import model
from tests.builders import make_piece, make_record, paper_catalogue, paper_facts


def _values(catalogue):
    return private_values(catalogue, decide_all(catalogue))


def sought(tmp_path, *pieces, **changes):
    """Give how surely each value is looked for, by what it is and its text."""
    values = _values(paper_catalogue(tmp_path, *pieces, **changes))
    return {(value.what, value.value): value.sure for value in values}


def of_client(tmp_path, *pieces, **fields):
    return sought(tmp_path, *pieces, clients={"C-0042": model.Client(code="C-0042", **fields)})


@pytest.mark.parametrize("note", ["hepatitis c", "see scar", "diabetic", "kiki7", "one leg shorter than the other"])
def test_a_private_text_of_any_length_is_a_certainty(tmp_path, note):
    assert of_client(tmp_path, note=note)["note about a client", note] is True


@pytest.mark.parametrize("note", ["outline", "ok", "x", "42", "2026", "..."])
def test_what_every_page_may_have_is_not_looked_for(tmp_path, note):
    assert ("note about a client", note) not in of_client(tmp_path, note=note)


def test_words_that_are_public_elsewhere_are_a_question(tmp_path):
    piece = make_piece(story="A barn owl, to hide a burn. See scar and feathers alike.")
    found = of_client(tmp_path, piece, note="see scar", name="Barn Owl")
    assert found["note about a client", "see scar"] is False
    assert found["client's name", "Barn Owl"] is False


def test_a_sentence_or_a_name_that_got_into_a_story_stays_a_certainty(tmp_path):
    note = "Faints at the sight of blood, keep water near"
    piece = make_piece(story=f"A barn owl for Anna Sample. {note}. Call 070-1234567 or anna@example.org.")
    found = of_client(tmp_path, piece, note=note, name="Anna Sample", contact="070-1234567, anna@example.org")
    assert found["note about a client", note] is True
    assert found["client's name", "Anna Sample"] is True
    assert found["client's contact", "0701234567"] is True


def test_two_everyday_words_are_a_question(tmp_path):
    assert of_client(tmp_path, note="left arm")["note about a client", "left arm"] is False


def test_a_long_note_is_looked_for_sentence_by_sentence(tmp_path):
    found = sought(tmp_path, make_piece(notes="# Day one\n\nHepatitis C. Bled more than usual!\n- check the scar"))
    assert {text for what, text in found if what == "private note"} >= {
        "Hepatitis C.", "Bled more than usual!", "- check the scar"
    }  # fmt: skip


def test_a_name_is_looked_for_whole_reversed_without_what_is_between_and_in_parts(tmp_path):
    found = of_client(tmp_path, name='Anna Maria "Nono" Falkenberg')
    whole = {text: sure for (what, text), sure in found.items() if what == "client's name"}
    parts = {text: sure for (what, text), sure in found.items() if what == "part of a client's name"}
    assert whole == {
        'Anna Maria "Nono" Falkenberg': True, "Anna Maria   Falkenberg": True, "falkenberg anna maria": True,
        "anna falkenberg": True,
    }  # fmt: skip
    assert parts == {"Nono": False, "maria": False, "falkenberg": False}


def test_a_first_name_that_is_a_word_of_the_portfolio_is_left_out(tmp_path):
    found = of_client(tmp_path, make_piece(record=make_record(title="Peony")), name="Peony Marlowe")
    assert {text for what, text in found if what == "part of a client's name"} == {"marlowe"}


def test_a_part_with_a_digit_is_nobody_elses(tmp_path):
    assert of_client(tmp_path, name="kiki7 Marlowe")["part of a client's name", "kiki7"] is True


@pytest.mark.parametrize(("code", "is_sought"), [("C1", True), ("42", False), ("12024", True), ("A-1", True)])
def test_codes_are_looked_for_unless_they_are_small_numbers(tmp_path, code, is_sought):
    found = sought(tmp_path, clients={code: model.Client(code=code)})
    assert (found.get(("client code", code)) is True) is is_sought


@pytest.mark.parametrize(("serial", "is_sought"), [("8023 771", True), ("0000000", False), ("none", False)])
def test_the_number_of_a_camera_is_looked_for_unless_it_says_nothing(tmp_path, serial, is_sought):
    facts = {"p": msgspec.structs.replace(paper_facts("p"), serials=(serial,))}
    assert (("serial number of a camera or lens", serial) in sought(tmp_path, facts=facts)) is is_sought


@pytest.mark.parametrize(
    ("text", "is_sought"),
    [("for Mika at the harbour", True), ("OLYMPUS DIGITAL CAMERA", False), ("Screenshot", False), ("A. Sample", False)],
)
def test_what_the_file_of_a_picture_says_is_looked_for(tmp_path, text, is_sought):
    piece = make_piece()
    facts = {path: paper_facts(path) for path in (*piece.photos, *piece.stencils, *piece.references)}
    facts[piece.photos[0]] = msgspec.structs.replace(facts[piece.photos[0]], texts=(text,))
    found = sought(tmp_path, piece, facts=facts)
    assert (("text in the file of a picture", text) in found) is is_sought  # A. Sample is credited in public


def test_what_may_be_public_is_private_while_its_piece_is_not_shown(tmp_path):
    hidden = make_piece(
        "2026-05-01-moth",
        make_record(title="Zwielichtmotte", publish=False),
        story="A moth that hides by day.",
    )
    found = sought(tmp_path, make_piece(), hidden)
    assert found["title of a piece that is not shown", "Zwielichtmotte"] is True
    assert found["title of a piece that is not shown", "zwielichtmotte"] is True  # its page
    assert found["story of a piece that is not shown", "A moth that hides by day."] is True
    assert not [text for what, text in found if what.endswith("not shown") and "owl" in text.lower()]


def test_the_name_of_a_shown_page_is_not_looked_for_as_a_file(tmp_path):
    record = make_record()
    named = [msgspec.structs.replace(stencil, file=f"stencils/{name}") for stencil, name in
             zip(record.stencil, ("barn-owl-2.png", "IMG_2041.png"), strict=True)]  # fmt: skip
    values = _values(paper_catalogue(tmp_path, make_piece(record=make_record(stencil=tuple(named)))))
    names = {value.value for value in values if value.way is Way.NAME}
    assert "barn-owl-2" not in names
    assert "IMG_2041" in names


@pytest.mark.parametrize(
    ("file", "names"),
    [
        ("photos/fresh.jpg", {"fresh.jpg": False, "photos/fresh.jpg": True}),
        ("photos/healed-2.jpg", {"healed-2.jpg": False, "photos/healed-2.jpg": True}),
        ("photos/left-arm.jpg", {"left-arm.jpg": True}),
        ("photos/1.jpg", {}),
        ("photos/a.jpg", {}),
    ],
)
def test_names_of_everyday_words_are_looked_for_in_full_only(tmp_path, file, names):
    record = make_record(photo=(model.Photo(file=file, stage=model.Stage.FRESH),))
    values = _values(paper_catalogue(tmp_path, make_piece(record=record, photos=())))
    found = [value for value in values if value.what == "file name of a photo"]
    assert {value.value: value.sure for value in found} == names
    assert {value.way for value in found} <= {Way.FULL_NAME}


def test_one_word_that_the_themes_say_is_a_question(tmp_path):
    """It would stand on every page: "none" in a style sheet keeps no portfolio back."""
    piece = make_piece(as_written=(model.AsWritten(key="reference.0.likeness", text='"none?"'),))
    assert sought(tmp_path, piece)["value that is not understood", '"none?"'] is False
    assert of_client(tmp_path, note="redrawn")["note about a client", "redrawn"] is False
    assert of_client(tmp_path, note="redrawing")["note about a client", "redrawing"] is True


def test_a_word_of_the_trade_alone_is_a_question(tmp_path):
    needles = (model.Needle(code="3RL", use="scales"), model.Needle(code="9RL", use="scales and fins"))
    found = sought(tmp_path, make_piece(record=make_record(needle=needles)))
    assert (found["use of a needle", "scales"], found["use of a needle", "scales and fins"]) == (False, True)


def test_each_value_is_listed_once(tmp_path):
    clients = {code: model.Client(code=code, note="see scar") for code in ("C-1001", "C-1002")}
    values = _values(paper_catalogue(tmp_path, clients=clients))
    assert [value.value for value in values].count("see scar") == 1
