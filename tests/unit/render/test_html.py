import base64
import hashlib
import json
from dataclasses import dataclass

import jinja2
import pytest

from archgen.errors import ConfigError
from archgen.render.html import Theme, script_value


@pytest.fixture
def theme(tmp_path):
    (tmp_path / "page.html").write_text("<p>{{ view }}</p>")
    (tmp_path / "look.css").write_text("p {}")
    return Theme(tmp_path)


def test_text_is_escaped(theme):
    assert theme.render("page.html", view="<b>&") == "<p>&lt;b&gt;&amp;</p>"


def test_an_asset_changes_its_name_with_its_bytes(theme, tmp_path):
    before = theme.assets["look.css"]
    (tmp_path / "look.css").write_text("p { margin: 0 }")
    assert Theme(tmp_path).assets["look.css"] != before


def test_templates_are_no_assets(theme):
    assert list(theme.assets) == ["look.css"]


def test_the_digest_changes_with_a_template(theme, tmp_path):
    before = theme.digest
    (tmp_path / "page.html").write_text("<i>{{ view }}</i>")
    assert Theme(tmp_path).digest != before


def test_a_template_is_compiled_once_and_anew_when_it_changes(tmp_path, monkeypatch):
    (tmp_path / "page.html").write_text("<p>{{ view }}</p>")
    compiled, whole = [], jinja2.Environment._compile
    monkeypatch.setattr(jinja2.Environment, "_compile", lambda *given: compiled.append(given[1]) or whole(*given))
    assert [Theme(tmp_path).render("page.html", view=view) for view in "ab"] == ["<p>a</p>", "<p>b</p>"]
    assert Theme(tmp_path).render("page.html", view="c") == "<p>c</p>"
    assert len(compiled) == 1
    (tmp_path / "page.html").write_text("<i>{{ view }}</i>")
    assert Theme(tmp_path).render("page.html", view="d") == "<i>d</i>"
    (tmp_path / "page.html").write_text("<p>{{ view }}</p>")
    assert Theme(tmp_path).render("page.html", view="e") == "<p>e</p>"
    assert len(compiled) == 3


def test_what_was_compiled_outside_the_sandbox_does_not_run_in_it(tmp_path, monkeypatch):
    (tmp_path / "page.html").write_text("{{ view.append('x') }}{{ view }}")
    with monkeypatch.context() as patch:
        patch.setattr("archgen.render.html.PROGRAM_THEMES", tmp_path)
        assert "x" in Theme(tmp_path).render("page.html", view=[])
    with pytest.raises(ConfigError):
        Theme(tmp_path).render("page.html", view=[])


def test_a_theme_wins_over_what_it_shares(tmp_path):
    for name in ("own", "shared"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "page.html").write_text(name)
    assert Theme(tmp_path / "own", (tmp_path / "shared",)).render("page.html") == "own"


HOME = """{% extends "base.html" %}
{% block main %}
{{ BROKEN }}
{% endblock %}
"""
BASE = "<main>{% block main %}{% endblock %}</main>\n{% macro part(x) %}\n{{ x.y }}\n{% endmacro %}\n"


@dataclass
class View:
    cards: tuple = ()
    facts: tuple = ()


@pytest.mark.parametrize(
    ("broken", "place", "named"),
    [
        ("viewx", "home.html, line 3", "viewx"),
        ("view.card", "home.html, line 3", '"cards"'),
        ("asset('look.cs')", "home.html, line 3", '"look.css"'),
        ("view.cards / 2", "home.html, line 3", "unsupported operand"),
        ("view.cards.__class__.__mro__", "home.html, line 3", "unsafe"),
        ("view.cards.append(1)", "home.html, line 3", "append"),
        ("1 }}{% include 'hom.html' %}{{ 1", "home.html, line 3", '"home.html"'),
        ("1 }}{% include 'home.html' %}{{ 1", "home.html, line", "itself"),
        ("1 }}{% from 'base.html' import part %}{{ part(view)", "base.html, line 3", '"y"'),
        ("view.cards | nofilter", "home.html, line 3", "nofilter"),
        ("view.cards", "", ""),
    ],
)
def test_what_is_wrong_in_a_template_is_told_with_its_name_and_line(tmp_path, broken, place, named):
    (tmp_path / "home.html").write_text(HOME.replace("BROKEN", broken))
    (tmp_path / "base.html").write_text(BASE)
    (tmp_path / "look.css").write_text("p {}")
    theme = Theme(tmp_path, name="my look")
    if not place:
        assert theme.render("home.html", view=View()) == "<main>()\n</main>\n"
        return
    with pytest.raises(ConfigError) as trouble:
        theme.render("home.html", view=View())
    assert str(trouble.value).startswith(f'Theme "my look", {place}')
    assert named in str(trouble.value)


def test_all_templates_that_cannot_be_read_are_named_at_once(tmp_path):
    (tmp_path / "home.html").write_text("{% if %}")
    (tmp_path / "text.html").write_text("fine")
    (tmp_path / "piece.html").write_bytes(b"one\ntwo \xe4\n")
    (tmp_path / "style.html").write_text("a\nb\n{{ c\n")
    with pytest.raises(ConfigError) as trouble:
        Theme(tmp_path, name="mine").check()
    places = [line.partition(":")[0] for line in str(trouble.value).splitlines()]
    assert places == [
        f'Theme "mine", {place}' for place in ("home.html, line 1", "piece.html, line 2", "style.html, line 3")
    ]


def test_a_mistake_in_the_programs_own_templates_keeps_its_traceback(monkeypatch, tmp_path):
    monkeypatch.setattr("archgen.render.html.PROGRAM_THEMES", tmp_path)
    (tmp_path / "page.html").write_text("{{ view }}")
    with pytest.raises(jinja2.UndefinedError):
        Theme(tmp_path).render("page.html")


def test_only_what_a_site_is_made_of_is_published(tmp_path):
    secret = tmp_path / "clients.css"
    secret.write_text("C-0042")
    folder = tmp_path / "theme"
    (folder / ".git").mkdir(parents=True)
    for name in ("theme.css", "draft.psd", "notes.txt", ".hidden.css", ".git/look.css", "theme.toml", "home.html"):
        (folder / name).write_text(name)
    (folder / "link.css").symlink_to(secret)
    assert list(Theme(folder).assets) == ["theme.css"]


def test_a_style_sheet_in_the_page_is_named_by_what_the_browser_reads(tmp_path):
    (tmp_path / "theme.css").write_bytes(b"p {\r\n}\r\n")
    digest = base64.b64encode(hashlib.sha256(b"p {\n}\n").digest()).decode()
    assert Theme(tmp_path).style_source("theme.css") == f"'sha256-{digest}'"


def test_a_script_value_cannot_end_its_script():
    script = script_value("X", ["</script>", "\u2028"])
    assert "</script>" not in script
    assert "\u2028" not in script
    assert json.loads(script.removeprefix("var X=").removesuffix(";\n")) == ["</script>", "\u2028"]
