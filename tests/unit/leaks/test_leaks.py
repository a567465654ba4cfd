"""The search for private values in a finished public folder: planted leaks of each kind are found."""

import base64
import gzip
import io
import struct
import zipfile

import msgspec
import pikepdf
import pytest
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from archgen.findings import Severity
from archgen.leaks.private_values import PrivateValue, private_values
from archgen.leaks.search import Leak, find_leaks, leak_findings
from archgen.records import model
from tests.builders import make_piece, make_record, paper_catalogue, paper_facts

NAME = PrivateValue("client's name", "Anna Söderqvist")
CODE = PrivateValue("client code", "C-0042")
LOT = PrivateValue("batch number", "GW2-2231")
NOTE = PrivateValue("private note", 'Skin "slow" to take & rested <ten> minutes')
VALUES = (NAME, CODE, LOT, NOTE)


def leaks_in(tmp_path, name, content):
    path = tmp_path / "portfolio" / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content.encode() if isinstance(content, str) else content)
    return find_leaks(tmp_path / "portfolio", VALUES)


def picture_bytes(form, **options):
    stream = io.BytesIO()
    Image.new("RGB", (40, 30), (120, 90, 80)).save(stream, form, **options)
    return stream.getvalue()


@pytest.mark.parametrize(
    "text",
    [
        "<p>Anna Söderqvist</p>",
        "<p>ANNA  SODERQVIST</p>",
        "<p>Anna <b>Söder</b>qvist</p>",
        "<p>Anna&nbsp;S&ouml;derqvist</p>",
        "<p>&#65;nna S&#xf6;derqvist</p>",
        "<p>Anna S&amp;ouml;derqvist</p>",
        '<a href="anna-s%C3%B6derqvist.html">x</a>',
        '<a href="?n=Anna+S%C3%B6derqvist">x</a>',
        '<script type="application/ld+json">{"n":"Anna S\\u00f6derqvist"}</script>',
        "<!-- anna söderqvist -->",
        "<p>Anna\u00adS\u00f6derqvist</p>".replace("\u00ad", " \u200b"),
        "<p>Anna So\u0308derqvist</p>",
    ],
)
def test_a_name_is_found_however_it_is_written(tmp_path, text):
    assert leaks_in(tmp_path, "index.html", text) == [Leak("index.html", NAME.what, NAME.value, None)]


@pytest.mark.parametrize(
    "text",
    [
        'Skin "slow" to take & rested <ten> minutes',
        "Skin &quot;slow&quot; to take &amp; rested &lt;ten&gt; minutes",
        r"Skin \"slow\" to take \u0026 rested \u003cten\u003e minutes",
    ],
)
def test_a_sentence_of_a_note_is_found_in_every_escape(tmp_path, text):
    assert [leak.what for leak in leaks_in(tmp_path, "feed.xml", text)] == ["private note"]


@pytest.mark.parametrize("name", ["style.css", "data.json", "app.js", "icon.svg", "robots.txt", "unknown.bin", "none"])
def test_every_kind_of_file_is_read(tmp_path, name):
    assert [leak.what for leak in leaks_in(tmp_path, name, "x GW2-2231 y")] == ["batch number"]


def test_file_names_are_read(tmp_path):
    assert [leak.what for leak in leaks_in(tmp_path, "img/gw2_2231-1.txt", "x")] == ["batch number"]


def test_a_picture_inside_a_page_is_opened(tmp_path):
    picture = base64.b64encode(picture_bytes("JPEG", comment=b"client C-0042 here")).decode()
    found = leaks_in(tmp_path, "index.html", f'<img src="data:image/jpeg;base64,{picture}">')
    assert "client code" in {leak.what for leak in found}


def exif_with(**fields):
    exif = Image.Exif()
    for tag, value in fields.items():
        exif[int(tag[1:])] = value
    return exif


@pytest.mark.parametrize("form", ["JPEG", "WEBP", "PNG", "TIFF"])
def test_a_value_in_picture_metadata_is_found(tmp_path, form):
    content = picture_bytes(
        form, exif=exif_with(t315="Batch GW2-2231").tobytes() if form != "TIFF" else exif_with(t315="Batch GW2-2231")
    )
    assert "batch number" in {leak.what for leak in leaks_in(tmp_path, "a.bin", content)}


