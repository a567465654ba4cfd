"""DEVELOPERS.md speaks of files and modules that are there."""

import re

import pytest

from tests.conftest import ROOT

TEXT = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
PLACES = [ROOT, ROOT / "archgen", ROOT / "archgen/twins/description"]


def named_paths(text):
    """Give every word in code letters that is a path: a folder's name ends with a stroke, a file's with its kind."""
    for word in re.findall(r"`([^`\s]+)`", re.sub(r"```.*?```", "", text, flags=re.DOTALL)):
        # NAME stands for any; what comes before a star is a folder.
        path = "" if "NAME" in word else re.sub(r"(?<=/)\*.*", "", word)
        if re.fullmatch(r"[\w./-]+(/|\.(py|toml|html|css|md|txt|svg))", path) and not path.startswith((".", "http")):
            yield path


@pytest.mark.parametrize("path", sorted(set(named_paths(TEXT))))
def test_a_file_or_folder_is_there(path):
    # A row about one room names what is in it from there.
    rooms = [ROOT / name for name in ("archgen", "tests", "themes", "content")]
    found = [room / path for room in PLACES if (room / path).exists()]
    assert found or [place for room in rooms for place in room.glob(f"**/{path}")]


def test_a_file_that_is_not_there_is_found():
    assert list(named_paths("see `records/nowhere.py` and `tests/unit/` and `x.y` and `a b.py`")) == [
        "records/nowhere.py",
        "tests/unit/",
    ]


def test_the_steps_of_the_comparison_name_its_modules():
    table = TEXT.partition("## How pictures are compared")[2].partition("\n## ")[0]
    named = {name for row in table.splitlines() if row.startswith("|") for name in re.findall(r"`(\w+)`", row)}
    modules = {path.stem for path in (ROOT / "archgen/twins").rglob("*.py")} - {"__init__", "engine", "model"}
    assert named - {"twins"} == modules


def test_every_module_of_the_data_flow_is_there():
    flow = TEXT.partition("## How the data flows")[2].partition("\n\n**")[0]
    named = re.findall(r"-> ([a-z_.]+) ", flow)
    assert len(named) > 8
    for name in named:
        path = ROOT / "archgen" / name.replace(".", "/")
        assert path.is_dir() or path.with_suffix(".py").is_file() or (path.parent.with_suffix(".py")).is_file(), name
