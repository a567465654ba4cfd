"""Rules, outputs and themes that another package adds, installed from a wheel; and packages with mistakes in them."""

import json
import os
import subprocess
import sys

import pytest
from PIL import Image

from archgen.extensions import read_extensions
from archgen.outputs.public_pictures import PublicPictures
from archgen.picture_facts.facts import Derivative
from archgen.publication.public_catalogue import make_public_catalogue
from tests.builders import make_catalogue
from tests.cli.archive import add_piece
from tests.tiny_wheel import install, make_wheel

OWL = """title = "Barn owl"
publish = true
client = "C-0042"
[[photo]]
file = "photos/owl.jpg"
stage = "fresh"
alt = "An owl"
[release]
status = "granted"
scope = ["portfolio"]
"""
GOOD = {
    "__init__.py": "",
    "rules.py": """
from archgen.api import Hit, Rule, Severity

def look(piece, record, catalogue):
    if len(record.title) < 10:
        yield Hit(f"{record.title} is a short title.", "Write a longer one.", "title")

SHORT = Rule("studio.short-title", Severity.NOTE, "Long titles are found more easily.", look)
""",
    "outputs.py": """
from archgen.api import Artifact, PrivateOutput, PublicOutput

def zine(catalogue, pictures):
    yield Artifact("all.txt", make=lambda: repr((catalogue, pictures)).encode())
    for piece in catalogue.pieces:
        for number, copy in enumerate(piece.photos[0].copies):
            yield pictures.artifact(copy, f"{piece.slug}-{number}.webp")

def labels(catalogue, blobs):
    text = "".join(f"{piece.id} {piece.record.client}" for piece in catalogue.pieces)
    yield Artifact("labels.txt", make=text.encode)

ZINE = PublicOutput("zine", zine)
LABELS = PrivateOutput("labels", labels)
""",
    "theme/theme.toml": 'base = "wall"\n[colours]\nyellow = "#abcdef"\n',
    "themes.py": "from pathlib import Path\nBOLD = Path(__file__).parent / 'theme'\n",
}
GOOD_POINTS = {
    "archgen.rules": {"studio": "studio_extras.rules:SHORT"},
    "archgen.outputs": {"zine": "studio_extras.outputs:ZINE", "labels": "studio_extras.outputs:LABELS"},
    "archgen.themes": {"bold": "studio_extras.themes:BOLD"},
}
BAD = {
    "__init__.py": "",
    "quits.py": "import sys\nsys.exit('no licence')\n",
    "things.py": """
from archgen.api import Artifact, PrivateOutput, PublicOutput, Rule, Severity

def fails(*given):
    raise RuntimeError("out of order")
    yield

def tells(catalogue, pictures):
    yield Artifact("index.html", make=lambda: b"The client is C-0042.")

STOLEN = Rule("rights.missing", Severity.NOTE, "x", fails)
UNNAMED = Rule("bad", Severity.NOTE, "x", fails)
FAILING = Rule("bad.rule", Severity.NOTE, "x", fails)
PORTFOLIO = PublicOutput("portfolio", tells)
CACHE = PrivateOutput("cache", fails)
OUTSIDE = PublicOutput("../content", tells)
BROKEN = PrivateOutput("broken", fails)
TWICE = PrivateOutput("twice", lambda *given: [Artifact("a", make=bytes), Artifact("a", make=bytes)])
LEAKING = PublicOutput("leaking", tells)
FOLDER = "/nowhere"
""",
}
BAD_POINTS = {
    "archgen.rules": {
        "missing": "bad_extras.nothing:RULE", "quits": "bad_extras.quits:RULE", "stolen": "bad_extras.things:STOLEN",
        "failing": "bad_extras.things:FAILING", "no-rule": "bad_extras.things:FOLDER",
        "unnamed": "bad_extras.things:UNNAMED",
    },
    "archgen.outputs": {
        "portfolio": "bad_extras.things:PORTFOLIO", "outside": "bad_extras.things:OUTSIDE",
        "broken": "bad_extras.things:BROKEN", "twice": "bad_extras.things:TWICE",
        "leaking": "bad_extras.things:LEAKING", "cache": "bad_extras.things:CACHE",
    },
    "archgen.themes": {"plate": "bad_extras.things:FOLDER", "lost": "bad_extras.things:FOLDER"},
}  # fmt: skip


class Studio:
    """An archive, and archgen in a process of its own that finds packages in ./site."""

    def __init__(self, folder):
        self.folder = folder
        photo = add_piece(folder / "content", "2026-03-14-barn-owl", OWL) / "photos" / "owl.jpg"
        photo.parent.mkdir()
        Image.effect_noise((600, 800), 60).save(photo)

    def install(self, package, files, entry_points):
        install(make_wheel(self.folder, package, files, entry_points), self.folder / "site")

    def run(self, *words):
        environment = {**os.environ, "PYTHONPATH": str(self.folder / "site")}
        command = [sys.executable, "-m", "archgen", *words]
        return subprocess.run(command, cwd=self.folder, env=environment, capture_output=True, text=True, check=False)

    def findings(self):
        return json.loads(self.run("audit", "--format", "json").stdout)


@pytest.fixture(scope="module")
def good(tmp_path_factory):
    studio = Studio(tmp_path_factory.mktemp("good"))
    studio.install("studio_extras", GOOD, GOOD_POINTS)
    (studio.folder / "content" / "archive.toml").write_text('[portfolio]\ntheme = "bold"\n')
    ran = studio.run("build", "--out", str(studio.folder / "build"))
    assert ran.returncode == 0, ran.stderr + ran.stdout
    return studio, ran.stdout