def test_two_byte_text_in_picture_metadata_is_found(tmp_path):
    exif = exif_with(t40092="for Anna Söderqvist".encode("utf-16-le"))  # XPComment
    found = leaks_in(tmp_path, "a.jpg", picture_bytes("JPEG", exif=exif.tobytes()))
    assert "a comment" in {leak.what for leak in found}


def test_a_position_in_a_picture_is_a_trace(tmp_path):
    exif = Image.Exif()
    exif.get_ifd(0x8825).update({1: "N", 2: (55.0, 36.0, 12.0), 3: "E", 4: (13.0, 0.0, 1.0)})
    found = leaks_in(tmp_path, "a.jpg", picture_bytes("JPEG", exif=exif.tobytes()))
    assert Leak("a.jpg", "a position (GPS)", None, None) in found


def test_a_camera_serial_number_in_a_picture_is_a_trace(tmp_path):
    exif = Image.Exif()
    exif.get_ifd(0x8769)[0xA431] = "SN-99171"
    found = leaks_in(tmp_path, "a.jpg", picture_bytes("JPEG", exif=exif.tobytes()))
    assert any("serial number" in leak.what for leak in found)


def test_a_comment_in_a_picture_is_a_trace(tmp_path):
    found = leaks_in(tmp_path, "a.jpg", picture_bytes("JPEG", comment=b"hello"))
    assert [leak.value for leak in found] == [None]


def test_text_in_a_png_is_a_trace_and_read(tmp_path):
    info = PngInfo()
    info.add_itxt("Comment", "for Anna Söderqvist", zip=True)
    found = leaks_in(tmp_path, "a.png", picture_bytes("PNG", pnginfo=info))
    assert {leak.what for leak in found} == {'the text "Comment" inside the picture', "client's name"}


@pytest.mark.parametrize("form", ["JPEG", "WEBP", "PNG"])
def test_data_behind_the_end_of_a_picture_is_a_trace(tmp_path, form):
    found = leaks_in(tmp_path, "a.bin", picture_bytes(form) + b"hidden film")
    assert [leak.what for leak in found] == ["data behind the end of the picture"]


def test_an_unknown_xmp_field_is_a_trace(tmp_path):
    xmp = b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">'
    xmp += b'<rdf:Description rdf:about="" xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmp:CreateDate="2026-03-14"/>'
    found = leaks_in(tmp_path, "a.webp", picture_bytes("WEBP", xmp=xmp + b"</rdf:RDF></x:xmpmeta>"))
    assert [leak.what for leak in found] == ["XMP field xmp:CreateDate"]


@pytest.mark.parametrize("form", ["JPEG", "WEBP", "PNG", "GIF"])
def test_a_plain_picture_is_clean(tmp_path, form):
    assert leaks_in(tmp_path, "a.bin", picture_bytes(form)) == []


def pdf_bytes(title=None, text=None):
    pdf = pikepdf.new()
    page = pdf.add_blank_page(page_size=(200, 100))
    if text:
        font = pikepdf.Dictionary(Type=pikepdf.Name.Font, Subtype=pikepdf.Name.Type1, BaseFont=pikepdf.Name.Helvetica)
        page.obj.Resources = pikepdf.Dictionary(Font=pikepdf.Dictionary(F1=pdf.make_indirect(font)))
        page.obj.Contents = pdf.make_stream(f"BT /F1 12 Tf 10 50 Td [({text[:3]}) -10 ({text[3:]})] TJ ET".encode())
    if title:
        pdf.docinfo["/Title"] = title
    stream = io.BytesIO()
    pdf.save(stream, compress_streams=True, object_stream_mode=pikepdf.ObjectStreamMode.generate)
    return stream.getvalue()


def test_the_properties_of_a_document_are_read(tmp_path):
    assert "client's name" in {leak.what for leak in leaks_in(tmp_path, "a.pdf", pdf_bytes(title="Anna Söderqvist"))}


