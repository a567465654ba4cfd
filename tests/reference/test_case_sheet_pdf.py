"""Case sheets judged by other programs: poppler, qpdf, pikepdf, a PDF/UA rule checker, a QR reader."""

import dataclasses
import datetime as dt
import io
import re
import subprocess

import msgspec
import numpy as np
import outloud
import pikepdf
import pypdfium2
import pytest
import zxingcpp
from PIL import Image
from scipy import ndimage

from archgen.config import PrinterSettings
from archgen.outputs.sheets.case_sheet import CaseSheets, Press
from archgen.outputs.sheets.recall_list import trace_list
from archgen.outputs.sheets.recall_pdf import trace_pdf
from archgen.outputs.sheets.view import CAUTIONS, SheetLimb, SheetReading, case_sheet
from archgen.pieces.survey import survey
from archgen.records import model
from archgen.tracing.book import BatchBook
from archgen.tracing.recall import trace
from tests.builders import make_catalogue, make_piece, make_record

DPI = 600
HOSTILE = '#set page(fill: red) $x$ @ref \\ <b>bold</b> {{ x }} #eval("1") = head - list `raw`'
SCRIPTS = "Grüße Ωμέγα Сова שלום สวัสดี"


def pdf_of(catalogue, tmp_path, name="sheet.pdf", number=0):
    path = tmp_path / name
    path.write_bytes(list(CaseSheets(survey(catalogue), tmp_path / "blobs").artifacts())[number].make())
    return path


def on_paper(catalogue, paper):
    return dataclasses.replace(
        catalogue, config=dataclasses.replace(catalogue.config, printers=(PrinterSettings(paper=paper),))
    )


def poor_piece():
    return make_piece("2026-01-01-swallow", model.PieceRecord(title="Swallow"), notes=None)


def long_piece():
    record = make_record(
        title=f"{SCRIPTS} {HOSTILE}",
        client=HOSTILE,
        needle=tuple(model.Needle(code=f"12{n:02}RL", use="outline", batch=f"N-{n}") for n in range(1, 30)),
        sitting=tuple(model.Sitting(date=dt.date(2026, 1, n), note=f"{HOSTILE} " * 3) for n in range(1, 25)),
    )
    return make_piece("2026-02-02-long", record, notes=f"{HOSTILE}\n\n- {SCRIPTS}\n\n" + "Many words. " * 800)


@pytest.fixture(scope="module", params=["full", "poor", "long", "letter"])
def sheet(request, tmp_path_factory):
    folder = tmp_path_factory.mktemp(request.param)
    pieces = {"poor": poor_piece(), "long": long_piece()}
    catalogue = make_catalogue(folder, pieces.get(request.param, make_piece()))
    return pdf_of(on_paper(catalogue, "Letter") if request.param == "letter" else catalogue, folder)


# ---------------------------------------------------------------- sizes, measured on the raster by poppler


def raster(pdf, pdftoppm, page=1, width_mm=125):
    """Give the left part of a page: the rule and the stencil stand there."""
    part = ["-x", "0", "-y", "0", "-W", str(round(width_mm / 25.4 * DPI)), "-H", "8000"]
    made = subprocess.run(
        [pdftoppm, "-r", str(DPI), "-gray", *part, "-f", str(page), "-l", str(page), pdf],
        capture_output=True,
        check=True,
    )
    return np.asarray(Image.open(io.BytesIO(made.stdout)))


def rule_mm(gray):
    """Measure from the first to the last mark of the rule: they are the only lines 3 mm high near the foot's left."""
    part = gray[-round(27 / 25.4 * DPI) : -round(17 / 25.4 * DPI)] < 128
    height = round(2.9 / 25.4 * DPI)
    marks = np.flatnonzero(ndimage.binary_opening(part, np.ones((height, 1))).any(axis=0))
    lines = np.split(marks, np.flatnonzero(np.diff(marks) > 1) + 1)
    return float(lines[-1].mean() - lines[0].mean()) / DPI * 25.4


def block_mm(gray):
    """Measure the largest black area: width and height of its box."""
    labels, _ = ndimage.label(gray < 128)
    largest = np.bincount(labels.ravel())[1:].argmax()
    rows, columns = ndimage.find_objects(labels)[largest]
    return ((columns.stop - columns.start) / DPI * 25.4, (rows.stop - rows.start) / DPI * 25.4)


