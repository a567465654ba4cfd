import datetime as dt
import io
import subprocess

import pikepdf
import pytest

from archgen.render.typst_pdf import SUBSTITUTE, has_glyph, make_pdf

DAY = dt.date(2026, 11, 25)
TEMPLATE = """
#let d = json(bytes(sys.inputs.data))
#set document(title: "Test")
#set text(font: json(bytes(sys.inputs.faces)))
#d.text #d.unprintable.join(" ")
"""


def page_text(pdf, pdftotext, tmp_path):
    (tmp_path / "page.pdf").write_bytes(pdf)
    return subprocess.run([pdftotext, tmp_path / "page.pdf", "-"], capture_output=True, text=True, check=True).stdout


def test_equal_input_gives_equal_bytes():
    assert make_pdf(TEMPLATE, {"text": "owl"}, {}, DAY) == make_pdf(TEMPLATE, {"text": "owl"}, {}, DAY)


def test_the_day_is_the_date_of_the_file():
    with pikepdf.open(io.BytesIO(make_pdf(TEMPLATE, {"text": "owl"}, {}, DAY))) as pdf:
        assert str(pdf.docinfo["/CreationDate"]).startswith("D:20261125")


def test_print_dialogues_are_asked_for_true_size():
    with pikepdf.open(io.BytesIO(make_pdf(TEMPLATE, {"text": "owl"}, {}, DAY))) as pdf:
        assert pdf.Root.ViewerPreferences.PrintScaling == "/None"
        assert pdf.Root.ViewerPreferences.DisplayDocTitle


@pytest.mark.parametrize("text", ["é", "Ω", "Ж", "ש", "ع", "ไ", "क", "½", "♀", "👍🏽", "❤️", SUBSTITUTE])
def test_the_faces_of_the_package_have_the_letters_of_many_scripts(text):
    assert all(has_glyph(character) for character in text)


@pytest.mark.parametrize("character", ["\U00013000", "\ue000", "\u0378", "\ufffe"])
def test_a_character_that_no_face_has_is_known(character):
    assert not has_glyph(character)


def test_a_character_that_no_face_has_becomes_a_square_and_is_named(pdftotext, tmp_path):
    text = page_text(make_pdf(TEMPLATE, {"text": "a\U00013000b"}, {}, DAY), pdftotext, tmp_path)
    assert f"a{SUBSTITUTE}b U+13000" in text


def test_a_mark_and_a_letter_of_two_faces_stop_no_sheet():
    assert make_pdf(TEMPLATE, {"text": "a\u0e33\u0651\u20e3 日\u0e38 \u0d4d\u1f3fb"}, {}, DAY)


@pytest.mark.parametrize("character", ["x", "\U0001f44d"])
def test_a_text_that_no_string_of_a_pdf_can_hold_is_cut_and_stops_no_sheet(character, pdftotext, tmp_path):
    template = (
        TEMPLATE
        + '#image(bytes("<svg xmlns=\\"http://www.w3.org/2000/svg\\" width=\\"9\\" height=\\"9\\"/>"), alt: d.alt)'
    )
    data = {"text": f"owl {character * 100_000} moth", "alt": character * 100_000}
    words = page_text(make_pdf(template, data, {}, DAY), pdftotext, tmp_path)
    assert "owl" in words
    assert "moth" not in words


def test_control_characters_and_turns_of_direction_are_dropped(pdftotext, tmp_path):
    text = page_text(make_pdf(TEMPLATE, {"text": "o\x00w\x1bl \u202edrawkcab"}, {}, DAY), pdftotext, tmp_path)
    assert "owl drawkcab" in text
