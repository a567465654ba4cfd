"""A handover judged by a second validator, written from the rules of RFC 8493; and both validators of damaged bags."""

import contextlib
import shutil

import bagit
import pytest

from archgen.storage.build_folder import MARKER
from tests.cli.archive import terminal
from tests.reference.bag_rules import problems_of

__all__ = ["terminal"]


@pytest.fixture
def bag(terminal, tmp_path):
    out = terminal.root.parent / "build"
    (out / "archive").mkdir(parents=True)
    (out / "archive/index.html").write_text("page")
    (out / MARKER).write_text("archgen")
    odd = terminal.root / "pieces/2026-03-14-barn-owl"
    (odd / "100 % Tinte, größer.txt").write_text("ü")
    with contextlib.suppress(OSError):  # not on every disk
        (odd / "two\nlines.txt").write_text("x")
    ran = terminal.run("handover", tmp_path / "bag")
    assert ran.code == 0, ran.err
    return tmp_path / "bag"


def test_a_handover_keeps_every_rule(bag):
    assert problems_of(bag) == []
    assert (bag / "manifest-sha256.txt").read_text(encoding="utf-8").count("\n") > 5


def flip(bag):
    path = bag / "data/README.txt"
    path.write_bytes(path.read_bytes()[:-1] + b"!")


def mark(bag):
    (bag / "bagit.txt").write_bytes(b"\xef\xbb\xbf" + (bag / "bagit.txt").read_bytes())


def lose(bag):
    (bag / "data/README.txt").unlink()


def add(bag):
    (bag / "data/more.txt").write_text("x")


def append(bag, name, line):
    with (bag / name).open("a", encoding="utf-8") as file:
        file.write(line)


DAMAGE = {
    "2.1.1 a byte order mark": mark,
    "2.1.1 bagit.txt has not two lines": lambda bag: append(bag, "bagit.txt", "More: x\n"),
    "2.1.1 no version": lambda bag: (bag / "bagit.txt").write_text("BagIt: 1\nTag-File-Character-Encoding: UTF-8\n"),
    "2.1.1 no bagit.txt": lambda bag: (bag / "bagit.txt").unlink(),
    "2.1.2 no folder data": lambda bag: shutil.rmtree(bag / "data"),
    "2.1.3 no manifest": lambda bag: [path.unlink() for path in bag.glob("manifest-*.txt")],
    "2.1.3 manifest-sha256.txt has twice": lambda bag: append(
        bag, "manifest-sha256.txt", (bag / "manifest-sha256.txt").read_text(encoding="utf-8").splitlines()[0] + "\n"
    ),
    "2.1.3 manifest-sha256.txt: not a digest": lambda bag: append(bag, "manifest-sha256.txt", "nonsense\n"),
    "5.1 manifest-sha256.txt leads out": lambda bag: append(bag, "manifest-sha256.txt", f"{'0' * 64}  data/../../x\n"),
    "3 manifest-sha256.txt has another digest": flip,
    "3 manifest-sha256.txt names what is not there": lose,
    "3 manifest-sha256.txt lacks": add,
    "2.2.2 Payload-Oxum": add,
    "3 tagmanifest-sha256.txt has another digest of bag-info.txt": lambda bag: append(bag, "bag-info.txt", "More: x\n"),
    "2.2.3 something is still": lambda bag: (bag / "fetch.txt").write_text("https://example.org/a 1 data/a\n"),
}  # fmt: skip


@pytest.mark.parametrize("rule", DAMAGE)
def test_each_broken_rule_is_named(bag, rule):
    DAMAGE[rule](bag)
    assert any(problem.startswith(rule) for problem in problems_of(bag)), problems_of(bag)


@pytest.mark.parametrize("damage", [flip, lose, add])
def test_whatever_it_finds_in_files_the_program_and_the_library_find_too(terminal, bag, damage):
    damage(bag)
    assert problems_of(bag)
    assert not bagit.Bag(str(bag)).is_valid()
    assert terminal.run("handover", bag, "--verify").code == 1
