"""Time building again with nothing changed, and with one title changed, beside `git status` of the same archive.

    python -m tests.bench.bench_again FOLDER

FOLDER is as `big_archive` leaves it. The archive is copied into a repository of git beside it once, since a repository
inside it would be looked through too. Processor time, user and system, of whole programs; the best of some rounds.
"""

import resource
import shutil
import subprocess
import sys
import time
from pathlib import Path

ROUNDS = 5


def processor_seconds(*command):
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([str(word) for word in command], check=False, capture_output=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def git(root, *words):
    return ("git", "-C", root, "-c", "user.name=a", "-c", "user.email=a@example.org", *words)


def repository(folder):
    copy = folder / "in-git"
    if not copy.is_dir():
        shutil.copytree(folder / "content", copy)
        for words in (("init", "-q"), ("add", "-A"), ("commit", "-qm", "all"), ("status",)):
            subprocess.run(git(copy, *words), check=True, capture_output=True)
    return copy


def change_title(record):
    text = record.read_text("utf-8")
    head, _, rest = text.partition("\n")
    number = int(head.rpartition(" ")[2].rstrip('"')) + 1 if " again " in head else 1
    title = head.partition('"')[2].rstrip('"').partition(" again ")[0]
    record.write_text(f'title = "{title} again {number}"\n{rest}', "utf-8")


def main():
    folder = Path(sys.argv[1])
    root, out, copy = folder / "content", folder / "build", repository(folder)
    build = (sys.executable, "-m", "archgen", "build", "--archive", root, "--out", out)
    processor_seconds(*build)
    time.sleep(3)  # what changed just now is not trusted by its time alone
    processor_seconds(*build)
    reference = min(processor_seconds(*git(copy, "status", "--short")) for _ in range(ROUNDS))
    unchanged = min(processor_seconds(*build) for _ in range(ROUNDS))
    print(f"{len(list((root / 'pieces').iterdir()))} pieces; git status {reference:.3f} s of processor time")
    most = 3 * reference + 0.08
    print(f"nothing changed: {unchanged:.3f} s, {unchanged / most:.2f} of 3 times that and 80 ms")
    records = sorted((root / "pieces").glob("*/piece.toml"))
    for record in (records[0], records[1]):
        change_title(record)
        changed = processor_seconds(*build)
        print(f"one title changed: {changed:.2f} s, {changed / reference:.1f} times")
    print(f"most memory of any: {resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024:.0f} MB")


if __name__ == "__main__":
    main()
