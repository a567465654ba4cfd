"""What was noted before stands beside the print of a piece and beside the form of a new one; quiet without any."""

import json

import pytest

from tests.unit.desk.asking import Asker
from tests.unit.desk.conftest import OWL, opened

NOTE = "skin slow to take"


@pytest.fixture
def noting(state):
    """The desk again, where the owl has a note and two more pieces are there."""
    pieces = state.root / "pieces"
    (pieces / "2026-03-14-barn-owl/piece.toml").write_text(OWL.replace("hours = 3", f'hours = 3\nnote = "{NOTE}"'))
    for name, client, region in (
        ("moth", "C-0042", "calf"),
        ("fox", "C-0043", "forearm-outer"),
        ("koi", "C-0043", "calf"),
    ):
        (pieces / f"2026-04-01-{name}").mkdir()
        (pieces / f"2026-04-01-{name}/piece.toml").write_text(
            f'title = "{name}"\nclient = "{client}"\n[placement]\nregion = "{region}"\n'
        )
    return Asker(opened(state.root, state.out))


@pytest.mark.parametrize(("piece", "whose"), [("2026-04-01-moth", "this client, "), ("2026-04-01-fox", "")])
def test_the_page_of_a_piece_says_what_was_noted_there_or_on_its_client(noting, piece, whose):
    page = noting.get(f"pieces/{piece}.html").text
    assert "Noted before, here or on this client" in page
    assert f"{whose}sitting, 14 Mar 2026: {NOTE}" in page


@pytest.mark.parametrize("piece", ["2026-04-01-koi", "2026-03-14-barn-owl"])
def test_it_is_quiet_without_any_and_on_the_piece_itself(noting, piece):
    assert "Noted before" not in noting.get(f"pieces/{piece}.html").text


@pytest.mark.parametrize(
    ("asked", "rows"),
    [
        ("place=Outer+forearm,+left", 1),
        ("client=Wilma+Tarrenby", 1),
        ("client=someone&code=C-0042", 0),
        ("client=c-0042", 1),
        ("place=calf&client=Somebody+New", 0),
        ("place=nonsense", 0),
        ("", 0),
    ],
)
def test_the_form_is_told_by_place_and_client_as_they_are_typed(noting, asked, rows):
    answer = noting.get(f"noted?{asked}")
    found = json.loads(answer.text)
    assert answer.status == 200
    assert len(found) == rows
    for row in found:
        assert row["title"] == "Barn owl"
        assert NOTE in row["words"]
        assert noting.get(row["href"]).status == 200
