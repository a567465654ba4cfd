"""The search of a folder: each kind of value is found in every manner in which a text gets out, and nothing else is."""

import random

import pytest

from archgen.findings import Severity
from archgen.leaks.find import find_leaks
from archgen.leaks.findings import leak_findings
from archgen.leaks.folder import LARGEST_FILE
from archgen.leaks.leak import Leak, LeakKind
from archgen.leaks.reading.pictures import BEHIND, OWNER, POSITION, THUMBNAIL
from archgen.leaks.values.exact import PrivateValue
from archgen.leaks.values.spellings import Way
from tests.leak_manners import MANNERS, picture, zipped

TEXTS = (
    "Annika Söderqvist", "hepatitis c", "see scar", "kiki7", "GW2-2231", "12024090", "2026-03-14-barn-owl",
    "annika.s@example.org", 'Skin "slow" to take & rested <ten> minutes', "Анна Смирнова", "山田太郎", "diabetic",
)  # fmt: skip
VALUES = tuple(PrivateValue("text", text) for text in TEXTS)
NAME = PrivateValue("client's name", "Anna Söderqvist")
NUMBER = PrivateValue("client's contact", "46701234567", way=Way.NUMBER)
STEM = PrivateValue("file name of a photo", "owl-field", way=Way.NAME)


@pytest.mark.parametrize("manner", MANNERS)
def test_a_text_is_found_however_it_gets_out(tmp_path, manner):
    planted = {}
    for number, text in enumerate(TEXTS):
        folder = tmp_path / str(number)
        folder.mkdir()
        try:
            MANNERS[manner](folder, 0, text)
        except UnicodeEncodeError:  # this manner cannot hold the script
            continue
        planted[folder.name] = text
    found = {}
    for leak in find_leaks(tmp_path, VALUES):
        if leak.kind is LeakKind.TEXT:
            found.setdefault(leak.file.split("/")[0], set()).add(leak.value)
    assert found == {folder: {text} for folder, text in planted.items()}


def found_in(tmp_path, content, *values, name="index.html"):
    path = tmp_path / "site" / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content.encode() if isinstance(content, str) else content)
    return {leak.value for leak in find_leaks(tmp_path / "site", values or (*VALUES, NAME)) if leak.value}


CODE = PrivateValue("client code", "C-3", way=Way.CODE)


@pytest.mark.parametrize(
    "page",
    [
        "<p>healed, C-3.</p>", "<p>healed (c-3)</p>", "<p>of C 3</p>", "<p>of C3, again</p>", "<p>of C&#45;3</p>",
        "<p>of C-<b>3</b></p>", '<img alt="C-3">', '<meta name="description" content="For C-3">',
        '<script type="application/ld+json">{"caption":"C\\u002d3"}</script>',
    ],
)  # fmt: skip
def test_a_short_code_is_found_where_it_stands_by_itself_in_what_people_read(tmp_path, page):
    assert found_in(tmp_path, page, CODE) == {"C-3"}


def test_a_short_code_is_found_in_the_words_of_a_picture_and_in_the_name_of_a_file(tmp_path):
    assert found_in(tmp_path, picture("JPEG", comment=b"for C-3"), CODE, name="a.jpg") == {"C-3"}
    assert found_in(tmp_path, picture("PNG"), CODE, name="img/moth-C-3-800.png") == {"C-3"}


@pytest.mark.parametrize(
    "page",
    [
        "<style>.c-3{color:#c3c3c3}a.c3{color:#c3c}</style>", '<a href="?q=%C3%A4">x</a>', '<i class="c3">x</i>',
        '<img src="data:image/png;base64,AA/C3+C3=">', "<p>EC-3 C-34 C-3-1 c3</p>", '<a href="img/c3.html#C3">x</a>',
    ],
)  # fmt: skip
def test_a_short_code_is_not_found_in_what_pages_are_made_of(tmp_path, page):
    assert found_in(tmp_path, page, CODE) == set()


def test_a_short_code_is_not_found_in_bytes(tmp_path):
    noise = random.Random(3).randbytes(400_000)
    assert found_in(tmp_path, noise + b" C-3 " + noise, CODE, name="a.bin") == set()