def with_black_stencil(tmp_path, width_mm, size=(570, 400), **changes):
    """A catalogue whose one piece has no photo and a stencil of one black block."""
    stencil = model.Stencil(file="stencils/block.png", width=model.Length(width_mm), applied=True, **changes)
    catalogue = make_catalogue(tmp_path, make_piece(record=make_record(photo=(), stencil=(stencil,))))
    path = "pieces/2026-03-14-barn-owl/stencils/block.png"
    Image.new("L", size, 0).save(tmp_path / "blobs" / "block.png")
    copy = msgspec.structs.replace(catalogue.facts[path].print_copy, blob="block.png", width=size[0], height=size[1])
    facts = msgspec.structs.replace(catalogue.facts[path], print_copy=copy)
    return dataclasses.replace(catalogue, facts={**catalogue.facts, path: facts})


def shrunk(pdf, share):
    with pikepdf.open(pdf) as document:
        document.pages[0].contents_add(f"{share} 0 0 {share} 0 0 cm".encode(), prepend=True)
        path = pdf.with_name("shrunk.pdf")
        document.save(path)
    return path


def is_true_size(gray, width_mm, height_mm):
    width, height = block_mm(gray)
    return abs(rule_mm(gray) - 100) < 0.1 and abs(width - width_mm) < 0.1 and abs(height - height_mm) < 0.1


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_stencil_and_the_rule_have_their_true_size(tmp_path, pdftoppm, paper):
    pdf = pdf_of(on_paper(with_black_stencil(tmp_path, 57), paper), tmp_path)
    assert is_true_size(raster(pdf, pdftoppm), 57, 40)


def test_a_sheet_printed_at_98_percent_is_told_from_a_true_one(tmp_path, pdftoppm):
    pdf = shrunk(pdf_of(with_black_stencil(tmp_path, 57), tmp_path), 0.98)
    gray = raster(pdf, pdftoppm)
    assert not is_true_size(gray, 57, 40)
    assert rule_mm(gray) == pytest.approx(98, abs=0.1)


def test_a_stencil_too_wide_for_its_column_is_drawn_smaller_and_says_so(tmp_path, pdftoppm, pdftotext):
    pdf = pdf_of(with_black_stencil(tmp_path, 150), tmp_path)
    share = int(re.search(r"Drawn at (\d\d)\s%\sof\sits\strue\ssize", text_of(pdf, pdftotext))[1])
    assert block_mm(raster(pdf, pdftoppm))[0] == pytest.approx(150 * share / 100, abs=0.8)


def test_a_stencil_too_large_for_the_paper_says_so(tmp_path, pdftotext):
    assert "too large for this" in text_of(pdf_of(with_black_stencil(tmp_path, 400), tmp_path), pdftotext)


# Millimetres of ISO 216 and of the US sizes, whose sides are whole eighths of an inch.
PAPERS = {
    "A4": (210, 297),
    "A3": (297, 420),
    "Letter": (215.9, 279.4),
    "Legal": (215.9, 355.6),
    "Tabloid": (279.4, 431.8),
    "8.5 x 11 in": (215.9, 279.4),
    "8 1/2 x 13 in": (215.9, 330.2),
    "200 x 260 mm": (200, 260),
    # Too small or too large for a sheet to read.
    "A5": (210, 297),
    "A2": (210, 297),
    "110 x 2000 mm": (210, 297),
    "4 x 6 in": (215.9, 279.4),
    "24 x 36 in": (215.9, 279.4),
}


@pytest.mark.parametrize(("paper", "sides"), PAPERS.items())
def test_sheets_and_recall_lists_have_the_size_of_the_paper(tmp_path, pdfinfo, paper, sides):
    catalogue = on_paper(make_catalogue(tmp_path), paper)
    recall = tmp_path / "recall.pdf"
    book = BatchBook(catalogue)
    recall.write_bytes(trace_pdf(trace_list(trace(book, "GW2-2231"), book), catalogue))
    for pdf in (pdf_of(catalogue, tmp_path), recall):
        said = subprocess.run([pdfinfo, "-l", "9", pdf], capture_output=True, text=True, check=True).stdout
        found = re.findall(r"size:\s+([\d.]+) x ([\d.]+) pts", said)
        assert found
        for page in found:
            assert [float(side) / 72 * 25.4 for side in page] == pytest.approx(sides, abs=0.01)


# ---------------------------------------------------------------- soundness


def test_qpdf_finds_nothing_wrong(sheet, qpdf):
    made = subprocess.run([qpdf, "--check", sheet], capture_output=True, text=True, check=False)
    assert (made.returncode, "WARNING" in made.stdout + made.stderr) == (0, False)


def test_poppler_reads_it_without_a_complaint(sheet, pdfinfo):
    assert subprocess.run([pdfinfo, sheet], capture_output=True, text=True, check=True).stderr == ""


