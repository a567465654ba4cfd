"""Time the search for leaks: a photo's three WebP and a page of 20 kB, beside decoding the photo, as archives grow.

Run by hand: python -m tests.bench.bench_leaks [100 1000 6000] [--pictures 1000]. The archives are invented: records
with notes, clients, batches, prices and file names. Prints processor time and with which power of the pieces the whole
time grows. With --pictures also the whole search of a folder with a page for each piece and a picture for every second,
likenesses too, in an archive with a small picture of its own for each photo, stencil and reference; and once more when
nothing changed.
"""

import argparse
import datetime as dt
import math
import random
import tempfile
import time
from functools import partial
from itertools import chain, pairwise
from pathlib import Path

from PIL import Image, ImageDraw

from archgen.build import Options, read_catalogue
from archgen.images import decode, derivatives
from archgen.leaks.find import search_folder
from archgen.leaks.reading.opening import disclose
from archgen.leaks.search import LeakSearch
from archgen.leaks.values.private_values import private_values
from archgen.progress import Silent
from archgen.reading.records import read_records
from archgen.storage.cache import Cache
from tests.bench import bench_images

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


def make_archive(root, number, draw=draw):
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


def make_page(source):
    """Write a page of 20 kB as a portfolio has them."""
    cards = "".join(
        f'<article class="card"><a href="piece-{source.randrange(9999)}.html">'
        f'<img src="img/{source.randrange(16**12):x}-504.webp" width="504" height="378" '
        f'alt="{" ".join(source.choices(WORDS, k=6))}"></a>'
        f"<p>{' '.join(source.choices(WORDS, k=20))}.</p></article>\n"
        for _ in range(70)
    )
    return f"<!doctype html><html><body>{cards}</body></html>"


def make_photo(folder):
    """Write a photo's three WebP, and give them and the milliseconds that decoding it takes."""
    bench_images.draw(folder, 1)
    started = time.process_time()
    with decode.open_picture(folder / "0001.jpg") as opened:
        picture = decode.load(opened, 2)
    spent = time.process_time() - started
    return [derivatives.public_webp(size) for size in derivatives.halves(picture)], spent * 1000


def timed(words, function):
    started = time.process_time()
    result = function()
    print(f"{words}: {time.process_time() - started:.2f} s", flush=True)
    return result


def best_ms(function, turns=7):
    """Give the least milliseconds of processor time of several turns."""
    spent = []
    for _ in range(turns):
        started = time.process_time()
        function()
        spent.append(time.process_time() - started)
    return min(spent) * 1000


def grow(made, sizes):
    """Search the same photo and pages for the private texts of archives of several sizes."""
    photo, decoding = make_photo(made)
    source = random.Random(4)
    pages = [make_page(source).encode() for _ in range(4)]
    weight = sum(map(len, photo)) // 1000
    print(f"a photo of 12 MP: decoding at half scale {decoding:.0f} ms, three WebP of {weight} kB; pages of 20 kB")
    totals = {}
    for number in sizes:
        root = made / f"archive-{number}"
        make_archive(root, number, lambda path, _: path.parent.mkdir(parents=True, exist_ok=True))
        records = read_records(root, DAY)
        started = time.process_time()
        values = private_values(records)
        listed = time.process_time()
        search = LeakSearch(values)
        ready = time.process_time() - listed
        of_photo = best_ms(partial(look, search, "a.webp", photo))
        of_page = best_ms(partial(look, search, "a.html", pages)) / len(pages)
        totals[number] = listed - started + ready + number * (of_photo + of_page) / 1000
        print(
            f"{number:6} pieces, {len(values)} texts: listed {listed - started:.2f} s, ready {ready:.2f} s, "
            f"a photo {of_photo:.1f} ms ({of_photo / decoding:.2f} of decoding), a page {of_page:.1f} ms"
        )
    for few, many in pairwise(sizes):
        power = math.log(totals[many] / totals[few]) / math.log(many / few)
        print(f"from {few} to {many} pieces, a photo and a page each: the whole grows with the power {power:.3f}")


def look(search, name, contents):
    for found in chain.from_iterable(disclose(name, content) for content in contents):
        for text in found.texts:
            search.in_text(text)
        for raw in found.raw:
            search.in_bytes(raw)
        for pixels in found.pixels:
            search.in_pixels(pixels)


def whole(made, number):
    """Search a folder with pages and pictures, likenesses too."""
    root, place, cache = made / "content", made / "site", Cache(made / "cache")
    make_archive(root, number)
    place.mkdir()
    catalogue = timed("pictures and records read", lambda: read_catalogue(root, cache, Options(1, DAY), Silent()))
    source = random.Random(5)
    for at in range(number):
        (place / f"piece-{at}.html").write_text(make_page(source), "utf-8")
    for at, facts in enumerate(facts for facts in catalogue.facts.values() if facts.public):
        (place / f"{at}.webp").write_bytes((cache.blobs / facts.public[0].blob).read_bytes())
    for at in range(0, number, 2):
        draw(place / f"other-{at}.jpg", source)
    for words in ("the whole search, pictures too", "again, nothing changed"):
        found = timed(words, lambda: search_folder(place, catalogue, catalogue.publications, cache))
        print(f"  {found.files} files, {found.values} texts, {found.pictures} pictures, {len(found.leaks)} finds")


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("pieces", type=int, nargs="*", default=[100, 1000, 6000])
    parser.add_argument("--pictures", type=int, default=0)
    wanted = parser.parse_args()
    with tempfile.TemporaryDirectory() as made:
        grow(Path(made), wanted.pieces)
        if wanted.pictures:
            whole(Path(made), wanted.pictures)


if __name__ == "__main__":
    main()
