"""archgen gauge: what it says on the terminal, as JSON and as a picture."""

import json

import pytest
from PIL import Image

from tests.cli.archive import draw_f

KEYS = [
    "width_mm", "height_mm", "stroke_mm", "gap_mm", "thin", "tight", "thin_lines", "tight_gaps", "closing_gaps",
    "dots_per_inch", "readable_from_mm",
]  # fmt: skip


def test_a_piece_is_gauged_at_its_recorded_width_with_its_finest_needle(terminal):
    ran = terminal.run("gauge", "barn", "owl")
    assert ran.code == 0, ran.err
    assert "Barn owl, version 2: 50 × 75.0 mm" in ran.out
    assert "Common practice, no source" in ran.out
    assert "1203RL" in ran.out
    assert "upper bound" in ran.out


def test_json_has_the_agreed_keys_and_the_drawn_line(terminal):
    # 10 px of 400 px across 40 mm: 1 mm.
    draw_f(terminal.root.parent / "f.png")
    found = json.loads(terminal.run("gauge", "f.png", "--width", "40mm", "--format", "json").out)
    assert list(found) == KEYS
    assert list(found["stroke_mm"]) == ["p01", "p05", "p50", "p95", "p99"]
    assert found["stroke_mm"]["p01"] == pytest.approx(1.0, abs=0.02)
    assert found["height_mm"] == pytest.approx(60, abs=0.1)
    assert found["thin"] == []


def test_json_names_the_places_below_the_limit(terminal):
    draw_f(terminal.root.parent / "f.png")
    found = json.loads(terminal.run("gauge", "f.png", "--width", "8mm", "--format", "json").out)
    (place,) = found["thin"]
    assert place["mm"] == pytest.approx(0.2, abs=0.01)
    assert place["y_mm"] == pytest.approx(5.1, abs=0.1)
    # The limit of archive.toml is 0.3 mm: the line of 0.2 mm keeps it half as large again.
    assert place["readable_from_mm"] == pytest.approx(12, abs=0.6)
    assert found["readable_from_mm"] == pytest.approx(12, abs=0.6)


def test_the_limits_are_those_of_the_settings(terminal):
    settings = terminal.root / "archive.toml"
    settings.write_text(settings.read_text().replace("0.3 mm", "1.5 mm"))
    assert "lines 1.5 mm, gaps" in terminal.run("gauge", "owl", "--version", "1").out


def test_a_table_says_at_which_width_it_stays_readable(terminal):
    out = terminal.run("gauge", "owl", "--widths", "8mm,3.4cm").out.splitlines()
    assert out[-2].split()[-1] == "no"
    assert out[-1].split()[-1] == "yes"


def test_the_table_is_in_the_json_when_asked_for(terminal):
    found = json.loads(terminal.run("gauge", "owl", "--widths", "8mm,3.4cm", "--format", "json").out)
    assert [row["readable"] for row in found["widths"]] == [False, True]


def test_a_picture_is_written_where_asked(terminal):
    ran = terminal.run("gauge", "owl", "--width", "8mm", "--picture", "marked.png", "--format", "json")
    json.loads(ran.out)
    with Image.open("marked.png") as picture:
        colors = {color for _, color in picture.getcolors(1 << 20)}
    assert (243, 220, 131) in colors


@pytest.mark.parametrize(
    ("code", "words", "said"),
    [
        (2, ("owk",), "2026-03-14-barn-owl"),
        (2, ("moth", "--version", "1"), "no width is recorded"),
        (2, ("f.png",), "How wide"),
        (2, ("owl", "--width", "0mm"), "more than zero"),
        (2, ("owl", "--width", "3m"), "between 1 mm and 2 m"),
        (2, ("owl", "--widths", "4,5"), "a length is a number"),
        (2, ("owl", "--widths", "3m"), "between 1 mm and 2 m"),
        (4, ("nowhere.png", "--width", "4cm"), "no such file"),
        (4, ("empty.png", "--width", "4cm"), "empty.png"),
        (4, ("black.png", "--width", "4cm"), "black.png"),
        (4, ("text.png", "--width", "4cm"), "text.png"),
        (4, ("owl", "--picture", "text.png"), "something else"),
    ],
)
def test_what_cannot_be_gauged_is_said_in_one_line(terminal, code, words, said):
    draw_f(terminal.root.parent / "f.png")
    (terminal.root.parent / "text.png").write_text("no picture")
    Image.new("L", (300, 300), 255).save(terminal.root.parent / "empty.png")
    Image.new("L", (300, 300), 0).save(terminal.root.parent / "black.png")
    assert said in terminal.refused(code, "gauge", *words)