def test_every_font_is_embedded(sheet, pdffonts):
    lines = subprocess.run([pdffonts, sheet], capture_output=True, text=True, check=True).stdout.splitlines()[2:]
    assert lines
    # name, type, encoding, emb, sub, uni, object id (two figures)
    assert all(line.split()[-5:-2] == ["yes", "yes", "yes"] for line in lines)


def test_a_rule_checker_for_pdf_ua_finds_no_error(sheet):
    result = outloud.check(str(sheet))
    assert (result.error, result.errors) == (None, 0)


def test_the_file_says_that_it_is_pdf_a_2a_and_pdf_ua_1_and_has_an_output_intent(sheet):
    # No complete PDF/A checker is in the package registries: this reads the claims and the rules that pikepdf can see.
    with pikepdf.open(sheet) as pdf:
        with pdf.open_metadata() as metadata:
            assert metadata.pdfa_status == "2A"
            assert metadata["pdfuaid:part"] == "1"
        assert pdf.Root.OutputIntents[0].S == "/GTS_PDFA1"
        assert pdf.Root.MarkInfo.Marked
        assert pdf.Root.Lang == "en"
        assert not pdf.is_encrypted
        assert "/AA" not in pdf.Root
        assert "/OpenAction" not in pdf.Root


def test_a_second_run_gives_the_same_bytes(tmp_path):
    catalogue = make_catalogue(tmp_path, make_piece(), long_piece())
    for number in (0, 1):
        first, second = (pdf_of(catalogue, tmp_path, name, number).read_bytes() for name in ("a.pdf", "b.pdf"))
        assert first == second


def test_nothing_of_this_machine_is_in_the_file(tmp_path, qpdf):
    pdf = pdf_of(make_catalogue(tmp_path), tmp_path)
    plain = subprocess.run([qpdf, "--qdf", pdf, "-"], capture_output=True, check=True).stdout
    assert str(tmp_path).encode() not in plain
    assert b"archgen-sheet-" not in plain


# ---------------------------------------------------------------- words


def text_of(pdf, pdftotext):
    made = subprocess.run([pdftotext, "-raw", pdf, "-"], capture_output=True, text=True, check=True)
    return re.sub(r"\s+", " ", made.stdout.replace("\u200b", ""))


def words_only(**changes):
    return make_piece(record=make_record(photo=(), stencil=(), reference=()), **changes)


def test_markup_in_any_text_appears_as_text(tmp_path, pdftotext):
    record = words_only().record
    record = msgspec.structs.replace(
        record,
        title=HOSTILE,
        client=HOSTILE,
        styles=(HOSTILE,),
        placement=model.Placement(region="calf", note=HOSTILE),
        sitting=(model.Sitting(date=dt.date(2026, 3, 1), note=HOSTILE),),
        needle=(model.Needle(code=HOSTILE, use=HOSTILE, batch=HOSTILE),),
        ink=(model.Ink(name=HOSTILE, use=HOSTILE),),
        reference=(model.Reference(source=HOSTILE, creator=HOSTILE, license=HOSTILE, note=HOSTILE),),
    )
    text = text_of(pdf_of(make_catalogue(tmp_path, make_piece(record=record)), tmp_path), pdftotext)
    solid = re.sub(r"\s|-", "", text)
    assert solid.count(re.sub(r"\s|-", "", HOSTILE)) >= 13


@pytest.mark.parametrize("words", ["Grüße", "Ωμέγα", "Сова", "สวัสดี", "梟 ふくろう", "부엉이"])
def test_words_of_other_scripts_appear(tmp_path, pdftotext, words):
    pdf = pdf_of(make_catalogue(tmp_path, words_only(notes=f"before {words} after")), tmp_path)
    assert f"before {words} after" in text_of(pdf, pdftotext)


def test_right_to_left_words_keep_their_letters(tmp_path, pdftotext):
    text = text_of(pdf_of(make_catalogue(tmp_path, words_only(notes="שלום עולם")), tmp_path), pdftotext)
    assert sorted("שלוםעולם") == sorted(letter for letter in text if "\u05d0" <= letter <= "\u05ea")


def test_what_could_not_be_printed_is_named(tmp_path, pdftotext):
    text = text_of(pdf_of(make_catalogue(tmp_path, words_only(notes="an owl: \U00013171")), tmp_path), pdftotext)
    assert "an owl: □" in text
    assert "U+13171" in text


def test_sheets_are_numbered(tmp_path, pdftotext):
    text = text_of(pdf_of(make_catalogue(tmp_path, long_piece()), tmp_path), pdftotext)
    assert all(f"sheet {number} of 2" in text for number in (1, 2))


