"""A small archive on disk, and the program run in this process."""

import sys
from dataclasses import dataclass

import pytest
from PIL import Image, ImageDraw

from archgen import cli

SETTINGS = """# my printers
[printer]
paper      = "A4"        # in the drawer
method     = "ink-jet"
measured_x = "99.4 mm"
dpi        = 600

[printer.thermal]
# the loud one
method = "thermal"
dpi    = 203

[limits]
stroke = "0.3 mm"
"""
OWL = """title = "Barn owl"
[[needle]]
code = "1203RL"
[[reference]]
file = "references/field.png"
[[stencil]]
file = "stencils/owl-1.png"
version = 1
width = "40 mm"
[[stencil]]
file = "stencils/owl-2.png"
version = 2
parent = 1
width = "50 mm"
applied = true
from = ["references/field.png"]
"""


def draw_f(path, size=(600, 800), mode="L"):
    """An F: unlike its mirror image, and its marks leave white around."""
    picture = Image.new(mode, size, 255)
    pen = ImageDraw.Draw(picture)
    pen.rectangle((100, 100, 139, 699), fill=0)
    pen.rectangle((100, 100, 499, 139), fill=0)
    pen.rectangle((100, 350, 349, 359), fill=0)
    path.parent.mkdir(parents=True, exist_ok=True)
    picture.save(path)
    return path


def add_piece(root, piece_id, record, *stencils):
    folder = root / "pieces" / piece_id
    folder.mkdir(parents=True)
    (folder / "piece.toml").write_text(record, encoding="utf-8")
    for name in stencils:
        draw_f(folder / "stencils" / name)
    return folder


def make_archive(root):
    root.mkdir()
    (root / "archive.toml").write_text(SETTINGS, encoding="utf-8")
    owl = add_piece(root, "2026-03-14-barn-owl", OWL, "owl-1.png", "owl-2.png")
    draw_f(owl / "references" / "field.png")
    fern = 'title = "Fröhliche Ranke"\n[[stencil]]\nfile = "stencils/a.png"\nmirrored = true\nwidth = "40 mm"\n'
    add_piece(root, "2025-09-02-fern", fern, "a.png")
    two = "".join(f'[[stencil]]\nfile = "stencils/{n}.png"\nversion = {n}\n' for n in (1, 2))
    add_piece(root, "2025-01-01-moth", f'title = "Moth"\n{two}width = "30 mm"\n', "1.png", "2.png")
    add_piece(root, "2024-01-01-bare", 'title = "Bare"\n')
    add_piece(root, "2023-01-01-broken", "title = \n")
    (root / "pieces" / "2022-01-01-without").mkdir()
    return root


@dataclass(frozen=True)
class Ran:
    code: int
    out: str
    err: str


class Terminal:
    """Runs archgen as the command line does, from the folder the archive lies in."""

    def __init__(self, root, monkeypatch, capsys):
        self.root = root
        self._monkeypatch, self._capsys = monkeypatch, capsys

    def run(self, *words):
        self._monkeypatch.setattr(sys, "argv", ["archgen", *map(str, words)])
        self._capsys.readouterr()
        try:
            cli.main()
            code = 0
        except SystemExit as end:
            code = int(end.code or 0)
        said = self._capsys.readouterr()
        return Ran(code, said.out, said.err)

    def refused(self, code, *words):
        """Run what cannot be done and give the one line it says, after the one that names the archive."""
        ran = self.run(*words)
        assert ran.code == code, (ran.out, ran.err)
        lines = [line for line in ran.err.strip().splitlines() if not line.startswith("Archive: ")]
        assert len(lines) == 1, ran.err
        return lines[0]

    @property
    def written(self):
        """Every file but the archive's own."""
        return sorted(p for p in self.root.parent.rglob("*") if p.is_file() and self.root not in p.parents)


@pytest.fixture
def terminal(tmp_path, monkeypatch, capsys):
    """Give an archive in ./content and a terminal in its parent folder."""
    root = make_archive(tmp_path / "content")
    monkeypatch.chdir(tmp_path)
    return Terminal(root, monkeypatch, capsys)