def test_a_rule_of_another_package_finds_things(good):
    studio, _ = good
    (finding,) = (one for one in studio.findings() if one["code"] == "studio.short-title")
    assert (finding["piece"], finding["file"], finding["line"]) == (
        "2026-03-14-barn-owl", "pieces/2026-03-14-barn-owl/piece.toml", 1,
    )  # fmt: skip
    of_its_code = studio.run("audit", "--about", "studio", "--format", "json").stdout
    assert [one["code"] for one in json.loads(of_its_code)] == ["studio.short-title"]


def test_a_public_output_gets_what_is_public_and_nothing_else(good):
    studio, said = good
    built = studio.folder / "build" / "zine"
    everything = (built / "all.txt").read_text(encoding="utf-8")
    assert "PublicPiece(slug='barn-owl'" in everything
    assert "C-0042" not in everything
    assert str(studio.folder) not in everything
    assert sorted(path.name for path in built.glob("*.webp"))
    assert "zine" in said


def test_a_private_output_gets_the_catalogue(good):
    studio, said = good
    labels = studio.folder / "build" / "labels" / "labels.txt"
    assert labels.read_text(encoding="utf-8") == "2026-03-14-barn-owl C-0042"
    assert "labels" in said


def test_a_theme_of_another_package_is_one_by_its_name(good):
    studio, _ = good
    (style,) = (studio.folder / "build" / "portfolio" / "assets").glob("theme-*.css")
    assert "--yellow: #abcdef" in style.read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def bad(tmp_path_factory):
    studio = Studio(tmp_path_factory.mktemp("bad"))
    studio.install("bad_extras", BAD, BAD_POINTS)
    return studio, studio.run("build")


def test_packages_with_mistakes_leave_everything_else_as_it_is(bad):
    studio, ran = bad
    assert ran.returncode == 1  # a folder was kept back
    assert "Traceback" not in ran.stderr
    built = studio.folder / "build"
    assert (built / "archive" / "index.html").is_file()
    assert "Barn owl" in (built / "portfolio" / "index.html").read_text(encoding="utf-8")
    assert not any((built / name).exists() for name in ("leaking", "broken", "twice"))
    assert "The leaking was kept back" in ran.stdout
    checks = (built / "archive" / "checks.html").read_text(encoding="utf-8")
    assert checks.count("out of order") == 2


def test_each_mistake_is_one_message_that_names_the_package_and_the_thing(bad):
    studio, _ = bad
    found = [one for one in studio.findings() if one["code"].startswith("extension.")]
    assert {one["file"] for one in found} == {"package bad_extras"}
    named = {code: [one["problem"] for one in found if one["code"] == f"extension.{code}"] for code in
             ("unusable", "name-taken", "failed")}  # fmt: skip
    for words in ('"missing"', '"quits"', '"stolen"', '"no-rule"', '"unnamed"', '"outside"', '"lost"', '"plate"'):
        assert sum(words in problem for problem in named["unusable"]) == 1, words
    assert len(named["unusable"]) == 8
    assert sorted(problem.partition(" ")[0] for problem in named["name-taken"]) == ['"cache"', '"portfolio"']
    assert ["bad.rule" in problem for problem in named["failed"]] == [True]
    assert sorted(one["code"] for one in studio.findings() if one["code"].startswith("rights.")) == []


def test_a_theme_that_cannot_be_loaded_is_said_when_it_is_asked_for(bad):
    studio, _ = bad
    (studio.folder / "content" / "archive.toml").write_text('[portfolio]\ntheme = "lost"\n')
    ran = studio.run("build", "--out", "other")
    assert ran.returncode == 3
    assert "bad_extras" in ran.stderr
    assert ran.stderr.count("extension.unusable") == 1
    assert not (studio.folder / "other").exists()


class Point:
    """An entry point of a package that is not there."""

    def __init__(self, package, name, value):
        self.name, self.value, self.module, self._loaded = name, "", package, value
        self.dist = type("Distribution", (), {"name": package})

    def load(self):
        return self._loaded


def test_of_two_packages_with_one_name_the_first_counts_and_the_other_is_told(monkeypatch):
    points = [Point("b-package", "x", 2), Point("a-package", "x", 1), Point("a-package", "own", 3)]
    monkeypatch.setattr("archgen.extensions._installed", lambda group, _: points if group == "g" else [])
    read = read_extensions("g", lambda name, value: [(name, value)], {"own"})
    assert [(one.package, one.name, one.value) for one in read.added] == [("a-package", "x", 1)]
    assert [(one.code, one.place.file) for one in read.findings] == [
        ("extension.name-taken", "package a-package"),
        ("extension.name-taken", "package b-package"),
    ]
    assert "a-package" in read.findings[1].problem


def test_no_picture_but_those_that_are_shown_can_be_planned(tmp_path):
    catalogue = make_catalogue(tmp_path)
    cleared = make_public_catalogue(catalogue)
    pictures = PublicPictures(cleared, tmp_path / "blobs")
    shown = cleared.pieces[0].photos[0].copies[0]
    assert pictures.artifact(shown, "a.webp").path == "a.webp"
    stencil = next(facts for path, facts in catalogue.facts.items() if "/stencils/" in path)
    for copy in (*stencil.screen, Derivative(1, 1, "../../clients.toml")):
        with pytest.raises(ValueError, match="may be shown"):
            pictures.artifact(copy, "b.webp")
