"""Themes of the portfolio: by name, as a copy, and as a few changes to another one."""

import dataclasses
import shutil

import pytest

from archgen.config import Config, PortfolioSettings
from archgen.errors import ConfigError
from archgen.outputs.portfolio.theme import portfolio_theme, theme_folders
from archgen.outputs.portfolio.theme_file import recolour
from archgen.render.html import PROGRAM_THEMES
from tests.builders import make_catalogue
from tests.portfolio_pages import write_portfolio

COMPLETE = """
[layout]
first_is_large = false
columns = 2
notice_columns = 2
wide_from = 1.1
[sizes]
tall = "34vw"
wide = "60vw"
photo = "44vw"
"""


def config(root, theme=None):
    return Config(root=root, portfolio=PortfolioSettings(theme=theme))


def own(root, toml='base = "plate"\n', name="theme", **files):
    """Make a theme's folder beside archive.toml; files by name, a dot written as __."""
    folder = root / name
    folder.mkdir(parents=True)
    (folder / "theme.toml").write_text(toml, encoding="utf-8")
    for file, text in files.items():
        (folder / file.replace("__", ".")).write_text(text, encoding="utf-8")
    return folder


def pages(catalogue, folder, theme=None):
    """Write a portfolio in a theme and give all its files."""
    portfolio = dataclasses.replace(catalogue.config.portfolio, theme=theme)
    site = write_portfolio(
        dataclasses.replace(catalogue, config=dataclasses.replace(catalogue.config, portfolio=portfolio)), folder
    )
    return {path.relative_to(site).as_posix(): path.read_bytes() for path in site.rglob("*") if path.is_file()}


def refusal(root, theme=None):
    with pytest.raises(ConfigError) as trouble:
        portfolio_theme(config(root, theme))
    return str(trouble.value)


def test_the_themes_with_a_name_are_those_with_a_theme_file():
    named = sorted(path.parent.name for path in PROGRAM_THEMES.glob("*/theme.toml"))
    assert list(theme_folders()) == named
    assert {"plate", "wall"} <= set(named)


@pytest.mark.parametrize("name", theme_folders())
def test_a_copy_of_a_theme_in_another_folder_is_a_theme(tmp_path, name):
    catalogue = make_catalogue(tmp_path)
    shutil.copytree(PROGRAM_THEMES / name, tmp_path / "my look")
    assert pages(catalogue, tmp_path / "copy", "my look") == pages(catalogue, tmp_path / "first", name)


def test_a_theme_may_lie_anywhere(tmp_path):
    shutil.copytree(PROGRAM_THEMES / "wall", tmp_path / "elsewhere")
    (tmp_path / "archive").mkdir()
    theme = portfolio_theme(config(tmp_path / "archive", str(tmp_path / "elsewhere")))
    assert theme.layout.first_is_large


def test_the_folder_theme_is_taken_unless_the_settings_name_another_one(tmp_path):
    assert portfolio_theme(config(tmp_path)).pages.folder == PROGRAM_THEMES / "plate"
    own(tmp_path, 'base = "wall"\n')
    assert portfolio_theme(config(tmp_path)).pages.folder == tmp_path / "theme"
    assert portfolio_theme(config(tmp_path, "plate")).pages.folder == PROGRAM_THEMES / "plate"


def test_one_template_is_changed_and_all_else_stays(tmp_path):
    catalogue = make_catalogue(tmp_path)
    before = pages(catalogue, tmp_path / "before", "plate")
    own(tmp_path, missing__html='{% extends "base.html" %}{% block main %}Gone fishing.{% endblock %}')
    after = pages(catalogue, tmp_path / "after")
    assert b"Gone fishing." in after["404.html"]
    assert {path for path in before if before[path] != after.get(path)} == {"404.html"}


def test_one_colour_is_changed_for_light_screens_and_one_for_dark_ones(tmp_path):
    own(tmp_path, 'base = "plate"\n[colours]\nviolet = "#7a1f3d"\n[dark_colours]\nink = "#fff"\n')
    pages = portfolio_theme(config(tmp_path)).pages
    changed = pages.content("theme.css").decode()
    plate = portfolio_theme(config(tmp_path, "plate")).pages
    style = plate.content("theme.css").decode()
    assert changed == style.replace("--violet: #4a2a8a", "--violet: #7a1f3d").replace("--ink: #ecebef", "--ink: #fff")


def test_another_colour_of_a_base_makes_the_style_sheet_and_all_pages_new(tmp_path):
    own(tmp_path, 'base = "../first"\n')
    looks = []
    for colour in ("#111", "#222", "#222"):
        shutil.rmtree(tmp_path / "first", ignore_errors=True)
        own(tmp_path, f'base = "plate"\n[colours]\nviolet = "{colour}"\n', "first")
        pages = portfolio_theme(config(tmp_path)).pages
        looks.append((pages.asset("theme.css"), pages.digest))
    assert looks[0][0] != looks[1][0]
    assert looks[0][1] != looks[1][1]
    assert looks[1] == looks[2]