# ---------------------------------------------------------------- two sheets, whatever was recorded


def pages_of(pdf, pdfinfo):
    said = subprocess.run([pdfinfo, pdf], capture_output=True, text=True, check=True).stdout
    return int(re.search(r"Pages:\s+(\d+)", said)[1])


def crowded_piece(count, **changes):
    """A piece with `count` of everything, each with words of its own."""
    long_words = "one sentence after the other about how it went, "
    record = make_record(
        title="Wild garden over the whole of an arm",
        needle=tuple(model.Needle(code="1003RL", use=long_words, batch=f"N-{n:04}") for n in range(count)),
        ink=tuple(model.Ink(batch=f"CC-{n:04}", name="leaf green", use=long_words) for n in range(count)),
        sitting=tuple(model.Sitting(date=dt.date(2026, 1, 1), note=long_words * 9) for _ in range(count)),
        reference=tuple(model.Reference(file="references/owl-field.jpg", note=long_words * 9) for _ in range(count)),
        healing=tuple(model.Healing(date=dt.date(2026, 4, 20), note=long_words * 2) for _ in range(count)),
    )
    record = msgspec.structs.replace(record, **changes)
    return make_piece(record=record, notes=f"# Notes\n\n> {long_words * count}\n\n- {long_words * count * 9}")


@pytest.mark.parametrize("paper", ["A4", "200 x 260 mm"])
@pytest.mark.parametrize("count", [3, 8, 30])
def test_two_sheets_hold_any_record_and_every_batch(tmp_path, pdfinfo, pdftotext, paper, count):
    pdf = pdf_of(on_paper(make_catalogue(tmp_path, crowded_piece(count)), paper), tmp_path)
    text = text_of(pdf, pdftotext)
    assert pages_of(pdf, pdfinfo) == 2
    assert set(re.findall(r"N-\d{4}|CC-\d{4}", text)) == {f"{k}-{n:04}" for k in ("N", "CC") for n in range(count)}
    assert "Batch not in the ink register" in text
    assert all(words in text for words in ("Client told of ink batches on", "Signed", *CAUTIONS))


def test_what_has_no_room_is_counted_and_the_page_of_the_piece_named(tmp_path, pdftotext):
    text = text_of(pdf_of(make_catalogue(tmp_path, crowded_piece(30)), tmp_path), pdftotext)
    shown = text.count("1 Jan 2026")
    assert 0 < shown < 30
    assert f"and {30 - shown} more: see the piece’s page" in text
    assert re.search(r"and \d+ more words: see the piece’s page", text)


def test_what_there_is_room_for_is_whole(tmp_path, pdftotext):
    text = text_of(pdf_of(make_catalogue(tmp_path), tmp_path), pdftotext)
    assert "see the piece’s page" not in text
    assert "finer lines round the eye" in text
    assert "Needle, used for" in text


def test_not_even_a_hundred_of_everything_need_a_third_sheet(tmp_path, pdfinfo, pdftotext):
    many = crowded_piece(100, title="many titles " * 99, client="C" * 3000)
    pdf = pdf_of(make_catalogue(tmp_path, many), tmp_path)
    assert pages_of(pdf, pdfinfo) == 2
    text = text_of(pdf, pdftotext)
    assert "C…" in text
    assert text.count("many titles") < 20
    assert "100 in all: see the piece’s page" in text


def test_needles_and_inks_stay_on_the_sheet_for_the_chair_where_they_fit_in_lines(tmp_path, pdftotext):
    record = make_record(
        needle=tuple(model.Needle(code="1003RL", use="outline", batch=f"N-{n}") for n in range(8)),
        ink=tuple(model.Ink(batch=f"CC-{n}", name="leaf green", use="leaves") for n in range(9)),
    )
    pdf = pdf_of(make_catalogue(tmp_path, make_piece(record=record)), tmp_path)
    first = text_of(pdf, pdftotext).partition("sheet 1 of 2")[0]
    assert set(re.findall(r"N-\d|CC-\d", first)) == {*(f"N-{n}" for n in range(8)), *(f"CC-{n}" for n in range(9))}
    assert "Batch not in the ink register" in first


@pytest.mark.parametrize(("counts", "shown"), [((16, 16), True), ((26, 200), False)])
def test_the_figure_goes_to_the_second_sheet_where_it_has_room(tmp_path, pdfinfo, pdftotext, counts, shown):
    needles, inks = counts
    record = make_record(
        needle=tuple(model.Needle(code="1003RL", batch=f"N-{n}") for n in range(needles)),
        ink=tuple(model.Ink(batch=f"CC-{n}", name="leaf green") for n in range(inks)),
        sitting=make_record().sitting * 30,
        stencil=(model.Stencil(file="stencils/owl-2.png", width=model.Length(120), applied=True),),
    )
    pdf = pdf_of(make_catalogue(tmp_path, make_piece(record=record)), tmp_path)
    assert pages_of(pdf, pdfinfo) == 2
    assert ("Where it is" in text_of(pdf, pdftotext)) is shown


