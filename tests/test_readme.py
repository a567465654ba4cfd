"""The README names every command, setting, field of a record and exit code, and shows what is really printed."""

import dataclasses
import re
from pathlib import Path

import msgspec
import pytest

from archgen.cli import COMMANDS, command
from archgen.config import ArchiveSettings, Limits, PortfolioSettings, PrinterSettings, SettingsInLanguage
from archgen.errors import ExitCode
from archgen.records import model
from archgen.records.designs.model import DesignPicture, DesignRecord
from tests.readme_sample import build_sample, shown_output, shown_record

ROOT = Path(__file__).resolve().parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
# What a step is about, not what is pressed in it.
HEADS = {
    "Open the desk",
    "Drop the pictures of a piece",
    "Answer what is asked",
    "Publish when you are ready",
    "Open archgen",
}
TABLES = {
    "(top)": model.PieceRecord,
    "[size]": model.Size,
    "[placement]": model.Placement,
    "[[sitting]]": model.Sitting,
    "[[healing]]": model.Healing,
    "[[needle]]": model.Needle,
    "[[ink]]": model.Ink,
    "[[reference]]": model.Reference,
    "[[stencil]]": model.Stencil,
    "[[stencil.landmark]]": model.Landmark,
    "[[photo]]": model.Photo,
    "[release]": model.Release,
    "[price]": model.Price,
    "[values]": model.Values,
    "[rights_override]": model.RightsOverride,
}
REGISTERS = {
    "`clients.toml` `[[client]]`": model.Client,
    "`inks.toml` `[[batch]]`": model.InkBatch,
    "`inks.toml` `[[supply]]`": model.Supply,
    "`inks.toml` `[[box]]`": model.Box,
    "`decisions.toml` `[[same]]` and `[[different]]`": model.Decision,
    "`told.toml` `[[told]]`": model.Told,
    "`design.toml`": DesignRecord,
    "`design.toml` `[[picture]]`": DesignPicture,
}
OWN_TABLES = {name.strip("[]").rpartition(".")[2] for name in TABLES}


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_is_in_the_readme_and_has_help_with_an_example(name):
    assert f"archgen {name}" in README
    assert f"archgen {name}" in command(name).help


@pytest.mark.parametrize("code", ExitCode, ids=lambda code: code.name)
def test_every_exit_code_is_in_the_readme(code):
    assert re.search(rf"^\| {code.value} \|", README, re.MULTILINE)


@pytest.mark.parametrize(
    "settings",
    [ArchiveSettings, PortfolioSettings, SettingsInLanguage, PrinterSettings, Limits],
    ids=lambda s: s.__name__,
)
def test_every_setting_is_in_the_readme(settings):
    named = set(re.findall(r"`([a-z_]+)`", README.partition("### Settings")[2]))
    keys = {re.sub(r"_(mm|days)$", "", field.name) for field in dataclasses.fields(settings)}
    keys -= {"name", "in_languages", "language"}  # tables with a name of their own
    assert keys <= named


@pytest.mark.parametrize("table", [*TABLES, *REGISTERS])
def test_every_field_of_a_record_is_in_the_readme(table):
    cell = table if table == "(top)" or table in REGISTERS else f"`{table}`"
    row = next(line for line in README.splitlines() if line.startswith(f"| {cell} |"))
    named = set(re.findall(r"`([a-z_]+)`", row.removeprefix(f"| {cell} |")))
    fields = {field.encode_name for field in msgspec.structs.fields((TABLES | REGISTERS)[table])}
    assert fields - OWN_TABLES == named - OWN_TABLES


def test_the_sample_output_is_what_is_printed(tmp_path):
    assert shown_output(README) == build_sample(tmp_path, shown_record(README))


def test_what_the_five_minutes_say_to_press_stands_on_the_pages_of_the_desk():
    chapter = README.partition("## Five minutes")[2].partition("### ")[0]
    pages = "".join(page.read_text(encoding="utf-8") for page in sorted((ROOT / "themes").glob("*/*.html")))
    named = set(re.findall(r"\*\*([^*]+?)\.?\*\*", chapter)) - HEADS
    assert {
        "Start the archive",
        "Choose pictures",
        "File this piece",
        "Save",
        "Take it back",
        "Questions",
        "Put it into the portfolio",
    } == named
    assert [words for words in sorted(named) if words not in pages] == []


def test_commands_are_shown_as_they_are_typed_on_each_system():
    setup = README.partition("## Setting it up")[2].partition("## Commands")[0]
    for posix, windows in re.findall(r"^\s*\|(?: [^`|]+ \|)? (`[^|]+`) \| (`[^|]+`) \|$", setup, re.MULTILINE):
        assert (".venv/bin/" in posix) == (".venv\\Scripts\\" in windows)
        assert ("python3 " in posix) == ("py " in windows)
    for block in re.findall(r"```(?:sh)?\n(.*?)```", setup, re.DOTALL):
        assert not re.search(r"^archgen ", block, re.MULTILINE)
    for program in re.findall(r"\.venv/bin/archgen (\w+)", setup):
        assert program in COMMANDS
