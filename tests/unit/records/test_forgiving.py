"""Words about release and rights that are not understood cost nothing but themselves; papers are looked at."""

import datetime as dt

import pytest

from archgen.findings import Severity
from archgen.records.model import Likeness, ReleaseStatus, Stage, Use
from archgen.records.reader import read_archive
from archgen.records.vocabulary.licences import PLAIN_WORDS
from archgen.records.vocabulary.release_uses import RELEASE_USES, is_limit, known_use, nearest_use
from archgen.toml.problem import listed

REST = """
client = "C-1"
[[sitting]]
date = 2026-03-14
hours = 3.5
[[stencil]]
file = "stencils/owl.png"
width = "62 mm"
"""


@pytest.fixture
def read(tmp_path):
    """Read a piece whose record begins so and goes on with all the rest."""

    def read_one(text, head="", files=None):
        folder = tmp_path / "pieces" / "owl"
        for name, content in {"stencils/owl.png": b"x", "references/a.jpg": b"picture", **(files or {})}.items():
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            (folder / name).write_bytes(content)
        (folder / "piece.toml").write_text(f'title = "Owl"\n{head}\n{REST}\n{text}\n', encoding="utf-8")
        archive = read_archive(tmp_path)
        return archive.pieces[0], archive.findings

    return read_one


LONG = "x" * 100_000
BAD = [
    '"maybe"',
    '"\\u0007\\u001b[31m"',
    f'"{LONG}"',
    '"разрешено"',
    '"<b>granted</b>"',
    '"../../x"',
    "3",
    "[1]",
    "{a = 1}",
]
DECISIVE = [
    *((f"[release]\n{key} = %s", f"release.{key}") for key in ("status", "date", "withdrawn", "expires", "surprise")),
    *(
        (f'[[reference]]\nfile = "references/a.jpg"\n{key} = %s', f"reference.0.{key}")
        for key in ("likeness", "obtained", "expires", "used", "surprise")
    ),
    ('[rights_override]\nreason = "x"\ndate = %s', "rights_override.date"),
    ('[[photo]]\nfile = "photos/a.jpg"\npublish = %s', "photo.0.publish"),
    ('[[photo]]\nfile = "photos/a.jpg"\nstage = %s', "photo.0.stage"),
]


@pytest.mark.parametrize("value", BAD, ids=range(len(BAD)))
@pytest.mark.parametrize(("text", "key"), DECISIVE, ids=[key for _, key in DECISIVE])
def test_a_word_that_is_not_understood_is_kept_as_written_and_nothing_else_is_lost(read, text, key, value):
    piece, findings = read(text % value)
    record = piece.record
    assert (record.title, record.client, record.hours, record.stencil[0].width) == ("Owl", "C-1", 3.5, 62)
    (problem,) = (one for one in findings if one.severity is Severity.ERROR and one.key == key)
    assert len(problem.problem) + len(problem.remedy) < 600
    assert piece.written(key)


@pytest.mark.parametrize("value", ['"yes"', "3", "[true]"])
def test_a_wish_to_publish_that_is_not_understood_publishes_nothing(read, value):
    piece, findings = read("", head=f"publish = {value}")
    assert piece.record.publish is False
    assert "publish" in {one.key for one in findings}
    assert piece.written("publish")


@pytest.mark.parametrize(
    "text",
    [
        'release = "yes"',
        "release = 3",
        "reference = 3",
        '[[release]]\nstatus = "granted"',
        "[rights_override]\ndate = 3",
    ],
)
def test_a_table_that_is_not_understood_is_left_out(read, text):
    head, text = ("", text) if text.startswith("[") else (text, "")
    piece, findings = read(text, head=head)
    assert piece.record.client == "C-1"
    assert piece.record.release.status is ReleaseStatus.NOT_ASKED
    assert [one for one in findings if one.severity is Severity.ERROR]


def test_the_numbers_of_references_stay_when_one_is_not_understood(read):
    piece, _ = read("", head='reference = ["a.jpg", {file = "references/a.jpg", license = "CC0-1.0"}]')
    assert [reference.license for reference in piece.record.reference] == [None, "CC0-1.0"]


def test_what_was_misread_is_told_again_the_next_time(read):
    for _ in range(2):
        _, findings = read('[release]\nstatus = "maybe"')
        assert "release.status" in {one.key for one in findings}


