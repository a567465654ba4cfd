"""What an artist installs: the wheel has all that a build needs, and works without the checkout."""

import email
import importlib.util
import os
import re
import subprocess
import sys
import zipfile

import pytest

from tests.cli.archive import OWL, add_piece, draw_f
from tests.conftest import ROOT, do_without

SHOTS = re.findall(r"\((tests/shots/[\w-]+\.jpg)\)", (ROOT / "README.md").read_text(encoding="utf-8"))


def build_wheel(folder, **environment):
    if importlib.util.find_spec("hatchling") is None:
        do_without("needs the Python package hatchling")
    command = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", folder]
    subprocess.run(command, cwd=ROOT, check=True, capture_output=True, env={**os.environ, **environment})
    (wheel,) = folder.glob("archgen-*.whl")
    return zipfile.ZipFile(wheel)


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    with build_wheel(tmp_path_factory.mktemp("wheel"), ARCHGEN_PICTURES="") as opened:
        yield opened


def metadata_of(wheel):
    (name,) = (name for name in wheel.namelist() if name.endswith(".dist-info/METADATA"))
    return email.message_from_bytes(wheel.read(name))


def test_the_wheel_holds_every_file_of_the_package_every_theme_and_the_licence(wheel):
    inside = set(wheel.namelist())
    tracked = [path for folder in ("archgen", "themes") for path in (ROOT / folder).rglob("*") if path.is_file()]
    wanted = {path.relative_to(ROOT).as_posix() for path in tracked if "__pycache__" not in path.parts}
    wanted = {f"archgen/{path}" if path.startswith("themes/") else path for path in wanted}
    assert {"archgen/py.typed", "archgen/printing/typesetting.typ", "archgen/themes/plate/theme.toml"} <= wanted
    assert wanted == {path for path in inside if path.startswith("archgen/")}
    (licence,) = (path for path in inside if path.endswith(".dist-info/licenses/LICENSE"))
    assert wheel.read(licence) == (ROOT / "LICENSE").read_bytes()


def test_the_package_says_whose_it_is_and_under_which_licence(wheel):
    metadata = metadata_of(wheel)
    assert metadata["Author"] == "archgen contributors"
    assert metadata["License-Expression"] == "Apache-2.0 AND OFL-1.1"
    assert metadata["Keywords"]
    assert "Typing :: Typed" in metadata.get_all("Classifier")


def test_a_package_index_is_shown_no_picture_it_cannot_find(wheel, tmp_path):
    assert len(SHOTS) > 3
    assert "![" not in metadata_of(wheel).get_payload()
    with build_wheel(tmp_path, ARCHGEN_PICTURES="https://example.org/archgen/") as other:
        shown = re.findall(r"!\[[^\]]*\]\(([^)]*)\)", metadata_of(other).get_payload())
    assert shown == [f"https://example.org/archgen/{shot}" for shot in SHOTS]
    assert all((ROOT / shot).is_file() for shot in SHOTS)


def test_the_wheel_builds_an_archive_from_any_folder(wheel, tmp_path):
    wheel.extractall(tmp_path / "site")
    owl = add_piece(tmp_path / "archive", "2026-03-14-barn-owl", OWL, "owl-1.png", "owl-2.png")
    draw_f(owl / "references" / "field.png")
    environment = {**os.environ, "PYTHONPATH": str(tmp_path / "site")}

    def run(*words):
        return subprocess.run(
            [sys.executable, *words], cwd=tmp_path, env=environment, capture_output=True, text=True, check=False
        )

    assert run("-c", "import archgen; print(archgen.__file__)").stdout.startswith(str(tmp_path / "site"))
    built = run("-m", "archgen", "build", "--archive", "archive", "--out", "out")
    assert built.returncode == 0, built.stderr
    for kind in ("archive/index.html", "portfolio/index.html", "sheets/*.pdf", "reprints/*.pdf"):
        assert list((tmp_path / "out").glob(kind)), kind