@pytest.mark.parametrize(
    "text",
    [
        "Annabel Söderqvistsson", "Anna and Söderqvist", "2026-03-14-barn-owls", "GW2 2232", "the skin was slow",
        "they sees car", "hepatitis", "kiki77", "2024090", "120 240 90", "xGW2-2231", "annika s at work",
    ],
)  # fmt: skip
def test_what_is_only_similar_is_no_leak(tmp_path, text):
    assert found_in(tmp_path, f"<p>{text}</p>") == set()


@pytest.mark.parametrize(
    "text", ["gw22231", "GW2 2231", "gw2_2231.jpg", "GW-2-2231", "hepatitis-c", "hepatitisC", "k i k i 7"]
)
def test_what_stands_between_the_words_does_not_count(tmp_path, text):
    assert len(found_in(tmp_path, f"<p>{text}</p>")) == 1


@pytest.mark.parametrize(
    "text",
    ["+46 70 123 45 67", "070-123 45 67", "0046701234567", "46.70.123.4567", "+46 (0)70 1234567"],
)
def test_a_telephone_number_is_found_in_any_spelling(tmp_path, text):
    assert found_in(tmp_path, f"<p>call {text} or 2026</p>", NUMBER) == {NUMBER.value}


@pytest.mark.parametrize("text", ["070-123 45 68", "1234567", "970123456712", "70 123", "0 7 0 1"])
def test_another_telephone_number_is_none(tmp_path, text):
    assert found_in(tmp_path, f"<p>{text}</p>", NUMBER) == set()


@pytest.mark.parametrize(
    "name",
    [
        "owl-field.webp", "owl_field-800.jpg", "Owl Field (1).png", "owl-field@2x.png", "owl-field-800x600.jpg",
        "img/owl-field/a.txt", "copy-of-owl-field.jpg", "OWL-FIELD-scaled.HEIC", "thumb_owl-field.jpg",
    ],
)  # fmt: skip
def test_the_name_of_a_file_is_found_under_any_suffix_and_size(tmp_path, name):
    assert found_in(tmp_path, "x", STEM, name=name) == {STEM.value}


@pytest.mark.parametrize("text", ["from owl-field.", '{"src": "owl-field"}', "Owl-Field", "img/owl-field"])
def test_a_name_written_together_is_found_without_an_ending(tmp_path, text):
    assert found_in(tmp_path, text, STEM) == {STEM.value}


@pytest.mark.parametrize("text", ["owl-fields", "owl-field-guide", "barn-owl-field", "owl field", "owl-field.guide"])
def test_a_name_that_is_part_of_another_word_is_none(tmp_path, text):
    assert found_in(tmp_path, f"<p>the {text} was</p>", STEM) == set()


@pytest.mark.parametrize("text", ["Aase Bjornvik-Odegard", "AASE BJØRNVIK ØDEGÅRD", "aase bjornvik odegard"])
def test_letters_that_a_keyboard_lacks_are_found_as_plain_ones(tmp_path, text):
    name = PrivateValue("client's name", "Aase Bjørnvik-Ødegård")
    assert found_in(tmp_path, f"<p>for {text} today</p>", name) == {name.value}


@pytest.mark.parametrize("text", ['<img src="../img/owl-field-800.webp">', "see owl_field.png", "url(owl%20field.jpg)"])
def test_the_name_of_a_file_is_found_in_a_page(tmp_path, text):
    assert found_in(tmp_path, text, STEM) == {STEM.value}


LINES = PrivateValue("file name of a photo", "Lines.JPG", way=Way.FULL_NAME)
PLACE = PrivateValue("file name of a photo", "photos/lines.jpg", way=Way.FULL_NAME)


@pytest.mark.parametrize(
    "text",
    [
        '<img src="lines.jpg">', "url(../img/lines.jpg)", '{"src": "C:\\\\old\\\\lines.jpg"}', "see LINES.jpg.",
        "photos%2Flines.jpg", '<a href="/a/lines.jpg?v=2">', "photos/lines.jpg",
    ],
)  # fmt: skip
def test_a_name_of_everyday_words_is_found_in_full(tmp_path, text):
    assert found_in(tmp_path, text, LINES) == {LINES.value}


def test_a_name_of_everyday_words_is_found_as_the_name_of_a_file_and_in_a_zip(tmp_path):
    assert found_in(tmp_path, "x", LINES, name="a/lines.jpg.txt") == {LINES.value}
    assert found_in(tmp_path, zipped({"b/lines.jpg": "x"}), LINES, name="a.zip") == {LINES.value}
    assert found_in(tmp_path, zipped({"photos/lines.jpg": "x"}), PLACE, name="b.zip") == {PLACE.value}


