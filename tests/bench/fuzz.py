"""Change what comes in, keep what reaches new lines, and look for what must not happen.

    python -m tests.bench.fuzz records --seconds 600 --seed 5 --keep FOLDER

Doors: records (every record file of an archive, read and checked by the rules), metadata (fields of pictures), leaks
(the reader of the search for leaks, its child's work done here so that its lines count), svg and pdf (drawn as a build
draws them; what runs in the child shows as outcomes). A failure is an exception that the door does not foresee, more
than 20 s of processor time or more than 1 GB; each is kept with its traceback. The input under way lies in FOLDER/now,
in case the process dies of it.
"""

import argparse
import contextlib
import datetime as dt
import json
import os
import random
import resource
import sys
import tempfile
import time
import traceback
import warnings
from pathlib import Path

import msgspec

from archgen.build import checked, read_records
from archgen.errors import ArchgenError
from archgen.images.decode import UnusableError
from archgen.leaks.reading import documents, opening, pictures
from archgen.leaks.reading.opening import disclose
from archgen.leaks.search import LeakSearch
from archgen.leaks.values.exact import PrivateValue
from archgen.metadata.avif_items import coded_pixels
from archgen.metadata.picture_file import read_file
from archgen.metadata.rights_writing import mark
from archgen.metadata.tags import prove_clean
from archgen.stencils.stencil_file import open_vector
from archgen.stencils.vector.area import drawn_area, read_sheet
from archgen.stencils.vector.page import UndrawableError, read_page
from tests import leak_manners
from tests.bench import boxed_pictures
from tests.cli.full_archive import write_archive
from tests.properties.test_damaged_records import RECORD
from tests.unit.images.pictures import encoded, photo

