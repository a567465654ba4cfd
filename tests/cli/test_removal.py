"""A client's removal: asked file by file, whole or not at all, undone for thirty days, gone from all that is built."""

import datetime as dt
import io
import shutil

import msgspec
import pytest

from archgen.writing.changes import KEPT, past_changes
from archgen.writing.journal import ENTRY, JournalEntry
from tests.cli.archive import draw_f

CLIENTS = """# private
[[client]]
code = "C-0012"
name = "Mayumi Ostbrink"
contact = "mayumi@example.org"

[[client]]
code = "C-0043"
name = "Ida Vesterholt"
note = "Came with Mayumi Ostbrink. Allergic to latex."
"""
TOLD = '[[told]]\nbatch = "GW2-1"\nclient = "C-0043"\n\n[[told]]\nbatch = "GW2-1"\nclient = "c12"\ndate = 2026-05-04\n'
OWL = """title = "Barn owl"   # hers
client = "C-0012"
publish = true
[size]
width = "58 mm"
height = "92 mm"
[placement]
region = "calf"
girth = "398 mm"
[[sitting]]
date = 2026-03-14
note = "Slow skin."
[[ink]]
batch = "GW2-1"
[[stencil]]
file = "stencils/owl.png"
width = "40 mm"
[[stencil.landmark]]
stencil = [1, 2]
on = "photos/fresh.png"
at = [3, 4]
[[photo]]
file = "photos/fresh.png"
stage = "fresh"
[[photo]]
file = "photos/both.png"
stage = "healed"
alt = "Two friends, C-0043 on the left"
[release]
status = "granted"
scope = ["portfolio"]
date = 2026-03-14
file = "release.pdf"
"""
MOTH = """title = "Moth"
client = "C-0043"
[[sitting]]
date = 2026-03-15
note = "Talked of C-0012 all day. Sat still."
[[photo]]
file = "photos/pair.png"
stage = "fresh"
"""
NAMES = ("Mayumi", "Ostbrink", "mayumi@", "C-0012")


@pytest.fixture
def studio(terminal):
    root = terminal.root
    shutil.rmtree(root / "pieces")
    (root / "clients.toml").write_text(CLIENTS, encoding="utf-8")
    (root / "told.toml").write_text(TOLD, encoding="utf-8")
    (root / "inks.toml").write_text('[[batch]]\nbatch = "GW2-1"\n', encoding="utf-8")
    owl, moth = root / "pieces/2026-03-14-owl", root / "pieces/2026-03-15-moth"
    draw_f(owl / "stencils/owl.png")
    draw_f(owl / "photos/fresh.png", (500, 700), "RGB")
    draw_f(owl / "photos/both.png", (640, 800), "RGB")
    (owl / "piece.toml").write_text(OWL, encoding="utf-8")
    (owl / "release.pdf").write_bytes(b"%PDF-1.4 signed by Mayumi Ostbrink")
    (owl / "notes.md").write_text("All about Mayumi Ostbrink.\n", encoding="utf-8")
    draw_f(moth / "photos/pair.png", (640, 800), "RGB")
    (moth / "piece.toml").write_text(MOTH, encoding="utf-8")
    (moth / "notes.md").write_text("- wings first\n- as large as that of Mayumi Ostbrink\n", encoding="utf-8")
    return terminal


def whole(root):
    return {path.relative_to(root).as_posix(): path.read_bytes() for path in root.rglob("*") if path.is_file()}


@pytest.fixture
def answer(studio, monkeypatch):
    def run(*answers):
        text = "".join(f"{one}\n" for one in answers)
        monkeypatch.setattr("sys.stdin", io.StringIO(text))
        return studio.run("client", "C-0012", "--removal", "--carry-out")

    return run


def yes_to_all(answer):
    return answer(*["y"] * 40)


def test_the_plan_names_whoever_and_whatever_is_to_be_thought_of_twice(studio):
    before = whole(studio.root)
    said = studio.run("client", "C-0012", "--removal").out
    both = next(line for line in said.splitlines() if "photos/both.png" in line)
    assert "two people may be in it" in both
    assert "The same picture lies in Moth, which is somebody else’s: ask them too." in both
    assert "pieces/2026-03-15-moth/photos/pair.png: the same picture, filed for somebody else too" in said
    assert "release.pdf: their release TAKE CARE: It may have to stay: what they signed." in said
    assert "whose piece it is TAKE CARE: Without it nobody can say in a recall" in said
    assert "moth/piece.toml, line 5: words that name them (“Talked of C-0012 all day.”)" in said
    assert "clients.toml, line 10: words that name them (“Came with Mayumi Ostbrink.”)" in said
    assert "moth/notes.md, line 2: words that name them (“as large as that of Mayumi Ostbrink”)" in said
    assert whole(studio.root) == before