@pytest.mark.parametrize(
    "text",
    [
        "lines",
        "the lines. jpg",
        "lines.png",
        "fine-lines.jpg",
        "lines.jpg2",
        "lines-2.jpg",
        "lines.jpeg",
        "inlines.jpg",
    ],
)
def test_without_its_ending_or_with_another_it_is_another_name(tmp_path, text):
    assert found_in(tmp_path, f"<p>{text}</p>", LINES) == set()
    assert found_in(tmp_path, f"<p>{text.replace('lines', 'photos/lines')}</p>", PLACE) == set()


@pytest.mark.parametrize("text", ["the owl field", "barn-owl-field.jpg", "owl-fields.jpg"])
def test_another_name_is_none(tmp_path, text):
    assert found_in(tmp_path, text, STEM) == set()


def test_pixels_are_searched_for_long_values_only(tmp_path):
    content = picture("WEBP", quality=90)
    at = content.index(b"VP8 ") + 200
    short, long = b" C-0042 ", b" Annika Soderqvist "
    values = (PrivateValue("code", "C-0042"), PrivateValue("name", "Annika Söderqvist"))
    hidden = content[:at] + short + long + content[at + len(short + long) :]
    assert found_in(tmp_path, hidden, *values, name="a.webp") == {"Annika Söderqvist"}


def test_the_longer_the_bytes_the_more_a_value_must_have(tmp_path):
    noise, values = random.Random(5).randbytes(400_000), [PrivateValue("code", f"C-{n:04}") for n in range(2000)]
    assert found_in(tmp_path, noise[:99] + b" C-0042 ", *values, name="a.bin") == {"C-0042"}
    assert found_in(tmp_path, noise + b" C-0042 " + noise, *values, name="a.bin") == set()


def test_chance_finds_nothing_in_random_bytes(tmp_path):
    values = [PrivateValue("code", f"C-{number:04}") for number in range(2000)]
    values += [PrivateValue("word", "".join(random.Random(n).choices("abdeiklmnorst", k=4))) for n in range(2000)]
    assert found_in(tmp_path, random.Random(1).randbytes(2_000_000), *values, name="a.bin") == set()


def test_a_zip_is_searched_like_a_folder(tmp_path):
    place = tmp_path / "site.zip"
    place.write_bytes(zipped({"a/b.html": "<p>see scar</p>", "c.txt": "quiet"}, comment="kiki7"))
    assert [(leak.file, leak.value) for leak in find_leaks(place, VALUES)] == [
        ("site.zip", "kiki7"), ("a/b.html", "see scar")
    ]  # fmt: skip


def test_a_single_file_is_searched(tmp_path):
    place = tmp_path / "a.txt"
    place.write_text("see scar")
    assert [leak.file for leak in find_leaks(place, VALUES)] == ["a.txt"]


def test_a_word_of_a_certain_find_is_no_question_of_its_own(tmp_path):
    part = PrivateValue("part of a client's name", "Söderqvist", sure=False)
    assert found_in(tmp_path, "Anna Söderqvist", NAME, part) == {NAME.value}
    assert found_in(tmp_path, "Söderqvist's shop", NAME, part) == {part.value}


def test_what_is_no_file_or_too_large_is_said(tmp_path):
    (tmp_path / "nowhere").symlink_to("gone.jpg")
    with (tmp_path / "large.bin").open("wb") as stream:
        stream.truncate(LARGEST_FILE + 1)
    assert [(leak.file, leak.kind) for leak in find_leaks(tmp_path, VALUES)] == [("large.bin", LeakKind.UNREAD)]


def test_what_is_certain_is_an_error_and_what_may_be_chance_a_question_asked_once():
    sure = Leak("a.html", "client's name", "Anna S", "owl")
    asked = [Leak(file, "part of a client's name", "Anna", None, sure=False) for file in ("a.html", "b.html")]
    words = Leak("a.html", "use of a needle", "scales", None, sure=False)
    found = leak_findings([sure, *asked, words])
    assert [(f.code, f.severity, f.place.file, f.piece) for f in found] == [
        ("privacy.leak", Severity.ERROR, "portfolio/a.html", "owl"),
        ("privacy.name", Severity.WARNING, "portfolio/a.html", None),
        ("privacy.word", Severity.WARNING, "portfolio/a.html", None),
    ]
    assert "2 files" in found[1].problem