def test_closed_words_are_read_whatever_their_capitals_and_hyphens(read):
    piece, findings = read(
        '[release]\nstatus = "Not asked"\nscope = "Website"\n'
        '[[reference]]\nfile = "references/a.jpg"\nlicense = "own-work"\nlikeness = "Public Figure"\n'
        'allows = "Show Tattoo"\nmade_from = "https://example.org/a"\n'
        '[[photo]]\nfile = "photos/a.jpg"\nstage = "In progress"',
        files={"photos/a.jpg": b"x"},
    )
    record = piece.record
    assert record.release.status is ReleaseStatus.NOT_ASKED
    assert record.release.scope == ("portfolio",)
    assert record.reference[0].likeness is Likeness.PUBLIC_FIGURE
    assert record.reference[0].allows == (Use.SHOW_TATTOO,)
    assert record.reference[0].made_from == ("https://example.org/a",)
    assert record.photo[0].stage is Stage.IN_PROGRESS
    assert not [one for one in findings if one.severity is Severity.ERROR]


def test_dates_of_a_release_are_read(read):
    piece, _ = read('[release]\nstatus = "granted"\nwithdrawn = 2026-09-02')
    assert piece.record.release.withdrawn == dt.date(2026, 9, 2)


def test_a_key_that_is_not_known_costs_only_itself(read):
    piece, findings = read("", head='artst = "x"')
    assert piece.record.client == "C-1"
    assert [(one.code, one.key, one.severity) for one in findings if one.key == "artst"] == [
        ("record.unknown-key", "artst", Severity.WARNING)
    ]


# ---------------------------------------------------------------- everything else

MORE = """
[[ink]]
batch = "GW2-2231"
[[photo]]
file = "photos/a.jpg"
[[photo]]
file = "photos/b.jpg"
"""


@pytest.mark.parametrize(
    ("head", "text", "key", "written"),
    [
        ("styles = {a = 4}", "", "styles", "a = 4"),
        ("", '[placement]\nside = "up"', "placement.side", '"up"'),
        ("", '[size]\nwidth = "big"', "size.width", '"big"'),
        ("", '[price]\ncharged = "ask"', "price.charged", '"ask"'),
        ("", '[[sitting]]\ndate = "soon"\nhours = 2', "sitting.1.date", '"soon"'),
        ("", '[[sitting]]\ndate = 2026-05-05\nkind = "chat"', "sitting.1.kind", '"chat"'),
        ("", '[[healing]]\ndate = 2026-05-05\ntouch_up = "perhaps"', "healing.0.touch_up", '"perhaps"'),
        ("", "[[photo]]\nstage = 'fresh'", "photo", 'stage = "fresh"'),
        ("artst = 'x'", "", "artst", '"x"'),
        ("artist = {name = 'x'}", "", "artist", 'name = "x"'),
    ],
)
def test_a_value_that_is_not_understood_costs_itself_and_is_asked_once(read, head, text, key, written):
    piece, findings = read(f"{text}\n{MORE}", head=head, files={"photos/a.jpg": b"x", "photos/b.jpg": b"x"})
    record = piece.record
    assert (record.client, record.sitting[0].hours, record.stencil[0].width) == ("C-1", 3.5, 62)
    assert (record.ink[0].batch, [photo.file for photo in record.photo]) == (
        "GW2-2231",
        ["photos/a.jpg", "photos/b.jpg"],
    )
    assert {one.key: one.text for one in piece.as_written} == {key: written}
    (asked,) = (one for one in findings if one.key == key)
    assert asked.place.line


def test_hours_of_a_sitting_whose_day_is_not_understood_still_count(read):
    piece, _ = read('[[sitting]]\ndate = "07/03/2026"\nhours = "2h"')
    assert piece.record.hours == 5.5
    assert piece.record.finished_on == dt.date(2026, 3, 14)


def test_an_entry_that_is_gone_leaves_the_lines_of_the_others_right(read):
    piece, findings = read('[[stencil]]\nversion = 2\n[[stencil]]\nfile = "stencils/none.png"\nversion = 3')
    assert [stencil.version for stencil in piece.record.stencil] == [None, 3]
    (missing,) = (one for one in findings if one.code == "record.missing-file")
    assert missing.place.line == piece.line("stencil.1.file") == 15