def test_the_pages_of_a_document_are_read(tmp_path):
    found = leaks_in(tmp_path, "a.pdf", pdf_bytes(text="Batch GW2-2231"))
    assert "batch number" in {leak.what for leak in found}


def zipped(name, content, when=(1980, 1, 1, 0, 0, 0)):
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(zipfile.ZipInfo(name, when), content)
    return stream.getvalue()


def test_an_archive_is_opened(tmp_path):
    assert [leak.what for leak in leaks_in(tmp_path, "a.zip", zipped("a.txt", "GW2-2231" * 1))] == ["batch number"]


def test_a_time_stamp_in_an_archive_is_a_trace(tmp_path):
    found = leaks_in(tmp_path, "a.zip", zipped("a.txt", "nothing", (2026, 3, 14, 10, 0, 0)))
    assert [leak.what for leak in found] == ["the time stamp of a.txt in an archive"]


def test_a_packed_file_is_opened(tmp_path):
    content = gzip.compress(b"<p>Anna S&ouml;derqvist</p>", mtime=0)
    assert [leak.what for leak in leaks_in(tmp_path, "a.gz", content)] == ["client's name"]


def test_files_inside_files_are_not_opened_without_end(tmp_path):
    content = b"x"
    for _ in range(8):
        content = gzip.compress(content, mtime=0)
    assert any("too deeply" in leak.what for leak in leaks_in(tmp_path, "a.gz", content))


@pytest.mark.parametrize(
    "text",
    ["Annabel Söderqvistsson", "Anna and Söderqvist", "C-00421", "C 42", "GW2 2232", "the skin was slow to take"],
)
def test_what_is_only_similar_is_no_leak(tmp_path, text):
    assert leaks_in(tmp_path, "index.html", text) == []


def test_broken_files_are_searched_as_they_are(tmp_path):
    broken = picture_bytes("PNG")[:30] + b" GW2-2231 " + struct.pack(">I", 99)
    assert "batch number" in {leak.what for leak in leaks_in(tmp_path, "a.png", broken)}


def values_of(tmp_path, **changes):
    return {(value.what, value.value) for value in private_values(paper_catalogue(tmp_path, **changes))}


@pytest.mark.parametrize("code", ["C1", "42", "1234", "A-1"])
def test_codes_too_short_to_look_for_are_left_out(tmp_path, code):
    clients = {code: model.Client(code=code)}
    assert ("client code", code) not in values_of(tmp_path, clients=clients)


@pytest.mark.parametrize(("serial", "is_sought"), [("8023 771", True), ("0000000", False), ("none", False)])
def test_the_number_of_a_camera_is_looked_for_unless_it_says_nothing(tmp_path, serial, is_sought):
    facts = {"p": msgspec.structs.replace(paper_facts("p"), serials=(serial,))}
    assert (("serial number of a camera or lens", serial) in values_of(tmp_path, facts=facts)) is is_sought


def test_a_first_name_that_is_a_word_of_the_portfolio_is_left_out(tmp_path):
    clients = {"C-0042": model.Client(code="C-0042", name="Peony Marlowe")}
    piece = make_piece(record=make_record(title="Peony"))
    catalogue = paper_catalogue(tmp_path, piece, clients=clients)
    parts = [value.value for value in private_values(catalogue) if value.what == "part of a client's name"]
    assert parts == ["Marlowe"]


def test_a_name_by_itself_is_a_question_and_a_whole_name_an_error():
    leaks = [Leak("a.html", "client's name", "Anna S", None), Leak("a.html", "part", "Anna", None, sure=False)]
    assert [finding.severity for finding in leak_findings(leaks)] == [Severity.ERROR, Severity.WARNING]


def test_a_leak_names_the_file_and_the_piece():
    (finding,) = leak_findings([Leak("pieces/a.html", "needle lot", "N-88213", "2026-03-14-barn-owl")])
    assert finding.code == "privacy.leak"
    assert finding.place.file == "portfolio/pieces/a.html"
    assert finding.piece == "2026-03-14-barn-owl"