def test_what_goes_anyway_is_not_named_a_second_time(studio):
    said = studio.run("client", "C-0012", "--removal").out
    assert "by hand" not in said
    assert said.count("clients.toml") == 2  # their own table, and what another's says of them


class ChangedMeanwhile(io.StringIO):
    """Answers, while the last of which somebody writes into the archive."""

    def __init__(self, text, path):
        super().__init__(text)
        self.path = path

    def readline(self, *given):
        line = super().readline(*given)
        if self.tell() == len(self.getvalue()):
            self.path.write_text("another name", encoding="utf-8")
        return line


def test_what_was_changed_while_it_was_asked_stops_it(studio, monkeypatch):
    plan = studio.run("client", "C-0012", "--removal").out
    count = sum(line.strip().split(" ")[0].isdigit() for line in plan.split("May have")[0].splitlines() if line)
    notes = studio.root / "pieces/2026-03-15-moth/notes.md"
    monkeypatch.setattr("sys.stdin", ChangedMeanwhile("y\n" * (count + 1), notes))
    ran = studio.run("client", "C-0012", "--removal", "--carry-out")
    assert ran.code == 4
    assert "was changed meanwhile. Nothing was removed" in ran.err
    assert (studio.root / "pieces/2026-03-14-owl/notes.md").is_file()


def test_all_of_them_is_gone_and_everything_else_stands_as_it_stood(studio, answer):
    ran = yes_to_all(answer)
    assert ran.code == 0, ran.err
    root = studio.root
    after = whole(root)
    for path, content in after.items():
        for name in NAMES:
            assert name.encode() not in content, (path, name)
    assert after["clients.toml"].decode() == CLIENTS.replace(
        '[[client]]\ncode = "C-0012"\nname = "Mayumi Ostbrink"\ncontact = "mayumi@example.org"\n', ""
    ).replace("Came with Mayumi Ostbrink. ", "")
    assert b"C-0043" in after["told.toml"]
    assert b"c12" not in after["told.toml"]
    assert after["pieces/2026-03-15-moth/notes.md"] == b"- wings first\n"
    assert b'note = "Sat still."' in after["pieces/2026-03-15-moth/piece.toml"]
    owl = after["pieces/2026-03-14-owl/piece.toml"].decode()
    assert owl.startswith('title = "Barn owl"   # hers\npublish = ')
    assert "photo" not in owl
    assert "landmark" not in owl
    assert 'batch = "GW2-1"' in owl
    assert sorted(path for path in after if path.startswith("pieces/2026-03-14-owl/")) == [
        "pieces/2026-03-14-owl/piece.toml",
        "pieces/2026-03-14-owl/stencils/owl.png",
    ]
    assert "archgen undo brings it back" in ran.out
    assert "Copies elsewhere are not touched" in ran.out


def test_only_what_was_said_yes_to_goes(studio, answer):
    before = whole(studio.root)
    ran = answer(*["n"] * 40)
    assert "Nothing was removed." in ran.out
    assert whole(studio.root) == before
    plan = studio.run("client", "C-0012", "--removal").out
    number = next(int(line.split()[0]) for line in plan.splitlines() if "photos/fresh.png" in line)
    count = sum(line.strip().split(" ")[0].isdigit() for line in plan.split("May have")[0].splitlines() if line)
    ran = answer(*("y" if one == number else "n" for one in range(1, count + 1)), "y")
    assert "Removed: 1 file and 0 places in your records." in ran.out
    after = whole(studio.root)
    assert set(before) - set(after) == {"pieces/2026-03-14-owl/photos/fresh.png"}
    changed = {path for path in after if after[path] != before[path]}
    assert changed == {"pieces/2026-03-14-owl/piece.toml"}
    assert after["pieces/2026-03-14-owl/piece.toml"].count(b"[[photo]]") == 1


def test_no_at_the_end_removes_nothing(studio, answer):
    before = whole(studio.root)
    plan = studio.run("client", "C-0012", "--removal").out
    count = sum(line.strip().split(" ")[0].isdigit() for line in plan.split("May have")[0].splitlines() if line)
    ran = answer(*["y"] * count, "n")
    assert ran.out.rstrip().endswith("Nothing was removed.")
    assert whole(studio.root) == before