@pytest.mark.parametrize(
    ("head", "key", "value"),
    [
        ('needle = "3RL"', "needle", ["3RL"]),
        ('needle = ["3RL", "7RL"]', "needle", ["3RL", "7RL"]),
        ('size = "62 mm"', "size", 62),
    ],
)
def test_a_text_where_a_table_should_stand_is_its_main_key(read, head, key, value):
    piece, findings = read("", head=head)
    found = getattr(piece.record, key)
    assert (found.width if key == "size" else [needle.code for needle in found]) == value
    assert not [one for one in findings if one.code.startswith("record.") and one.severity is Severity.ERROR]


def test_a_key_of_another_table_is_a_slip_of_none(read):
    piece, _ = read("", head='side = "L"')
    assert piece.record.size.width is None
    assert piece.written("side") == '"L"'


def test_a_table_in_the_plural_is_that_table(read):
    piece, findings = read('[[inks]]\nname = "black"')
    assert piece.record.ink[0].name == "black"
    assert "is that ink?" in next(one.problem for one in findings if one.code == "record.unknown-key")


def test_a_slip_is_no_slip_where_the_right_key_stands_or_two_are_near(read):
    piece, findings = read("", head='titel = "Other"')
    assert piece.title == "Owl"
    assert [one.key for one in findings if one.code == "record.unknown-key"] == ["titel"]
    assert piece.written("titel") == '"Other"'


@pytest.mark.parametrize(
    "text",
    [
        '[relaese]\nstatus = "refused"',
        '[[refernce]]\nlicense = "InC"',
        '[[photo]]\nfile = "photos/a.jpg"\npubilsh = false',
    ],
)
def test_a_slip_near_what_decides_is_never_read_as_that(read, text):
    piece, findings = read(text, files={"photos/a.jpg": b"x"})
    assert piece.record.release.status is ReleaseStatus.NOT_ASKED
    assert piece.record.reference == ()
    assert [one.severity for one in findings if one.code == "record.unknown-key"] == [Severity.ERROR]


def test_a_record_in_an_older_encoding_is_read_and_asked_about(read, tmp_path):
    read("")
    record = tmp_path / "pieces" / "owl" / "piece.toml"
    record.write_bytes('title = "Größe"\n'.encode("cp1252"))
    archive = read_archive(tmp_path)
    assert archive.pieces[0].title == "Größe"
    assert [one.severity for one in archive.findings if one.code == "record.encoding"] == [Severity.ERROR]
    record.write_bytes('title = "Größe"\n'.encode("utf-16"))
    archive = read_archive(tmp_path)
    assert archive.pieces[0].title == "Größe"
    assert not [one for one in archive.findings if one.code == "record.encoding"]


# ---------------------------------------------------------------- papers

LETTER = '[[reference]]\nfile = "references/a.jpg"\npermission = "references/letter.pdf"'


@pytest.mark.parametrize(
    ("content", "codes"),
    [
        (b"%PDF-1.7 yes", []),
        (b"", ["rights.no-evidence"]),
        (b" \r\n\t\x00", ["rights.no-evidence"]),
        (b"picture", ["rights.no-evidence"]),  # the picture under another name
    ],
)
def test_a_letter_is_a_file_with_something_in_it_other_than_the_picture(read, content, codes):
    _, findings = read(LETTER, files={"references/letter.pdf": content})
    found = [one for one in findings if one.key == "reference.0.permission"]
    assert [one.code for one in found] == codes
    assert all(one.severity is Severity.ERROR for one in found)


def test_a_letter_that_leads_out_of_the_piece_is_not_opened(read, tmp_path):
    (tmp_path / "outside.pdf").write_bytes(b"")
    _, findings = read('[[reference]]\nfile = "references/a.jpg"\npermission = "../../outside.pdf"')
    assert [one.code for one in findings if one.key == "reference.0.permission"] == ["record.outside"]


@pytest.mark.parametrize(("content", "codes"), [(b"signed", []), (b"", ["release.empty-paper"])])
def test_a_signed_release_is_a_file_with_something_in_it(read, content, codes):
    _, findings = read('[release]\nfile = "release.pdf"', files={"release.pdf": content})
    assert [one.code for one in findings if one.key == "release.file"] == codes


def test_files_among_the_references_that_are_no_pictures_are_listed(read):
    piece, _ = read("", files={"references/scan.pdf": b"x", "references/where.txt": b"x"})
    assert piece.papers == ("pieces/owl/references/scan.pdf", "pieces/owl/references/where.txt")


# ---------------------------------------------------------------- uses of a release


