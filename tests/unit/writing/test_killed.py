"""A process that is killed while it files a piece: at any instant the piece is there whole or not at all."""

import os
import random
import signal
import time
from hashlib import sha256

import pytest

from archgen.writing.change import Change, edited_file, new_copy, new_text
from archgen.writing.changes import carry_out, finish_interrupted, past_changes, take_back
from archgen.writing.journal import Reached, read_journal
from archgen.writing.record_text import AddTable

KILLS = 100
PICTURES = 6


def whole(folder):
    return {
        path.relative_to(folder).as_posix(): sha256(path.read_bytes()).hexdigest()
        for path in folder.rglob("*")
        if path.is_file()
    }


def filed(root, name):
    """Half of them a new piece with its client, half pictures for a piece that is there."""
    phone = root.parent / "phone"
    pictures = tuple(new_copy(f"pieces/{name}/photos/{one.name}", one) for one in sorted(phone.iterdir()))
    client = edited_file(root, "clients.toml", [AddTable(("client",), {"code": name})])
    if name == "owl":
        record = edited_file(root, "pieces/owl/piece.toml", [AddTable(("photo",), {"file": "photos/0.jpg"})])
        return Change("healed", pictures, (client, record))
    record = new_text(f"pieces/{name}/piece.toml", f'title = "{name}"\n')
    return Change("filed", (*pictures, record), (client,), f"pieces/{name}")


def in_a_process(work, wait_s):
    """Do work in a process of its own and kill it after a while; gives whether it had finished."""
    child = os.fork()
    if child == 0:
        try:
            work()
        finally:
            os._exit(0)
    time.sleep(wait_s)
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    return os.WIFEXITED(status)


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs a system that can fork")
@pytest.mark.parametrize("name", ["owl", "moth"])
def test_a_killed_filing_leaves_the_piece_whole_or_not_at_all(tmp_path, name):
    root, kept = tmp_path / "archive", tmp_path / "build" / "kept"
    (root / "pieces" / "owl").mkdir(parents=True)
    (root / "pieces" / "owl" / "piece.toml").write_text("title = 'Owl'\n")
    (root / "clients.toml").write_text("# private\n")
    (tmp_path / "phone").mkdir()
    chance = random.Random(name)
    for number in range(PICTURES):
        (tmp_path / "phone" / f"{number}.jpg").write_bytes(chance.randbytes(200_000))
    before = whole(root)
    started = time.perf_counter()
    carry_out(root, kept, filed(root, name))
    took_s = time.perf_counter() - started
    after = whole(root)
    take_back(root, kept)
    assert whole(root) == before
    seen = {"not at all": 0, "whole": 0, "begun": 0, "taking": 0}
    for number in range(KILLS * 4):
        if number >= KILLS // 2 and seen["begun"] + seen["taking"] >= 3:
            break
        is_there = whole(root) == after
        work = (lambda: take_back(root, kept)) if is_there else (lambda: carry_out(root, kept, filed(root, name)))
        in_a_process(work, chance.uniform(0, chance.choice((1.2, 5)) * took_s))
        stages = [one.reached for one in read_journal(kept)]
        seen["begun"] += Reached.BEGUN in stages
        seen["taking"] += Reached.TAKING in stages
        finish_interrupted(root, kept)
        now = whole(root)
        assert now in (before, after), f"kill {number}"
        assert list(root.rglob(".*")) == []
        assert [one.reached is Reached.DONE for one in past_changes(kept)].count(True) == (now == after)
        seen["whole" if now == after else "not at all"] += 1
    # The kills hit: some before, some after, and some in the middle.
    assert seen["whole"] >= 3, seen
    assert seen["not at all"] >= 3, seen
    assert seen["begun"] + seen["taking"] >= 3, seen
    print(seen)
