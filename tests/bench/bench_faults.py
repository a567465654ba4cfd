"""Do harm to builds and count what comes of it, each count by itself: python -m tests.bench.bench_faults --kills 300.

Kills, calls, disks, unplugged: an archive of three pieces goes from one state to the other and back. Each build is
killed at a random instant; kills itself at one of its calls that change the disk, before or after it; meets a full disk
(a tmpfs made small, as root); or loses its archive at a random instant. After the next start the four folders must be
those of a clean build of the one state or of the other, to the byte, and the originals untouched.
Records: each of six record files with bytes or rows changed, and audited. Pictures: files of eight kinds with bytes
changed; each must be facts or one finding. Draws: what a kept child process costs beside drawing in this process.
"""

import argparse
import contextlib
import hashlib
import io
import json
import os
import random
import resource
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from archgen import cli
from archgen.build import Options, build
from archgen.errors import ArchgenError
from archgen.picture_facts.facts import ImageJob, Role
from archgen.picture_facts.stage import read_pictures
from archgen.progress import Silent
from archgen.stencils.stencil_file import open_vector
from archgen.stencils.vector import page as vector_page
from archgen.stencils.vector.area import read_sheet
from archgen.storage.cache import Cache
from archgen.storage.staging import finish_stopped_swap
from tests.bench import boxed_pictures
from tests.cli.full_archive import fingerprint, write_archive
from tests.unit.images.pictures import encoded, photo

FOLDERS = ("archive", "portfolio", "sheets", "reprints")
# Calls of the operating system by which a build changes the disk.
CALLS = (
    "rename", "replace", "link", "symlink", "unlink", "mkdir", "rmdir", "fsync", "open", "utime", "chmod", "write",
    "truncate",
)  # fmt: skip
SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="0 0 210 297">'
    + "".join(
        f'<path d="M{10 + n} {20 + n} q 30 {n} 60 0 t 60 40" fill="none" stroke="#000" stroke-width=".4"/>'
        for n in range(60)
    )
    + "</svg>"
)


class TwoStates:
    """An archive that is in one of two states, and what the folders of a clean build of each hold."""

    def __init__(self, folder, disk=None):
        # Pages lead to the originals, so a clean build lies as near to them.
        place = disk or folder
        self.root, self.out = write_archive(folder / "content"), place / "built"
        self.trees = {}
        for state in ("Barn owl", "Grey owl"):
            self.turn(state)
            self.run(place / "clean")
            self.trees[state] = tree(place / "clean")
        self.turn("Barn owl")
        self.run(self.out)
        self.state, self.counts = "Barn owl", dict.fromkeys(("turns", "stopped", "old", "new", "neither", "touched"), 0)
        self.counts["codes"] = {}

    def turn(self, state):
        record = self.root / "pieces/2026-03-14-barn-owl/piece.toml"
        text = record.read_text().splitlines()
        text[1] = f'title = "{state}"'
        record.write_text("\n".join(text) + "\n")

    def start(self, prepare=lambda: None):
        """Begin a build in a process of its own, and give its number."""
        child = os.fork()
        if child:
            return child
        with Path(os.devnull).open("w") as nowhere:
            os.dup2(nowhere.fileno(), 2)
        try:
            prepare()
            build(self.root, self.out, Options(workers=1), Silent())
            os._exit(0)
        except ArchgenError as error:
            os._exit(int(error.exit_code))
        except OSError as error:
            os._exit(100 + (error.errno or 0) % 100)
        except BaseException:
            os._exit(70)

    def run(self, out):
        before, self.out = getattr(self, "out", out), out
        assert os.waitstatus_to_exitcode(os.waitpid(self.start(), 0)[1]) == 0
        self.out = before

    def try_turn(self, hurt, prepare=lambda: None, mend=lambda: None):
        """Turn to the other state, hurt the build, and look what stands there."""
        old, new = self.state, next(state for state in self.trees if state != self.state)
        self.turn(new)
        before, child = fingerprint(self.root), self.start(prepare)
        hurt(child)
        code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
        mend()
        finish_stopped_swap(self.out)
        stands = tree(self.out)
        counts = self.counts
        counts["turns"] += 1
        counts["stopped"] += code != 0
        counts["codes"][str(code)] = counts["codes"].get(str(code), 0) + 1
        counts["old"] += stands == self.trees[old]
        counts["new"] += stands == self.trees[new]
        counts["neither"] += stands not in (self.trees[old], self.trees[new])
        counts["touched"] += fingerprint(self.root) != before
        if stands not in (self.trees[old], self.trees[new]):
            wrong = {
                name for name in stands.keys() | self.trees[new].keys() if stands.get(name) != self.trees[new].get(name)
            }
            print("neither:", sorted(wrong)[:6], file=sys.stderr)
        # From here on what a clean build of the old state, or of the new one, would have left.
        self.state = new
        self.run(self.out)
        counts["next build wrong"] = counts.get("next build wrong", 0) + (tree(self.out) != self.trees[new])


