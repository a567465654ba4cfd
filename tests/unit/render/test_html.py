import json

import jinja2
import pytest

from archgen.errors import ConfigError
from archgen.render.html import Theme, load_theme, script_value


@pytest.fixture
def theme(tmp_path):
    (tmp_path / "page.html").write_text("<p>{{ view }}</p>")
    (tmp_path / "look.css").write_text("p {}")
    return Theme(tmp_path)


def test_text_is_escaped(theme):
    assert theme.render("page.html", view="<b>&") == "<p>&lt;b&gt;&amp;</p>"


def test_a_missing_name_is_an_error(theme):
    with pytest.raises(jinja2.UndefinedError):
        theme.render("page.html")


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


def test_a_theme_wins_over_what_it_shares(tmp_path):
    for name in ("own", "shared"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "page.html").write_text(name)
    assert Theme(tmp_path / "own", (tmp_path / "shared",)).render("page.html") == "own"


@pytest.mark.parametrize("name", ["nowhere", "", "..", "archive/../archive"])
def test_an_unknown_theme_is_named_with_those_there_are(name):
    with pytest.raises(ConfigError, match="archive"):
        load_theme(name)


def test_a_script_value_cannot_end_its_script():
    script = script_value("X", ["</script>", "\u2028"])
    assert "</script>" not in script
    assert "\u2028" not in script
    assert json.loads(script.removeprefix("var X=").removesuffix(";\n")) == ["</script>", "\u2028"]