def test_what_small_parts_leave_goes_to_the_large_ones(tmp_path, pdftotext):
    sittings = tuple(model.Sitting(date=dt.date(2026, 1, 1), note="went well") for _ in range(60))
    pdf = pdf_of(make_catalogue(tmp_path, make_piece(record=make_record(sitting=sittings))), tmp_path)
    assert text_of(pdf, pdftotext).count("went well") > 15


@pytest.mark.parametrize("mark", ["", "> ", "- ", "    "])
def test_notes_of_any_shape_are_cut_behind_a_word_and_the_rest_is_counted(tmp_path, pdftotext, mark):
    words = " ".join(f"w{n:04}" for n in range(1200))
    text = text_of(pdf_of(make_catalogue(tmp_path, words_only(notes=f"{mark}{words}")), tmp_path), pdftotext)
    shown = len(re.findall(r"w\d{4}", text))
    assert 300 < shown < 1200
    assert f"and {1200 - shown} more words: see the piece’s page" in text


def test_of_an_endless_follow_up_the_beginning_stands(tmp_path, pdftotext):
    looks = (model.Healing(date=dt.date(2026, 4, 20), note="eyes bright, " + "and so on " * 900),)
    pdf = pdf_of(make_catalogue(tmp_path, make_piece(record=make_record(healing=looks))), tmp_path)
    assert "eyes bright, and so on" in text_of(pdf, pdftotext)


def gauged_sheet(tmp_path, piece):
    """A sheet that also says how the stencil reads and lies on the limb."""
    surveyed = survey(make_catalogue(tmp_path, piece))
    (overview,) = surveyed.overviews.values()
    sheet = case_sheet(overview, overview.record, surveyed)
    picture = sheet.drawing.picture
    reading = SheetReading(picture, ("Thinnest line 0.21 mm.",), (("A", "0.21 mm wide"), ("1", "0.30 mm apart")))
    sheet = dataclasses.replace(sheet, reading=reading, limb=SheetLimb(picture, ("Wraps 77 degrees.",)))
    path = tmp_path / "gauged.pdf"
    path.write_bytes(Press(tmp_path / "blobs").make(sheet))
    return path


def test_on_the_second_sheet_nothing_but_names_of_columns_is_smaller_than_10_pt(tmp_path):
    # Adobe's point is 1/72 inch; sizes as PDFium reads them.
    with pypdfium2.PdfDocument(gauged_sheet(tmp_path, make_piece())) as document:
        page = document[1].get_textpage()
        sizes = [pypdfium2.raw.FPDFText_GetFontSize(page.raw, n) for n in range(page.count_chars())]
        small = "".join(page.get_text_range(n, 1) if size < 9.9 else "\n" for n, size in enumerate(sizes))
    names = {
        "Barn owl Case sheet",
        "Date Kind Time Note",
        "Drawing Version From Width File Note",
        "Picture File From Right As reference Show it Show tattoo",
        "Checked against the folder on Client told of ink batches on Signed",
        "Private 2026-03-14-barn-owl, sheet 2 of 2",
        *("A", "1"),
    }
    assert {line.strip() for line in small.splitlines() if line.strip()} == names


def test_where_a_reading_has_no_room_for_its_picture_its_words_stay(tmp_path, pdftotext, pdfinfo):
    pdf = gauged_sheet(tmp_path, crowded_piece(30))
    assert pages_of(pdf, pdfinfo) == 2
    assert "Thinnest line 0.21 mm." in text_of(pdf, pdftotext)
    assert "0.30 mm apart" in text_of(gauged_sheet(tmp_path, make_piece()), pdftotext)


def test_a_piece_with_nothing_but_a_title_has_one_sheet(tmp_path, pdftotext):
    assert "sheet 1 of 1" in text_of(pdf_of(make_catalogue(tmp_path, poor_piece()), tmp_path), pdftotext)


def test_another_programs_reader_finds_the_id_in_the_code(tmp_path, pdftoppm):
    page = Image.fromarray(
        raster(pdf_of(make_catalogue(tmp_path, words_only()), tmp_path), pdftoppm, width_mm=210)
    ).reduce(2)
    assert [code.text for code in zxingcpp.read_barcodes(page)] == ["2026-03-14-barn-owl"]