@pytest.mark.parametrize(
    ("word", "use"),
    [
        ("Portfolio", "portfolio"),
        ("website", "portfolio"),
        ("Web-Site", "portfolio"),
        ("my_website", "portfolio"),
        ("Social media", "social"),
        ("Stories", "social"),
        ("Soziale Medien", "social"),
        ("web", None),
        ("flyers", "print"),
        ("contest", "competition"),
        ("online", None),
        ("internet", None),
        ("", None),
    ],
)
def test_studio_words_for_a_use(word, use):
    assert known_use(word) == use


@pytest.mark.parametrize("word", ["web", "Online", "the internet"])
def test_a_word_that_may_be_a_website_or_social_media_is_asked(read, word):
    _, findings = read(f'[release]\nstatus = "granted"\nscope = ["{word}"]')
    (asked,) = (one for one in findings if one.key == "release.scope.0")
    assert "your own website (portfolio), or social media (social)?" in asked.problem


def test_every_use_is_its_own_word():
    assert all(known_use(use) == use for use in RELEASE_USES)


@pytest.mark.parametrize(("word", "near"), [("portfollio", "portfolio"), ("webside", "portfolio"), ("zzz", None)])
def test_the_nearest_use(word, near):
    assert nearest_use(word) == near


@pytest.mark.parametrize(
    ("scope", "severity"), [("portfolio, not the face", Severity.ERROR), ("magazine", Severity.WARNING)]
)
def test_a_use_that_takes_something_back_must_be_understood(read, scope, severity):
    assert is_limit(scope) is (severity is Severity.ERROR)
    _, findings = read(f'[release]\nstatus = "granted"\nscope = ["portfolio", "{scope}"]')
    assert [one.severity for one in findings if one.key == "release.scope.1"] == [severity]


LICENCE_REMEDY = f"Write {listed(PLAIN_WORDS)}, an SPDX id such as CC-BY-4.0, or a rightsstatements.org id such as InC."


@pytest.mark.parametrize(
    ("text", "key", "question", "remedy"),
    [
        ('[release]\nstatus = "yes"', "release.status", "granted, refused, withdrawn or not-asked?",
         'Write status = "…", with the word that is meant.'),
        ('[release]\nstatus = "grantd"', "release.status", "granted, refused, withdrawn or not-asked?",
         'Write status = "granted", if that is it.'),
        ('[[reference]]\nallows = ["everything"]', "reference.0.allows.0", "tattoo, show-reference or show-tattoo?",
         'Write allows = ["…"], with the words that are meant.'),
        ('[[reference]]\nlicense = "mine, all mine"', "reference.0.license", "own work, written permission,",
         LICENCE_REMEDY),
        ('[[reference]]\ndigital_source = "photoshop"', "reference.0.digital_source", "what was done to the picture?",
         "Write humanEdits, digitalArt or another word of IPTC's list of digital source types."),
        ('[[reference]]\ndigital_source = "humanEdit"', "reference.0.digital_source", "is that human edits?",
         "Write humanEdits or another word of IPTC's list of digital source types."),
        ('[release]\nscope = ["portfolo"]', "release.scope.0", "which use is that?", "Write portfolio, if that is it."),
    ],
)  # fmt: skip
def test_a_word_about_publication_is_one_short_question_with_its_choices_once(read, text, key, question, remedy):
    _, findings = read(text)
    (asked,) = (one for one in findings if one.key.startswith(key.removesuffix(".0")) and "?" in one.problem)
    assert question in asked.problem
    assert len(asked.problem) < 160
    assert asked.remedy == remedy


def test_an_amount_in_doubt_is_used_and_asked_about_once_with_the_words_it_was_written_in(read):
    stencil = '[[stencil]]\nfile = "stencils/b.png"\nwidth = "~75 mm"\n'
    piece, findings = read(f'{stencil}[[sitting]]\nhours = "approx 4"', files={"stencils/b.png": b"x"})
    assert (piece.record.stencil[1].width, piece.record.sitting[1].hours) == (75, 4)
    asked = {one.key: (one.problem, one.remedy) for one in findings if one.code == "record.doubtful"}
    assert asked == {
        "stencil.1.width": (
            'Stencil 2, width "~75 mm": is that 75 mm?',
            'It is read as 75 mm until you say. Write width = "75 mm".',
        ),
        "sitting.1.hours": (
            'Sitting 2, hours "approx 4": is that 4 h?',
            'It is read as 4 h until you say. Write hours = "4".',
        ),
    }