def tree(out):
    """Give the digest of every file in the four folders."""
    return {
        path.relative_to(out).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for part in FOLDERS
        for path in sorted((out / part).rglob("*"))
        if path.is_file()
    }


def count_kills(number, seed):
    """Kill builds at random instants."""
    chance = random.Random(seed)
    with tempfile.TemporaryDirectory() as folder:
        states = TwoStates(Path(folder))
        states.turn("Grey owl")
        began = time.monotonic()
        states.run(states.out)
        length, states.state = time.monotonic() - began, "Grey owl"

        def kill(child):
            time.sleep(chance.uniform(0.02, 1.0) * length)
            with contextlib.suppress(ProcessLookupError):
                os.kill(child, signal.SIGKILL)

        for _ in range(number):
            states.try_turn(kill)
        return states.counts


def count_calls(number, seed):
    """Let builds kill themselves at calls that change the disk, spread over all of them."""
    chance = random.Random(seed)
    with tempfile.TemporaryDirectory() as folder:
        states, noted = TwoStates(Path(folder)), Path(folder, "calls")
        states.try_turn(lambda _: None, lambda: _stop_at(0, noted))
        total = int(noted.read_text())
        for turn in range(number):
            at = 1 + (turn * total + chance.randrange(total)) // number
            states.try_turn(lambda _: None, lambda at=at: _stop_at(at, noted, after=chance.random() < 0.5))
        return states.counts | {"calls": total}


def _stop_at(at, noted, *, after=False):
    """Count the calls, and end this process without a word at one of them."""
    made = [0]

    def counted(call):
        def instead(*given, **named):
            if call.__name__ == "open" and not (len(given) > 1 and given[1] & (os.O_WRONLY | os.O_RDWR)):
                return call(*given, **named)
            made[0] += 1
            if not at:
                noted.write_bytes(str(made[0]).encode())
            if made[0] == at and not after:
                os.kill(os.getpid(), signal.SIGKILL)
            result = call(*given, **named)
            if made[0] == at:
                os.kill(os.getpid(), signal.SIGKILL)
            return result

        return instead

    for name in CALLS:
        setattr(os, name, counted(getattr(os, name)))


def count_disks(number, seed):
    """Build onto disks that are full sooner or later."""
    chance = random.Random(seed)
    with tempfile.TemporaryDirectory() as folder:
        disk = Path(folder, "disk")
        disk.mkdir()
        _as_root("mount", "-t", "tmpfs", "-o", "size=200m", "tmpfs", disk)
        try:
            states = TwoStates(Path(folder), disk)
            need = 1.2 * sum(path.stat().st_size for path in states.out.rglob("*") if path.is_file())
            for turn in range(number):
                free = int(need * (turn + chance.random()) / number)
                status = os.statvfs(disk)
                used = (status.f_blocks - status.f_bfree) * status.f_frsize
                _as_root("mount", "-o", f"remount,size={used + max(free, 4096)}", disk)
                states.try_turn(lambda _: None, mend=lambda: _as_root("mount", "-o", "remount,size=200m", disk))
            return states.counts
        finally:
            _as_root("umount", disk)


def _as_root(*command):
    subprocess.run([str(one) for one in command], check=True)


def count_unplugged(number, seed):
    """Take the archive away while it is built."""
    chance = random.Random(seed)
    with tempfile.TemporaryDirectory() as folder:
        states = TwoStates(Path(folder))
        states.turn("Grey owl")
        began = time.monotonic()
        states.run(states.out)
        length, states.state, away = time.monotonic() - began, "Grey owl", Path(folder, "away")

        def unplug(_):
            time.sleep(chance.uniform(0, 1.0) * length)
            states.root.rename(away)

        for _ in range(number):
            states.try_turn(unplug, mend=lambda: away.rename(states.root))
        return states.counts


def count_records(number, seed):
    """Audit archives in which one record file is damaged."""
    chance, counts = random.Random(seed), {"audited": 0, "slowest s": 0.0, "codes": {}, "tracebacks": 0}
    with tempfile.TemporaryDirectory() as folder:
        root = write_archive(Path(folder, "content"))
        (root / "decisions.toml").write_text('[[same]]\nimages = ["pieces/a/photos/1.jpg", "pieces/b/photos/2.jpg"]\n')
        (root / "told.toml").write_text('[[told]]\nbatch = "GW2-2231"\nclient = "C-0042"\ndate = 2026-05-04\n')
        owl = "pieces/2026-03-14-barn-owl/piece.toml"
        sound = {
            name: (root / name).read_bytes()
            for name in (owl, "archive.toml", "clients.toml", "inks.toml", "decisions.toml", "told.toml")
        }
        for turn in range(number):
            name = list(sound)[turn % len(sound)]
            (root / name).write_bytes(_damaged(sound[name], sound[owl], chance))
            began, said = time.monotonic(), io.StringIO()
            code = _ran(("audit", "--archive", str(root), "--out", str(Path(folder, "built"))), said)
            counts["slowest s"] = max(counts["slowest s"], round(time.monotonic() - began, 2))
            counts["audited"] += 1
            counts["codes"][str(code)] = counts["codes"].get(str(code), 0) + 1
            if "Traceback" in said.getvalue() or code not in (0, 1, 3, 4):
                counts["tracebacks"] += 1
                print(turn, name, code, said.getvalue()[-2000:], file=sys.stderr)
            (root / name).write_bytes(sound[name])
    return counts | {"most MB": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024}


