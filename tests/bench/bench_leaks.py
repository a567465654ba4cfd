"""Time the search for leaks in the portfolio of a large archive, part by part.

Run by hand: python -m tests.bench.bench_leaks [--pieces 1000]. The archive is invented: records with notes, clients,
batches, prices and file names, and one small picture of its own for each photo, stencil and reference. Prints seconds
of processor time for listing the private texts, making them ready, searching all files, and comparing pictures.
"""

import argparse
import datetime as dt
import random
import tempfile
import time
from pathlib import Path

from PIL import Image, ImageDraw

from archgen.build import Options, build, picture_cache, read_catalogue
from archgen.leaks.find import find_leaks, search_folder
from archgen.leaks.search import LeakSearch
from archgen.leaks.values.private_values import private_values
from archgen.progress import Silent

DAY = dt.date(2026, 11, 25)
FIRST = [
    "Ada",
    "Bo",
    "Cai",
    "Dora",
    "Edda",
    "Finn",
    "Greta",
    "Hal",
    "Ina",
    "Jon",
    "Kaja",
    "Lev",
    "Mika",
    "Nora",
    "Ole",
    "Pia",
    "Quin",
    "Runa",
    "Siv",
    "Tove",
    "Ulf",
    "Vera",
    "Yara",
]
LAST = [
    "Brandvold",
    "Falkensted",
    "Vantaranta",
    "Oskelund",
    "Tikkela",
    "Larsmo",
    "Stennes",
    "Kerubo",
    "Abgral",
    "Vesterholt",
    "Ostermarr",
]
WORDS = [
    "owl",
    "moth",
    "koi",
    "fern",
    "heron",
    "fox",
    "lines",
    "shade",
    "tail",
    "wing",
    "leaf",
    "left",
    "right",
    "upper",
    "lower",
    "slow",
    "fast",
    "soft",
    "black",
    "grey",
    "wash",
    "skin",
    "rested",
    "minutes",
    "again",
    "wanted",
    "bring",
    "back",
    "autumn",
    "harbour",
    "window",
    "chair",
    "light",
    "field",
    "study",
    "sketch",
    "night",
    "moon",
    "river",
    "stone",
]
RECORD = """title = "{title}"
publish = true
finished = {day}
client = "C-{n:04}"
[size]
width = "62 mm"
[placement]
note = "{note0}"
[[sitting]]
date = {day}
hours = 3.5
note = "{note1}"
[[healing]]
date = {day}
note = "{note2}"
[[needle]]
code = "3RL"
use = "{use}"
batch = "N-{n:05}"
[[ink]]
name = "black"
batch = "BK-{n:05}"
[[reference]]
file = "references/{stem}-field.jpg"
license = "own-work"
[[stencil]]
file = "stencils/{stem}-1.png"
width = "62 mm"
[[photo]]
file = "photos/{stem}-fresh.jpg"
stage = "fresh"
[release]
status = "granted"
scope = ["portfolio"]
[price]
charged = {price}
"""


def draw(path, source, size=(96, 128)):
    picture = Image.effect_noise(size, 40).convert("RGB")
    pen = ImageDraw.Draw(picture)
    for _ in range(6):
        pen.line(
            [source.randrange(size[i % 2]) for i in range(4)], fill=tuple(source.choices(range(200), k=3)), width=5
        )
    path.parent.mkdir(parents=True, exist_ok=True)
    picture.save(path)


def make_archive(root, number):
    source = random.Random(11)
    clients = []
    for n in range(number):
        words = source.sample(WORDS, 3)
        day = DAY - dt.timedelta(days=n)
        folder = root / "pieces" / f"{day}-{'-'.join(words[:2])}-{n}"
        notes = {f"note{i}": " ".join(source.sample(WORDS, 6)) + f" {source.randrange(90)}" for i in range(3)}
        stem = f"{words[0]}-{source.choice(WORDS)}"
        text = RECORD.format(
            n=n, day=day, title=" ".join(words).capitalize(), use=" ".join(source.sample(WORDS, 2)), stem=stem,
            price=200 + 5 * (n % 100), **notes,
        )  # fmt: skip
        for file in (f"references/{stem}-field.jpg", f"stencils/{stem}-1.png", f"photos/{stem}-fresh.jpg"):
            draw(folder / file, source)
        (folder / "piece.toml").write_text(text, "utf-8")
        (folder / "notes.md").write_text(" ".join(source.choices(WORDS, k=40)) + ".", "utf-8")
        (folder / "story.md").write_text(" ".join(source.choices(WORDS, k=30)) + ".", "utf-8")
        name = f"{source.choice(FIRST)} {source.choice(LAST)}{n}"
        clients.append(f'[[client]]\ncode = "C-{n:04}"\nname = "{name}"\ncontact = "+46 70 {1000000 + n}"\n')
    (root / "clients.toml").write_text("\n".join(clients), "utf-8")
    (root / "archive.toml").write_text('[portfolio]\ntitle = "Needlework"\n', "utf-8")


def timed(words, function):
    started = time.process_time()
    result = function()
    print(f"{words}: {time.process_time() - started:.2f} s", flush=True)
    return result


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--pieces", type=int, default=1000)
    wanted = parser.parse_args()
    with tempfile.TemporaryDirectory() as made:
        root, out = Path(made, "content"), Path(made, "build")
        make_archive(root, wanted.pieces)
        options = Options(1, DAY)
        summary = timed("first build", lambda: build(root, out, options, Silent()))
        print(len(summary.catalogue.pieces), "pieces,", len(list((out / "portfolio").rglob("*"))), "public files")
        with picture_cache(out) as cache:
            catalogue = timed("catalogue again", lambda: read_catalogue(root, cache, options, Silent()))
            values = timed("private texts", lambda: private_values(catalogue, catalogue.publications))
            timed(f"made ready ({len(values)})", lambda: LeakSearch(values))
            timed("texts in all files", lambda: find_leaks(out / "portfolio", values))
            found = timed(
                "whole search, with pictures",
                lambda: search_folder(out / "portfolio", catalogue, catalogue.publications, cache),
            )
        print(len(found.leaks), "finds:", *[(leak.file, leak.value) for leak in found.leaks[:5]])


if __name__ == "__main__":
    main()