def test_an_end_of_the_answers_removes_nothing(studio, answer):
    before = whole(studio.root)
    assert answer("y", "y").code == 130
    assert whole(studio.root) == before


def test_it_is_brought_back_whole(studio, answer):
    before = whole(studio.root)
    yes_to_all(answer)
    assert "A client’s removal: 5 files, 9 places in records" in studio.run("undo", "--list").out
    shown = studio.run("undo", "--yes").out
    assert "Comes back:\n  pieces/2026-03-14-owl/photos/" in shown
    assert whole(studio.root) == before


def test_the_next_build_has_nothing_of_them(studio, answer):
    assert studio.run("build").code in (0, 1)
    out = studio.root.parent / "build"
    assert any(b"C-0012" in content for content in whole(out).values())
    yes_to_all(answer)
    found = studio.run("client", "C-0012", "--removal", "--check")
    assert found.code == 1
    assert "archive/clients/C-0012.html" in found.out
    assert "Run archgen build, then look again." in found.out
    studio.run("build")
    ran = studio.run("client", "c 12", "--removal", "--check")
    assert ran.code == 0, ran.err
    assert "Nothing of them in" in ran.out, ran.out
    left = {path: content for path, content in whole(out).items() if not path.startswith(f"{KEPT}/")}
    for path, content in left.items():
        for name in NAMES:
            assert name.encode() not in content, (path, name)


def age(studio, days):
    """Let what is kept be older."""
    for past in past_changes(studio.root.parent / "build" / KEPT):
        at = (dt.datetime.now().astimezone() - dt.timedelta(days=days)).isoformat(timespec="seconds")
        entry = msgspec.structs.replace(past.entry, at=at)
        assert isinstance(entry, JournalEntry)
        (past.folder / ENTRY).write_bytes(msgspec.json.encode(entry))


def test_after_thirty_days_a_tidy_throws_it_away_for_good(studio, answer):
    yes_to_all(answer)
    age(studio, 29)
    assert "no removal is over 30 days old" in studio.run("undo", "--tidy", "--yes").out
    age(studio, 31)
    assert "Thrown away" in studio.run("undo", "--tidy", "--yes").out
    kept = studio.root.parent / "build" / KEPT
    assert not any(b"Mayumi" in content for content in whole(kept).values())
    assert "is thrown away for good" in studio.run("client", "C-0012", "--removal", "--check").err


def test_the_next_removal_ends_the_one_before(studio, answer, monkeypatch):
    yes_to_all(answer)
    age(studio, 31)
    monkeypatch.setattr("sys.stdin", io.StringIO(""))
    ran = studio.run("client", "C-0043", "--removal", "--carry-out")
    assert "what was kept of them is thrown away for good" in ran.out
    assert past_changes(studio.root.parent / "build" / KEPT) == ()


def test_a_table_written_in_one_line_goes_too_and_an_odd_one_is_left_to_the_hand(studio, answer):
    (studio.root / "clients.toml").write_text(
        'client = [{ code = "C-0012", name = "Mayumi Ostbrink" }, { code = "C-0043" }]\n', encoding="utf-8"
    )
    ran = yes_to_all(answer)
    assert ran.code == 0, ran.err
    assert (studio.root / "clients.toml").read_text(encoding="utf-8").strip() == 'client = [{ code = "C-0043" }]'


def test_a_name_of_a_folder_or_a_title_is_left_to_the_hand(studio):
    owl = studio.root / "pieces/2026-03-14-owl"
    owl.rename(owl.with_name("2026-03-14-owl-of-mayumi-ostbrink"))
    record = owl.with_name("2026-03-14-owl-of-mayumi-ostbrink") / "piece.toml"
    record.write_text(OWL.replace("Barn owl", "Owl of Mayumi Ostbrink"), encoding="utf-8")
    said = studio.run("client", "C-0012", "--removal").out
    by_hand = said.partition("Only you can change, by hand:")[2]
    assert "owl-of-mayumi-ostbrink: the folder’s name" in by_hand
    assert "line 1: title says “Owl of Mayumi Ostbrink”" in by_hand


@pytest.mark.parametrize("options", [("--carry-out",), ("--removal", "--carry-out", "--check"), ("--check",)])
def test_options_that_do_not_go_together_are_told(studio, options):
    ran = studio.run("client", "C-0012", *options)
    assert ran.code == 2
    assert "go with --removal" in ran.err