def _damaged(content, other, chance):
    """Change bytes, cut, or move rows about, as damaged disks and hurried hands do."""
    raw = bytearray(content)
    for _ in range(chance.choice((1, 3, 20))):
        raw[chance.randrange(len(raw))] = chance.randrange(256)
    rows = bytes(raw).split(b"\n")
    match chance.randrange(5):
        case 0:
            chance.shuffle(rows)
        case 1:
            rows += chance.sample(other.split(b"\n"), 9)
        case 2:
            del rows[chance.randrange(len(rows)) :]
        case 3:
            rows *= chance.choice((2, 30))
        case _:
            pass
    return b"\n".join(rows)


def _ran(words, said):
    """Run the command line here and give its exit code."""
    before, sys.argv = sys.argv, ["archgen", *words]
    try:
        with contextlib.redirect_stdout(said), contextlib.redirect_stderr(said):
            cli.main()
    except SystemExit as ended:
        return int(ended.code or 0)
    finally:
        sys.argv = before
    return 0


def count_pictures(number, seed):
    """Read pictures with bytes changed; of AVIF and HEIC also boxes, with what encoders write into them."""
    chance = random.Random(seed)
    kinds = {"jpg": "JPEG", "png": "PNG", "webp": "WEBP", "tif": "TIFF", "gif": "GIF", "avif": "AVIF", "heic": "HEIF"}
    sound = {ending: [encoded(photo(160, 120), kind)] for ending, kind in kinds.items()} | {"svg": [SVG.encode()]}
    for made in boxed_pictures.boxed_pictures():
        sound["avif" if made[4:12].startswith(b"ftypavi") else "heic"].append(made)
    sound["avif"] += boxed_pictures.laid_out()
    counts = {"read": 0, "facts": 0, "found": 0, "neither": 0, "slowest s": 0}
    with tempfile.TemporaryDirectory() as folder:
        root, cache = Path(folder, "in"), Cache(Path(folder, "cache"))
        root.mkdir()
        for turn in range(number):
            ending = list(sound)[turn % len(sound)]
            raw = bytearray(chance.choice(sound[ending]))
            for _ in range(chance.choice((1, 3, 20))):
                raw[chance.randrange(len(raw))] = chance.randrange(256)
            if ending in {"avif", "heic"} and chance.random() < 0.5:
                at, token = chance.randrange(len(raw)), chance.choice(boxed_pictures.TOKENS)
                raw[at : at + chance.choice((0, len(token)))] = token
            if chance.random() < 0.2:
                del raw[chance.randrange(len(raw)) :]
            name = f"{turn}.{ending}"
            (root / name).write_bytes(raw)
            began = time.monotonic()
            role = Role.STENCIL if ending == "svg" else chance.choice(list(Role))
            result = read_pictures([ImageJob(name, role)], root, cache, 1, Silent())[name]
            counts["slowest s"] = max(counts["slowest s"], round(time.monotonic() - began, 2))
            counts["read"] += 1
            counts["facts"] += result.facts is not None
            counts["found"] += bool(result.findings)
            counts["neither"] += result.facts is None and not result.findings
    counts["most MB"] = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    counts["most MB of a child"] = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss // 1024
    return counts


def compare_draws(number):
    """Draw an ordinary page in this process and in a child that is kept; processor time of both by the clock."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "page.svg")
        path.write_text(SVG)
        read_sheet(path)  # the child is there, and the libraries
        size = (2000, 2828)
        vector_page.draw_part(os.fsencode(path), (0.0, 0.0), 2000.0, size)
        began = time.perf_counter()
        for _ in range(number):
            vector_page.draw_part(os.fsencode(path), (0.0, 0.0), 2000.0, size)
        here = time.perf_counter() - began
        began = time.perf_counter()
        for _ in range(number):
            open_vector(path).part((0.0, 0.0), 2000.0, size)
        there = time.perf_counter() - began
    return {"here s": round(here / number, 3), "child s": round(there / number, 3), "ratio": round(there / here, 2)}


COUNTS = {
    "kills": count_kills, "calls": count_calls, "disks": count_disks, "unplugged": count_unplugged,
    "records": count_records, "pictures": count_pictures,
}  # fmt: skip


def main():
    """Print what was counted."""
    asked = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    for name in (*COUNTS, "draws"):
        asked.add_argument(f"--{name}", type=int, default=0)
    asked.add_argument("--seed", type=int, default=1)
    given = asked.parse_args()
    for name, count in COUNTS.items():
        if number := getattr(given, name):
            print(json.dumps({name: count(number, given.seed)}), flush=True)
    if given.draws:
        print(json.dumps(compare_draws(given.draws)))


if __name__ == "__main__":
    main()