def test_traces_are_mistakes_in_a_folder_of_ours_and_elsewhere_only_told():
    traces = [Leak("a.jpg", what, None, None, kind=LeakKind.TRACE) for what in ("a position (GPS)", "a title")]
    assert [finding.severity for finding in leak_findings(traces)] == [Severity.ERROR] * 2
    assert [finding.severity for finding in leak_findings(traces, is_ours=False)] == [Severity.NOTE]


def test_what_cannot_be_looked_into_is_an_error_and_a_kind_that_cannot_be_compared_a_question():
    leaks = [Leak("a.pdf", "damaged", None, None, sure, LeakKind.UNREAD) for sure in (True, False)]
    assert [(f.code, f.severity) for f in leak_findings(leaks)] == [
        ("privacy.unread", Severity.ERROR), ("privacy.unread", Severity.WARNING)
    ]  # fmt: skip


def test_a_picture_that_may_be_another_is_asked_about_once():
    leaks = [
        Leak(file, "photo", path, "owl", sure, LeakKind.PICTURE)
        for file, path, sure in (
            ("a.jpg", "p/1", True),
            ("b.jpg", "p/2", False),
            ("c.jpg", "p/2", False),
            ("c.jpg", "p/3", False),
        )
    ]
    found = leak_findings(leaks, "site")
    assert [(f.code, f.severity, f.place.file, f.piece) for f in found] == [
        ("privacy.picture", Severity.ERROR, "site/a.jpg", "owl"),
        ("privacy.picture", Severity.WARNING, "site/b.jpg", "owl"),
        ("privacy.picture", Severity.WARNING, "site/c.jpg", "owl"),
    ]
    assert ["photo p/" in f.problem for f in found] == [True] * 3
    assert ["in 2 files" in f.problem for f in found] == [False, True, False]


def test_each_picture_that_cannot_be_compared_is_a_question_of_its_own():
    leaks = [Leak(file, "it is new", None, None, sure=False, kind=LeakKind.UNREAD) for file in ("a.tif", "b.tif")]
    assert [f.place.file for f in leak_findings(leaks)] == ["portfolio/a.tif", "portfolio/b.tif"]


@pytest.mark.parametrize(
    ("what", "is_told"), [(POSITION, True), (THUMBNAIL, True), (BEHIND, True), (OWNER, True), ("a title", False)]
)
def test_elsewhere_only_a_trace_of_people_and_places_is_told(what, is_told):
    trace = Leak("a.jpg", what, None, "owl", kind=LeakKind.TRACE)
    ours, elsewhere = leak_findings([trace]), leak_findings([trace], is_ours=False)
    assert (ours[0].piece, "public file" in ours[0].problem, "Build again" in ours[0].remedy) == ("owl", True, True)
    if is_told:
        assert ("public" in elsewhere[0].problem, "Build again" in elsewhere[0].remedy) == (False, False)
    assert len(elsewhere) == is_told
    text = Leak("a.html", "note", "quiet", None)
    assert [f.code for f in leak_findings([text], is_ours=False)] == ["privacy.leak"]


@pytest.mark.parametrize(
    ("what", "words"), [("address", "An address"), ("use of a needle", "A use of a needle"), ("name", "A name")]
)
@pytest.mark.parametrize("sure", [True, False])
def test_a_finding_names_what_it_is_with_its_article(what, words, sure):
    (found,) = leak_findings([Leak("a.html", what, "quiet", None, sure=sure)])
    assert found.problem.startswith(f"{words} ")


@pytest.mark.parametrize(("length", "words"), [(200, "a" * 200), (201, "a" * 200 + "…")])
def test_of_a_long_text_the_beginning_is_shown(length, words):
    (found,) = leak_findings([Leak("a.html", "note", "a" * length, None)])
    assert f'"{words}"' in found.problem


def test_a_path_is_read_as_a_name_and_not_as_a_text(tmp_path):
    price = PrivateValue("price", "120", way=Way.PRICE)
    assert found_in(tmp_path, "owl 120 EUR", price, name="a.txt") == {"120"}
    (tmp_path / "site/a.txt").unlink()
    assert found_in(tmp_path, "quiet", price, STEM, name="owl field/owl 120 EUR.txt") == {STEM.value}