def test_colours_stay_apart_by_the_screen_and_by_their_name():
    style = (
        ":root { --a: #111; --ab: #111 } @media (prefers-color-scheme: dark) { :root { --a: #222; } } p { --a: #333; }"
    )
    assert recolour(style, {"a": "#444"}, {}) == style.replace("--a: #111", "--a: #444").replace("#333", "#444")
    assert recolour(style, {}, {"a": "#555"}) == style.replace("#222", "#555")


def test_a_changed_colour_is_in_every_page_and_in_the_one_for_a_wrong_address(tmp_path):
    catalogue = make_catalogue(tmp_path)
    own(tmp_path, 'base = "wall"\n[colours]\nyellow = "#abcdef"\n')
    after = pages(catalogue, tmp_path / "after")
    styles = [path for path in after if "theme" in path and path.endswith(".css")]
    assert len(styles) == 1
    assert b"--yellow: #abcdef" in after[styles[0]]
    assert b"--yellow: #abcdef" in after["404.html"]
    assert styles[0].encode() in after["index.html"]


def test_a_layout_is_changed_key_by_key_through_a_chain_of_themes(tmp_path):
    own(tmp_path, 'base = "wall"\n[layout]\ncolumns = 6\n', "first")
    own(tmp_path, 'base = "../first"\n[sizes]\nphoto = "10vw"\n', "second")
    theme = portfolio_theme(config(tmp_path, "second"))
    wall = portfolio_theme(config(tmp_path, "wall"))
    assert theme.layout == dataclasses.replace(wall.layout, columns=6)
    assert theme.sizes == dataclasses.replace(wall.sizes, photo="10vw")
    assert theme.pages.shared[:2] == (tmp_path / "second/../first", PROGRAM_THEMES / "wall")


@pytest.mark.parametrize("name", ["archive", "portfolio", "sheet", "..", "pieces", "pieces/one", ".", "\0", "x" * 5000])
def test_what_is_not_a_theme_is_refused_with_those_there_are(tmp_path, name):
    (tmp_path / "pieces" / "one").mkdir(parents=True)
    said = refusal(tmp_path, name)
    assert said.startswith(f'archive.toml: [portfolio] theme = "{name}": ')
    assert "plate" in said


@pytest.mark.parametrize("name", [".", "..", "pieces/one"])
def test_a_theme_file_makes_no_theme_of_the_archive_or_of_a_piece(tmp_path, name):
    root = tmp_path / "archive"
    (root / "pieces" / "one").mkdir(parents=True)
    (root / name / "theme.toml").write_text('base = "plate"')
    assert "published" in refusal(root, name)


def test_the_nearest_name_is_told(tmp_path):
    assert 'Nearest: "plate"' in refusal(tmp_path, "plates")


@pytest.mark.parametrize(
    ("toml", "places"),
    [
        (COMPLETE.replace("columns = 2\n", "colums = 2\n", 1), ["line 4"]),
        (COMPLETE.replace("wide_from = 1.1\n", ""), ["line 2"]),
        (COMPLETE.replace("[layout]", "[layuot]"), ["line 2"]),
        (COMPLETE.replace("= 1.1", '= "1.1"').replace("= false", "= 0"), ["line 3", "line 6"]),
        ("", ["Layout has no first is large", "Sizes has no tall"]),
        ('base = "plate"\n[colours]\nviolett = "#123456"\n', ["line 3", 'Nearest: "violet"']),
        ('base = "plate"\n[colours]\nviolet = "purple"\n', ["line 3"]),
        ('base = "plate"\n[colours]\nviolet = "#123456; } body { display: none"\n', ["line 3"]),
        ('base = "plate"\n[colours]\nserif = "#123456"\n', ["line 3"]),
        ("base = 3\n", ["line 1"]),
        ('base = "plates"\n', ['theme/theme.toml: base = "plates"', 'Nearest: "plate"']),
        ('base = "../theme"\n', ["itself"]),
        ("base = \n", ["line 1"]),
    ],
)
def test_every_mistake_in_a_theme_file_is_told_with_its_line(tmp_path, toml, places):
    own(tmp_path, toml)
    said = refusal(tmp_path)
    assert said.startswith("theme/theme.toml")
    assert all(place in said for place in places), said


def test_a_folder_without_a_theme_file_is_told_what_to_write(tmp_path):
    (tmp_path / "theme").mkdir()
    assert 'base = "plate"' in refusal(tmp_path)


def test_a_template_that_cannot_be_read_is_told_before_anything_is_built(tmp_path):
    own(tmp_path, home__html="<p>\n{% for card in view.cards %}\n", style__html="{{ }}")
    assert [line.partition(":")[0] for line in refusal(tmp_path).splitlines()] == [
        'Theme "theme", home.html, line 2',
        'Theme "theme", style.html, line 1',
    ]


def test_a_value_that_no_page_has_is_told_with_template_line_and_the_nearest_one(tmp_path):
    catalogue = make_catalogue(tmp_path)
    own(tmp_path, text__html='{% extends "base.html" %}\n{% block main %}\n{{ view.headin }}\n{% endblock %}\n')
    with pytest.raises(ConfigError) as trouble:
        pages(catalogue, tmp_path / "out")
    assert str(trouble.value).startswith('Theme "theme", text.html, line 3: ')
    assert '"heading"' in str(trouble.value)