LONGEST_S, MOST_BYTES = 20.0, 1 << 30
DAY = dt.date(2026, 11, 25)
HOME = str(Path(__file__).parents[2] / "archgen")
REPRO = (
    b'<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="20mm" viewBox="0 0 210 20">'
    b'<defs><filter id="f"><feFlood flood-color="red"/></filter><clipPath id="c"><circle r="9"/></clipPath>'
    b'<pattern id="p" width="3" height="3"><path d="M0 0h1v1z"/></pattern></defs><g transform="scale(2) rotate(9)">'
    b'<path d="M10 20 q 30 40 60 0 t 60 40" fill="none" stroke="#000" stroke-width=".4"/>'
    b'<use href="#p" x="3"/><text x="5" y="9">words</text><image href="a.png" width="9" height="9"/></g></svg>'
)
PDF = (
    b"%PDF-1.4\n1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj\n2 0 obj<</Type/Pages/Kids[3 0 R]/Count 1>>endobj\n"
    b"3 0 obj<</Type/Page/Parent 2 0 R/MediaBox[0 0 595 60]/Contents 4 0 R/Resources<</XObject<</X 5 0 R>>"
    b"/Pattern<<>>/Font<</F<</Type/Font/Subtype/Type1/BaseFont/Helvetica>>>>>>>>endobj\n"
    b"4 0 obj<</Length 75>>stream\nq 1 0 0 1 9 9 cm 10 10 m 200 300 l 4 w S /X Do BT /F 12 Tf (owl) Tj ET Q\n"
    b"endstream endobj\n"
    b"5 0 obj<</Type/XObject/Subtype/Form/BBox[0 0 9 9]/Length 14>>stream\n0 0 9 9 re f n\nendstream endobj\n"
    b"trailer<</Root 1 0 R/Size 6>>\n%%EOF\n"
)
SETTINGS = """[archive]
units = "mm"
[portfolio]
title = "N"
languages = ["en", "de"]
order = ["a"]
[printer]
paper = "A4"
measured_x = "99.4 mm"
[printer.loud]
method = "thermal"
dpi = 203
[limits]
stroke = "0.3 mm"
healed_after = "28 days"
"""
TOKENS = {
    "records": (
        b"[[photo]]",
        b"[size]",
        b'"""',
        b"'''",
        b"\\u0000",
        b"\xff",
        b"\r\n",
        b"= [",
        b"{a = 1}",
        b"1e999",
        b"nan",
        b"-0",
        b"9999-12-31",
        b"0000-00-00",
        b"99:99",
        b'"62 mm"',
        b'"1/0 in"',
        b"true",
        b"[[a.b.c]]",
        b'"../../x"',
        b'"\\u202e"',
        b"#",
        b"=",
        b"]",
        b"[release]\nstatus = ",
        b"width = ",
        b"version = 99999999999999999999",
        b"[[same]]",
        b"[printer.x]",
        b"girth = ",
        b"hours = ",
        b"allows = [",
        b"made_from = [",
        b'"\xef\xbc\x91"',
        b"[limits]\nstroke = ",
        b"\x00",
    ),
    "svg": (
        b"<g>",
        b"</g>",
        b"1e38",
        b"-1",
        b"NaN",
        b"%",
        b'viewBox="0 0 0 0"',
        b'width="1e9"',
        b"<!DOCTYPE a [",
        b"&a;",
        b"<use ",
        b'href="#f"',
        b"<filter>",
        b"mask=",
        b"transform=",
        b"M0 0",
        b"\xff\xfe",
        b"<?xml ",
        b"<svg ",
        b"<style>",
        b"mm",
        b"em",
        b'stdDeviation="9999"',
        b"stroke-dasharray=",
        b'stroke-width="1e7"',
        b"<pattern",
        b"<marker",
        b'orient="auto"',
    ),
    "pdf": (
        b"obj",
        b"endobj",
        b"stream\n",
        b"endstream",
        b"/Filter/FlateDecode",
        b"/Filter[/ASCIIHexDecode/LZWDecode]",
        b"0 R",
        b"<<",
        b">>",
        b"/Type",
        b"/Kids",
        b"/Parent",
        b"/Length 999999999",
        b"/MediaBox[0 0 1e9 1]",
        b"/Shading",
        b"/Function",
        b"xref",
        b"/Encrypt",
        b"-1",
        b"2147483648",
        b"/Contents",
        b"/Rotate 90",
        b"trailer",
        b"/SMask",
        b"/Pattern",
        b"/Do",
        b"/Prev 9",
    ),
    "metadata": (
        b"Exif\0\0II*\0",
        b"MM\0*",
        b"<x:xmpmeta",
        b"<rdf:li>",
        b"8BIM\x04\x04",
        b"\x1c\x02\x50",
        b"\xff\xe1",
        b"\xff\xd9",
        b"ICC_PROFILE",
        b"iTXt",
        b"eXIf",
        b"VP8X",
        b"XMP ",
        b"meta",
        b"uuid",
        b"\x87\x69",
        b"\x88\x25",
        b"&#0;",
        b"GPSLatitude",
        b"http://ns.adobe.com/xmp/extension/\0",
        *boxed_pictures.TOKENS,
    ),
    "leaks": (
        b"%PDF-",
        b"PK\x03\x04",
        b"\x1f\x8b\x08",
        b"BZh91AY&SY",
        b"\xfd7zXZ\0",
        b"ustar",
        b"\\u0041",
        b"\\ud800",
        b"&#x110000;",
        b"%41",
        b"=41",
        b"<!--",
        b"\xff\xfe",
        b"\0",
        b"RIFF",
        b"GIF89a",
        b"II*\0",
        b"iVBORw0KGgo=",
        b"stream\n",
        b"endobj",
        b"(a\\377) Tj",
        b"<41> Tj",
        b"12,34,56,78",
        *boxed_pictures.TOKENS,
    ),
}


class Records:
    """One record file of a small archive changed; the first byte of an input says which."""

    names = (
        "pieces/2026-03-14-barn-owl/piece.toml",
        "archive.toml",
        "clients.toml",
        "inks.toml",
        "decisions.toml",
        "told.toml",
        "pieces/2026-06-01-koi/piece.toml",
    )

    def __init__(self, folder):
        self.root = write_archive(folder / "content")
        more = {
            "decisions.toml": '[[same]]\nimages = ["pieces/a/photos/1.jpg", "pieces/b/photos/2.jpg"]\n',
            "told.toml": '[[told]]\nbatch = "zqpriv-lot-3"\nclient = "zqpriv-client"\ndate = 2026-05-04\n',
            "pieces/2026-06-01-koi/piece.toml": RECORD,
            "archive.toml": SETTINGS,
        }
        for name, text in more.items():
            (self.root / name).write_text(text)
        self.sound = {name: (self.root / name).read_bytes() for name in self.names}
        self.seeds = [bytes([number]) + self.sound[name] for number, name in enumerate(self.names)]

    def run(self, content):
        name = self.names[content[0] % len(self.names)] if content else self.names[0]
        (self.root / name).write_bytes(content[1:])
        try:
            checked(read_records(self.root, DAY))
        except ArchgenError as error:
            return type(error).__name__
        finally:
            (self.root / name).write_bytes(self.sound[name])
        return "read"


