"""archgen quote: on the terminal, as JSON, and as a page for the client."""

import json

import html5lib
import pytest

WISH = ("quote", "--width", "60mm", "--height", "90mm")


def record(number, hours=3):
    return (
        f'title = "Piece {number}"\nclient = "C-00{number:02}"\nstyles = ["fine line"]\n'
        f'[size]\nwidth = "60 mm"\nheight = "90 mm"\n[placement]\nregion = "calf"\n'
        f"[[sitting]]\ndate = 2026-01-{number:02}\nhours = {hours}\n[price]\ncharged = {hours * 100}\n"
    )


@pytest.fixture
def studio(terminal):
    for number in range(1, 15):
        folder = terminal.root / f"pieces/2026-01-{number:02}-piece"
        folder.mkdir(parents=True)
        (folder / "piece.toml").write_text(record(number, 20 if number == 9 else 3), encoding="utf-8")
    return terminal


def test_hours_sittings_price_and_the_nearest_are_said(studio):
    ran = studio.run(*WISH, "--style", "fine line", "--placement", "calf")
    assert ran.code == 0, ran.err
    assert "Fine line, 60 × 90 mm (54 cm²), calf" in ran.out
    assert "About 3 h. 4 of 5 such pieces take 2 h 45 min to 3 h 15 min." in ran.out
    assert "Sittings: 1;" in ran.out
    assert "at 100 an hour, as 13 of your own pieces came to in the middle." in ran.out
    assert "Piece 14  3 h · 60 × 90 mm · fine line · Calf · 14 Jan 2026" in ran.out
    assert ran.out.index("Please check the hours of these") < ran.out.index("Piece 9  20 h")


def test_hours_that_cannot_be_are_named_each_with_its_piece(studio):
    for number, hours in ((2, "400"), (3, "0"), (4, "-3"), (5, '"lots"'), (6, "90")):
        (studio.root / f"pieces/2026-01-0{number}-piece/piece.toml").write_text(record(number, hours), encoding="utf-8")
    said = studio.run(*WISH).out
    for number, hours in ((2, "400"), (3, "0"), (4, "-3"), (5, "lots"), (6, "90")):
        assert f"Piece {number}  hours “{hours}”" in said
    assert "but not the hours" not in said


def test_notes_on_the_place_and_the_client_come_back_but_not_to_the_client(studio, tmp_path):
    path = studio.root / "pieces/2026-01-03-piece/piece.toml"
    text = path.read_text(encoding="utf-8").replace("hours = 3\n", 'hours = 3\nnote = "skin slow"\n')
    path.write_text(text, encoding="utf-8")
    page = tmp_path / "quote.html"
    on_place = studio.run(*WISH, "--placement", "calf", "--page", page).out
    assert "Noted before:" in on_place
    assert "Piece 3  sitting, 3 Jan 2026: skin slow" in on_place
    assert "slow" not in page.read_text(encoding="utf-8")
    assert "Piece 3  this client, sitting, 3 Jan 2026: skin slow" in studio.run(*WISH, "--client", "c3").out
    nobody = studio.run(*WISH, "--client", "C-9999")
    assert nobody.code == 2
    assert "No client has the code “C-9999”." in nobody.err
    assert "Noted before" not in studio.run(*WISH, "--placement", "wrist").out


def test_the_price_of_an_hour_may_be_set_or_given(studio):
    with (studio.root / "archive.toml").open("a", encoding="utf-8") as file:
        file.write('\n[portfolio]\ncurrency = "EUR"\n[quote]\nhour = 150\nleast = 2000\n')
    assert "2,000 EUR at 150 EUR an hour, as you set it." in studio.run(*WISH).out
    assert "at 90 EUR an hour" in studio.run(*WISH, "--hour", "90", "--least", "50").out


def test_a_price_below_zero_in_the_settings_is_told_with_its_line(studio):
    with (studio.root / "archive.toml").open("a", encoding="utf-8") as file:
        file.write("\n[quote]\nhour = -5\n")
    ran = studio.run(*WISH)
    assert ran.code == 3
    assert "Hour of quote is -5. Allowed: 0 to 100000." in ran.err


def test_json_has_the_figures(studio):
    found = json.loads(studio.run(*WISH, "--format", "json").out)
    assert found["foretold"]["hours"] == pytest.approx(3, rel=0.02)
    assert found["known"] == 14
    assert found["to_check"][0]["title"] == "Piece 9"
    assert found["past"] == {"unclear": [], "no_hours": 0, "no_size": 0}


def test_the_page_for_the_client_names_nobody(studio, tmp_path):
    page = tmp_path / "quote.html"
    ran = studio.run(*WISH, "--hour", "120", "--page", str(page))
    assert str(page) in ran.out
    text = page.read_text(encoding="utf-8")
    html5lib.HTMLParser(strict=True).parse(text)
    assert "Hours of tattooing: about 3\N{NO-BREAK SPACE}h, most likely" in text
    assert "Price: " in text
    assert "120" not in text
    assert not any(f"Piece {number}" in text or f"C-00{number:02}" in text for number in range(1, 15))
    assert studio.run(*WISH, "--hour", "120", "--page", str(page)).code == 0


def test_a_page_of_the_artists_own_is_not_written_over(studio, tmp_path):
    page = tmp_path / "index.html"
    page.write_text("<!doctype html>\n<title>Mine</title>", encoding="utf-8")
    ran = studio.run(*WISH, "--page", str(page))
    assert ran.code != 0
    assert "is there already and something else" in ran.err
    assert "Mine" in page.read_text(encoding="utf-8")


def test_too_few_pieces_have_no_page_for_the_client(terminal, tmp_path):
    ran = terminal.run(*WISH, "--page", str(tmp_path / "quote.html"))
    assert ran.code != 0
    assert "12 are needed" in ran.out
    assert "too few pieces have hours and a size" in ran.err
    assert not (tmp_path / "quote.html").exists()


@pytest.mark.parametrize("words", [("--width", "abc"), ("--height", "0mm"), ("--hour", "0"), ("--placement", "arm")])
def test_what_is_not_understood_is_asked_about(studio, words):
    ran = studio.run(*WISH, *words)
    assert ran.code == 2
    assert "Traceback" not in ran.err
