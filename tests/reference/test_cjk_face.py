"""The face for Chinese, Japanese and Korean: what national standards can write, as Python's codecs list them."""

import datetime as dt
import subprocess
import unicodedata

import pytest
import typst
from fontTools.ttLib import TTFont

from archgen.render import typst_pdf
from archgen.render.typst_pdf import CJK_FACE, SUBSTITUTE, has_glyph, make_pdf

DAY = dt.date(2026, 11, 25)
FACE = typst_pdf.OWN_FACES / "archgen-cjk.otf"
TEMPLATE = """
#let d = json(bytes(sys.inputs.data))
#set document(title: "Test")
#set text(font: json(bytes(sys.inputs.faces)), fallback: false)
#d.text #d.unprintable.join(" ")
"""
# JIS X 0213, GB 2312, KS X 1001, Big5, and what was added to Shift JIS for Japanese names.
STANDARDS = {"euc_jis_2004": 10_000, "gb2312": 6763, "euc_kr": 4888 + 2350, "big5": 13_053, "cp932": 6355}


@pytest.fixture(scope="module")
def face():
    with TTFont(FACE, lazy=True) as font:
        yield font


def letters(encoding):
    """Give the letters of East Asian scripts that an encoding of two or three bytes knows."""
    for code in (*range(0x1100, 0xFFF0), *range(0x20000, 0x2FA20)):
        try:
            size = len(chr(code).encode(encoding))
        except UnicodeEncodeError:
            continue
        if size > 1 and unicodedata.category(chr(code)) == "Lo":
            yield code


@pytest.mark.parametrize("encoding", STANDARDS)
def test_every_letter_of_a_national_standard_is_there(face, encoding):
    wanted = set(letters(encoding))
    assert len(wanted) >= STANDARDS[encoding]
    assert wanted - set(face.getBestCmap()) == set()


def test_all_korean_syllables_and_the_basic_block_of_ideographs_are_there(face):
    cmap = face.getBestCmap()
    assert set(range(0xAC00, 0xD7A4)) <= set(cmap)
    assert set(range(0x4E00, 0x9FD6)) <= set(cmap)  # as of Unicode 8


@pytest.mark.parametrize("title", ["山﨑 髙橋 𠮷野", "朱镕基 喆 堃", "김뷁 안녕", "ｶﾅ カナ かな 「龍」", "龜與鳳凰"])
def test_titles_and_names_are_printed_with_it(title, pdftotext, pdffonts, tmp_path):
    file = tmp_path / "page.pdf"
    file.write_bytes(make_pdf(TEMPLATE, {"text": title}, {}, DAY))
    text = subprocess.run([pdftotext, file, "-"], capture_output=True, text=True, check=True).stdout
    assert title in text
    assert SUBSTITUTE not in text
    fonts = subprocess.run([pdffonts, file], capture_output=True, text=True, check=True).stdout
    assert "ArchgenCJK-Regular" in fonts


def test_a_character_that_was_left_out_becomes_a_square_and_is_named(pdftotext, tmp_path):
    file = tmp_path / "page.pdf"
    file.write_bytes(make_pdf(TEMPLATE, {"text": "龍㐀虎"}, {}, DAY))
    text = subprocess.run([pdftotext, file, "-"], capture_output=True, text=True, check=True).stdout
    assert f"龍{SUBSTITUTE}虎 U+3400" in text
    assert not has_glyph("㐀")


def test_the_face_bears_neither_the_reserved_name_nor_the_trade_mark_and_says_its_licence(face):
    """OFL 1.1, condition 3: a changed version may not use a reserved name as the name shown to users."""
    shown = [face["name"].getDebugName(number) or "" for number in (1, 2, 4, 6, 16, 17, 18)]
    shown += [*face["CFF "].cff.fontNames, face["CFF "].cff[0].FamilyName, face["CFF "].cff[0].FullName]
    assert CJK_FACE in shown
    assert [name for name in shown if "source" in name.lower() or "noto" in name.lower()] == []
    assert "Open Font License" in face["name"].getDebugName(13)
    licence = (FACE.parent / "OFL.txt").read_text(encoding="utf-8")
    assert "Reserved Font Name 'Source'" in licence
    assert "SIL OPEN FONT LICENSE Version 1.1" in licence


def test_chinese_archives_get_chinese_forms():
    """U+9AA8 and U+9580 are drawn otherwise in China than in Japan; typst tells the face the language."""
    loaded, _, _ = typst_pdf.fonts()

    def drawn(language):
        page = f'#set text(font: "{CJK_FACE}", fallback: false, lang: "{language}")\n直骨角'
        return typst.Compiler(page.encode(), font_paths=loaded).compile(format="svg")

    assert drawn("en") == drawn("ja")
    assert drawn("zh") != drawn("ja")