class Metadata:
    """What files tell beside their pixels."""

    def __init__(self, folder):
        self.path = folder / "picture"
        xmp = leak_manners.xmp("Maker")
        packet = xmp if isinstance(xmp, bytes) else xmp.encode()
        told = {"exif": leak_manners.exif("An owl").tobytes(), "xmp": packet}
        small = photo(40, 30)
        self.seeds = [
            encoded(small, "JPEG", **told, comment=b"by hand"),
            encoded(small, "WEBP", **told),
            encoded(small, "PNG", exif=told["exif"]),
            encoded(small, "TIFF", exif=told["exif"]),
            encoded(small, "GIF", comment=b"x"),
            encoded(small, "BMP"),
            *(leak_manners.picture(form, xmp=packet) for form in ("JPEG", "WEBP")),
            *boxed_pictures.boxed_pictures(),
            *boxed_pictures.laid_out(),
        ]

    def run(self, content):
        self.path.write_bytes(content)
        prove_clean(content)
        if content[4:12] == b"ftypavif":
            with contextlib.suppress(ValueError):
                mark(content, boxed_pictures.MARKS)
        try:
            found, _ = read_file(os.fsencode(self.path))
        except UnusableError as error:
            return error.code
        msgspec.msgpack.encode(found)
        return f"{found.file_format} {len(found.told.private)} {found.rights is not None}"


class Leaks:
    """The reader of the search for leaks, and the search."""

    def __init__(self, folder):
        self.search = LeakSearch(
            [PrivateValue("client", "Ada Falkensted", "p"), PrivateValue("note", "rested ten minutes", "p")]
        )
        self.seeds = []
        for make in list(leak_manners.MANNERS.values()):
            with contextlib.suppress(Exception):
                made = make(folder, len(self.seeds), "Ada Falkensted")
                path = (
                    made if isinstance(made, Path) else max(folder.glob("f*"), key=lambda one: one.stat().st_mtime_ns)
                )
                if path.is_file() and path.stat().st_size < 60_000:
                    self.seeds.append(path.read_bytes())
        self.seeds += [PDF, *(leak_manners.picture(form) for form in ("JPEG", "PNG", "WEBP", "TIFF", "GIF"))]
        self.seeds += [*boxed_pictures.boxed_pictures(), *boxed_pictures.laid_out()]
        tasks = {
            "documents:read_document": documents.read_document,
            "pictures:read_beside_pixels": pictures.read_beside_pixels,
        }

        def here(task, content, found, **arguments):
            told, _ = tasks[task](content, **arguments)
            msgspec.msgpack.encode(told)
            for name in ("texts", "raw", "pixels", "names", "pictures", "inside", "traces", "unread"):
                getattr(found, name).extend(getattr(told, name))

        opening.read_apart = pictures.read_apart = here

    def run(self, content):
        said = {f"pixels {len(coded_pixels(content)) > 0}"}
        for found in disclose("file", content):
            for text in found.texts:
                self.search.in_text(text)
            for raw in found.raw:
                self.search.in_bytes(raw)
            said |= {word.split()[0] for word in (*found.unread, *found.traces) if word.split()}
        return " ".join(sorted(said))


class Drawing:
    """A drawing as a build draws it, in the child; what is Python is read here too."""

    def __init__(self, folder, suffix, seeds):
        self.path, self.seeds = folder / f"drawing{suffix}", seeds

    def run(self, content):
        self.path.write_bytes(content)
        if self.path.suffix == ".svg":
            with contextlib.suppress(UndrawableError):
                read_page(os.fsencode(self.path))
        drawn_area.cache_clear()
        try:
            page = open_vector(self.path)
            sheet = read_sheet(self.path)
        except ArchgenError as error:
            return str(error)[:160]
        return f"{page.height:.0e} {sheet.close is not None} {sum(sheet.gray.resize((4, 4)).tobytes()) >> 6}"


DOORS = {
    "records": Records,
    "metadata": Metadata,
    "leaks": Leaks,
    "svg": lambda folder: Drawing(folder, ".svg", [REPRO]),
    "pdf": lambda folder: Drawing(folder, ".pdf", [PDF]),
}


