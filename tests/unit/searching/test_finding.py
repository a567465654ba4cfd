"""Questions as people type them, asked of the demo archive's records: which answer comes first, and what is said."""

import datetime as dt
from pathlib import Path

import pytest

from archgen.outputs.archive.answers import make_index
from archgen.pieces.survey import survey
from archgen.reading.records import read_records
from archgen.records.vocabulary.needle_forms.words import Grouping
from archgen.searching.index import AnswerKind
from archgen.tracing.book import BatchBook
from archgen.tracing.recall import trace

DEMO = Path(__file__).resolve().parents[3] / "content"
TODAY = dt.date(2026, 11, 30)


@pytest.fixture(scope="module")
def records():
    return read_records(DEMO, TODAY)


@pytest.fixture(scope="module")
def index(records):
    return make_index(survey(records))


@pytest.fixture
def ask(index):
    return lambda question, most=50: index.ask(question, TODAY, most)


def named(found):
    return f"{found.kind.value} {found.piece or found.id}" + (
        f" {found.id}" if found.kind is AnswerKind.STENCIL else ""
    )


OWL, KOI, MOTH = "piece 2025-02-08-barn-owl", "piece 2025-08-30-koi", "piece 2025-04-19-luna-moth"


@pytest.mark.parametrize(
    ("question", "first"),
    [
        ("owl", OWL),  # before the koi, of which a note says "owl's owner"
        ("owls", OWL),
        ("barnowl", OWL),
        ("BARN OWL", OWL),
        ("luna moth", MOTH),
        ("cote mer", "piece 2024-05-11-voilier-a-l-aube"),  # accents left out
        ("鯉", KOI),
        # Sizes
        ("58 mm", OWL),
        ("5.8 cm", OWL),
        ("5,8cm", OWL),
        ("58", OWL),
        ("58x92", OWL),
        ("58 by 92 mm", OWL),
        ("2 1/2 inch", "piece 2026-07-18-crescent-moon"),
        ("2½ in", "piece 2026-07-18-crescent-moon"),
        ("284 mm", OWL),  # the girth of the arm
        ("6 h 45", OWL),
        # Days
        ("february 2025", OWL),
        ("Feb 2025", OWL),
        ("22 Feb 2025", OWL),
        ("22.2.2025", OWL),
        ("2025-02-22", OWL),
        ("last year owl", OWL),
        ("may 2026", "piece 2026-05-30-mushrooms"),  # before a batch recalled in that month
        ("this year fern", "piece 2026-11-21-fern-sprig"),
        ("spring 2025 moth", MOTH),
        # Places and needles in trade words
        ("outer forearm left", OWL),
        ("L outer forearm", OWL),
        ("forearm outside left", OWL),
        ("Unterarm außen links", OWL),
        ("lower leg koi", KOI),
        ("shoulder blades moth", MOTH),
        ("black and gray owl", OWL),
        ("1003RL whiskers", OWL),
        ("9 rl owl", OWL),
        ("9 round liner outline owl", OWL),
        ("5 round liner", "piece 2026-05-30-mushrooms"),  # not a 9RL piece of 5 hours, which is newer or heavier
        ("5 RL", "piece 2026-05-30-mushrooms"),
        ("9 bugpin liners", "piece 2026-07-18-crescent-moon"),
        ("9 soft edge mag", "piece 2024-05-11-voilier-a-l-aube"),
        # Both sides of one thing
        ("78 x 78", "piece 2025-10-25-round-ornament"),  # not 57 x 78, which is newer
        ("92 x 58", OWL),
        # What was noted, and of references
        ("rested ten minutes", OWL),
        ("oskelund", OWL),
        # Stencils
        ("owl version 2", "stencil 2025-02-08-barn-owl 2"),
        ("owl-2-thin", "stencil 2025-02-08-barn-owl 2"),
        ("finer lines round the eye", "stencil 2025-02-08-barn-owl 2"),
        ("owl on the skin", "stencil 2025-02-08-barn-owl 3"),
        # People and batches
        ("C-0012", "client C-0012"),
        ("c12", "client C-0012"),
        ("Ostbrink", "client C-0012"),
        ("mayumi koi", KOI),
        ("GW2-2498", "batch GW2-2498"),
        ("lot gw2 2498", "batch GW2-2498"),
        ("GW2-24", "batch GW2-2489"),
        ("dense black", "batch BK-1042"),
        ("recalled", "batch GW2-2498"),
        ("owl GW2-2498", OWL),
    ],
)
def test_the_right_answer_comes_first_and_nothing_is_said(ask, question, first):
    answers = ask(question)
    assert named(answers.found[0]) == first
    assert answers.said == ""