class Lines:
    """Which line of the package followed which."""

    def __init__(self):
        self.steps, self._inside = set(), {}

    def _call(self, frame, _event, _given):
        code = frame.f_code
        inside = self._inside.get(code)
        if inside is None:
            inside = self._inside[code] = code.co_filename.startswith(HOME)
        if not inside:
            return None
        last = [0]

        def line(frame, _event, _given):
            self.steps.add((code, last[0], frame.f_lineno))
            last[0] = frame.f_lineno
            return line

        return line

    @contextlib.contextmanager
    def noted(self):
        self.steps = set()
        sys.settrace(self._call)
        try:
            yield
        finally:
            sys.settrace(None)


def change(content, others, tokens, chance):
    """Change a content in one to eight places."""
    raw = bytearray(content)
    for _ in range(chance.choice((1, 1, 2, 4, 8))):
        at = chance.randrange(len(raw) + 1)
        match chance.randrange(9):
            case 0 if raw:
                raw[at - 1] ^= 1 << chance.randrange(8)
            case 1 if raw:
                raw[at - 1] = chance.choice((0, 1, 10, 34, 61, 91, 127, 128, 255, chance.randrange(256)))
            case 2:
                del raw[at : at + chance.choice((1, 2, 4, 16, 200))]
            case 3:
                begin = chance.randrange(len(raw) + 1)
                raw[at:at] = raw[begin : begin + chance.choice((1, 8, 64, 500))] * chance.choice((1, 1, 2, 50))
            case 4 | 5:
                raw[at:at] = chance.choice(tokens)
            case 6:
                token = chance.choice(tokens)
                raw[at : at + len(token)] = token
            case 7:
                width = chance.choice((2, 4))
                number = chance.choice((0, 1, 0x7FFFFFFF, 0xFFFFFFFF, chance.randrange(1 << 32))) % (1 << 8 * width)
                raw[at : at + width] = number.to_bytes(width, chance.choice(("big", "little")))
            case _:
                other = chance.choice(others)
                begin = chance.randrange(len(other) + 1)
                raw[at:] = other[begin:]
    return bytes(raw[:200_000])


def fuzz(door, seconds, seed, keep):
    """Run a door on changed inputs for so long."""
    chance, lines, known, outcomes = random.Random(seed), Lines(), set(), set()
    counts = {"door": door, "seconds": seconds, "runs": 0, "slowest s": 0.0, "failures": 0}
    keep.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        target = DOORS[door](Path(folder))
        waiting, corpus, end = list(target.seeds), list(target.seeds), time.monotonic() + seconds
        while time.monotonic() < end:
            content = (
                waiting.pop()
                if waiting
                else change(chance.choice((*corpus[-40:], *corpus)), corpus, TOKENS[door], chance)
            )
            (keep / "now").write_bytes(content)
            began, trouble = _processor_s(), None
            try:
                with lines.noted(), warnings.catch_warnings():
                    warnings.simplefilter("ignore")
                    outcome = target.run(content)
            except Exception:
                outcome = trouble = traceback.format_exc()
            spent = _processor_s() - began
            counts["runs"] += 1
            counts["slowest s"] = max(counts["slowest s"], round(spent, 2))
            if trouble is None and (spent > LONGEST_S or _most_bytes() > MOST_BYTES):
                trouble = f"{spent:.1f} s, {_most_bytes() >> 20} MB"
            if trouble and (spent > LONGEST_S or outcome not in outcomes):
                counts["failures"] += 1
                (keep / f"{door}-{counts['runs']}").write_bytes(content)
                (keep / f"{door}-{counts['runs']}.txt").write_text(trouble)
            if lines.steps - known or outcome not in outcomes:
                corpus.append(content)
            known |= lines.steps
            outcomes.add(outcome)
    return counts | {"steps": len(known), "corpus": len(corpus), "most MB": _most_bytes() >> 20}


def _processor_s():
    """Give the processor time of this process and of children that ended."""
    return sum(os.times()[:4])


def _most_bytes():
    return 1024 * max(resource.getrusage(who).ru_maxrss for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))


def main():
    """Print what was counted."""
    asked = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    asked.add_argument("door", choices=[*DOORS])
    asked.add_argument("--seconds", type=float, default=600)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--keep", type=Path, default=Path("fuzzed"))
    given = asked.parse_args()
    print(json.dumps(fuzz(given.door, given.seconds, given.seed, given.keep)))


if __name__ == "__main__":
    main()