# By the piece that is meant: what people remember of it.
MEANT = {
    "2024-02-17-fern-frond": (
        "ribs fern",
        "strap line",
        "3RL leaflets",
    ),
    "2024-05-11-voilier-a-l-aube": (
        "boat calf",
        "64 x 76 mm",
        "sails water curved mag",
    ),
    "2024-06-22-peony": (
        "peony thigh",
        "outer thigh left",
        "she had a train",
        "soft edge mag leaves",
    ),
    "2024-09-14-lighthouse": (
        "lighthouse",
        "skerry",
        "falkensted",
        "freehand water",
        "tower plumb",
    ),
    "2024-11-02-lavender": (
        "lavender",
        "single needle florets",
        "34 mm",
    ),
    "2024-12-07-walk-in-fern": ("walk in fern",),
    "2025-04-19-luna-moth": (
        "0803rl dots moth",
        "95 mm",
        "april 2025",
    ),
    "2025-06-14-moon-first-wrist": (
        "first wrist",
        "inner wrist left moon",
    ),
    "2025-06-14-moon-second-wrist": ("second wrist",),
    "2025-08-30-koi": (
        "hastrup",
        "calf right",
        "6.5 cm",
        "swims up",
    ),
    "2025-10-25-round-ornament": (
        "round ornament",
        "compass on skin",
    ),
    "2025-12-13-swallow": (
        "swallow",
        "going south",
        "right shoulder",
    ),
    "2026-02-21-long-haired-dog": (
        "bruna",
        "dog portrait",
        "1RL fur",
        "micro portrait",
    ),
    "2026-03-07-garden-sleeve": (
        "garden sleeve",
        "full sleeve left",
        "405 mm",
        "5 h 15",
        "august 2026",
    ),
    "2026-04-11-snake-and-branch": (
        "snake",
        "bark 15M1",
        "103 mm",
        "neo traditional",
    ),
    "2026-05-30-mushrooms": (
        "moss",
        "field guide 1891",
    ),
    "2026-07-18-crescent-moon": (
        "waxing",
        "2.5 in",
    ),
    "2026-09-05-wrist-ornament": (
        "small ornament",
        "1 3/4 inch",
        "inner wrist right ornament",
    ),
    "2026-10-17-night-moth": (
        "night moth",
        "front thigh right",
        "15cm wings",
        "rokvist",
        "17 oct 2026",
    ),
    "2026-11-21-fern-sprig": (
        "sprig",
        "30 mm",
        "1203RL",
    ),
}


@pytest.mark.parametrize(
    ("piece", "question"), [(piece, asked) for piece, all_asked in MEANT.items() for asked in all_asked]
)
def test_a_piece_is_found_by_what_is_remembered_of_it(ask, piece, question):
    answers = ask(question)
    assert named(answers.found[0]) == f"piece {piece}"
    assert answers.said == ""


@pytest.mark.parametrize(
    ("question", "typed", "shown", "first"),
    [
        ("moht", "moht", "moth", "piece 2026-10-17-night-moth"),
        ("oul", "oul", "owl", OWL),
        ("brnowl", "brnowl", "barn owl", OWL),
        ("barn ol", "ol", "owl", OWL),
        ("forarm inside lavender", "forarm", "forearm", "piece 2024-11-02-lavender"),
    ],
)
def test_a_slip_is_read_aloud(ask, question, typed, shown, first):
    answers = ask(question)
    assert named(answers.found[0]) == first
    assert answers.corrections == ((typed, shown),)
    assert f"“{typed}”" in answers.said
    assert f"“{shown}”" in answers.said


def test_a_right_word_is_never_corrected(ask):
    assert ask("koi").corrections == ()
    assert all(found.kind is not AnswerKind.PIECE or "koi" in str(found.lines) for found in ask("koi").found)


@pytest.mark.parametrize(
    ("question", "failed", "first"),
    [
        ("owl tractor", ("tractor",), OWL),
        ("peony knee", ("knee",), "piece 2024-06-22-peony"),
        ("inner bicep", ("inner bicep",), None),
        ("wolf", ("wolf",), None),
        ("rose", ("rose",), None),  # not the nose of the dog
        ("88", ("88",), None),  # no beginning of a number
        ("14 round liners", ("14 round liners",), None),  # no liner of another count
        ("78.5 x 78.5", ("78.5 x 78.5",), None),  # one side is not two
        ("57 x 57", ("57 x 57",), None),
        ("C-0099", ("C-0099",), None),  # never another client
        ("GW9-9999", ("GW9-9999",), None),
    ],
)
def test_what_fails_is_named(ask, question, failed, first):
    answers = ask(question)
    assert answers.failed == failed
    assert (named(answers.found[0]) if answers.found else None) == first
    assert all(f"“{word}”" in answers.said for word in failed)


@pytest.mark.parametrize("number", ["GW2-2498", "N-88213", "BK-1042", "gw1 2231", "LOT WH-0310"])
def test_a_number_finds_the_pieces_that_a_trace_finds(ask, records, number):
    traced = {use.piece.id for use in trace(BatchBook(records), number).matches}
    assert traced
    assert {found.piece for found in ask(number).found if found.kind is AnswerKind.PIECE} == traced


def test_a_count_of_needles_finds_only_what_has_it(ask, records):
    found = {found.piece for found in ask("5 round liner").found if found.kind is AnswerKind.PIECE}
    with_it = {
        overview.id
        for overview in survey(records).overviews.values()
        for use in overview.needles
        for reading in use.readings
        if (reading.count, reading.grouping) == (5, Grouping.ROUND_LINER)
    }
    assert found == with_it
    assert len(found) > 2


def test_the_line_that_matched_is_shown_and_marked(ask):
    lines = ask("rested ten").found[0].lines
    assert lines[0][0] == "Sitting"
    assert [text for text, matched in lines[0][1] if matched] == ["rested", "ten"]


def test_the_line_says_what_the_name_does_not(ask):
    assert [heading for heading, _ in ask("moth thigh").found[0].lines] == ["Placement"]


def test_a_long_line_is_cut_around_its_match(ask):
    (heading, cut), *_ = ask("nobori").found[0].lines
    text = "".join(part for part, _ in cut)
    assert heading == "Notes"
    assert ("nobori", True) in cut
    assert len(text) < 170


def test_nothing_asked_is_nothing_found(ask):
    for question in ("", "   ", "?!", "\N{ZERO WIDTH SPACE}"):
        answers = ask(question)
        assert (answers.found, answers.total, answers.said) == ((), 0, "")


@pytest.mark.parametrize(
    "question",
    ["the", "on the", "(", "\\", "[a-z", "9" * 300, "a " * 200, "1/0 in", "99.99.9999", "\U0001f600", "\ud83d"],
)
def test_odd_questions_are_answered(ask, question):
    assert ask(question).total >= 0
