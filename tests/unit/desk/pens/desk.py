"""A small archive with a desk opened on it, asked without a browser."""

import random
import re
import tomllib
from dataclasses import dataclass
from html import unescape
from html.parser import HTMLParser
from urllib.parse import urlencode, urljoin

from PIL import Image, ImageDraw

from archgen.build import Options
from archgen.desk.state import DeskState, SharedProgress
from archgen.progress import Silent
from tests.cli.archive import draw_f
from tests.unit.desk.asking import Asker
from tests.unit.images.pictures import encoded

OWL = """# my owl
title  = "Barn owl"   # as the client says it
publish = true
client = "C-0042"
finished = 2026-03-14
x-mine = "kept"

[size]
width = "50 mm"

[placement]
region = "forearm-outer"
side = "left"

[[sitting]]
date = 2026-03-14
hours = 3.5

[[ink]]
batch = "GW2-2231"

[[stencil]]
file = "stencils/owl-1.png"
version = 1
width = "40 mm"
[[stencil]]
file = "stencils/owl-2.png"
version = 2
parent = 1
width = "50 mm"

[[reference]]
file = "references/field.png"

[[photo]]
file = "photos/fresh.jpg"
stage = "fresh"
"""
MOTH = """title = "Moth"
client = "C-0007"
finished = 2026-06-01

[[ink]]
batch = "GW2-2213"

[[photo]]
file = "photos/fresh.jpg"
stage = "fresh"

[release]
status = "granted"
scope = ["portfolio"]
date = 2026-06-01
"""
INKS = """[[batch]]
batch = "GW2-2231"
name = "grey wash 2"
opened = 2026-01-10
recalled = 2026-05-02

[[batch]]
batch = "BK-1"
name = "dense black"
opened = 2026-02-01
"""
CLIENTS = '[[client]]\ncode = "C-0042"\nname = "Mayumi Ostbrink"\n[[client]]\ncode = "C-0007"\n'
OWL_PAGE, MOTH_PAGE = "pieces/owl.html", "pieces/moth.html"


def a_photo(colour=(150, 110, 90), day="2026:06:20 10:00:00"):
    """A picture unlike all others: many boxes whose places follow from its colour."""
    chance = random.Random(str(colour))
    picture = Image.new("RGB", (400, 300), colour)
    pen = ImageDraw.Draw(picture)
    for _ in range(60):
        x, y = chance.randrange(400), chance.randrange(300)
        pen.rectangle(
            (x, y, x + chance.randrange(8, 90), y + chance.randrange(8, 90)), fill=(chance.randrange(256),) * 3
        )
    exif = Image.Exif()
    if day:
        exif[306] = day
        exif.get_ifd(0x8769)[0x9003] = day
    return encoded(picture, "JPEG", exif=exif.tobytes())


def make_archive(root):
    for name, record, colour in (("owl", OWL, (150, 110, 90)), ("moth", MOTH, (90, 110, 150))):
        folder = root / "pieces" / name
        (folder / "photos").mkdir(parents=True)
        (folder / "piece.toml").write_text(record, "utf-8")
        (folder / "photos" / "fresh.jpg").write_bytes(a_photo(colour, "2026:03:14 10:00:00"))
    owl = root / "pieces" / "owl"
    smaller = Image.open(owl / "photos" / "fresh.jpg").resize((320, 240)).convert("L")
    smaller.save(owl / "photos" / "gray.jpg")
    draw_f(owl / "stencils" / "owl-1.png")
    draw_f(owl / "stencils" / "owl-2.png")
    draw_f(owl / "references" / "field.png", size=(500, 900))
    (root / "archive.toml").write_text('[archive]\ntitle = "Test"\n', "utf-8")
    (root / "inks.toml").write_text(INKS, "utf-8")
    (root / "clients.toml").write_text(CLIENTS, "utf-8")
    return root


class _Forms(HTMLParser):
    def __init__(self):
        super().__init__()
        self.forms = []

    def handle_starttag(self, tag, attributes):
        given = dict(attributes)
        if tag == "form":
            self.forms.append((given.get("action", ""), {}, []))
        elif self.forms and tag == "input" and given.get("name"):
            _, fields, _ = self.forms[-1]
            if given.get("type") not in ("radio", "checkbox", "file") or "checked" in given:
                fields[given["name"]] = given.get("value", "")
        elif self.forms and tag == "button" and given.get("name"):
            self.forms[-1][2].append((given["name"], given.get("value", "")))


@dataclass(frozen=True)
class Shown:
    """A page as it was shown at last, after every redirection."""

    status_code: int
    text: str
    path: str
    location: str = ""


@dataclass
class Desk:
    """A desk as a browser without script sees it; pages are named from the desk's first folder."""

    root: object
    state: DeskState
    asker: Asker
    last: Shown | None = None

    def page(self, page, params=None):
        """Show a page."""
        answer = self.asker.get(f"{page}?{urlencode(params)}" if params else page)
        self.last = Shown(answer.status, unescape(answer.text), page)
        return self.last

    def get(self, page):
        return self.page(page).text

    def form(self, page, action, *, having=None):
        """Give the fields of the form of a page with this action, and whose fields include `having`."""
        parser = _Forms()
        parser.feed(self.asker.get(page).text)
        wanted = having or {}
        for where, fields, buttons in parser.forms:
            if where.endswith(action) and wanted.items() <= fields.items():
                return dict(fields), buttons
        raise AssertionError(f"no form {action} on {page}")

    def post(self, action, fields, files=None):
        """Send a form, and go where it leads."""
        if files is None:
            answer = self.asker.post(action, fields)
        else:
            body, kind = _multipart(fields, files)
            headers = {"content-type": kind, "sec-fetch-site": "same-origin"}
            answer = self.asker.ask("POST", action, headers=headers, body=body)
        if answer.status == 303:
            location = answer.headers["location"]
            way = urljoin(f"/{action}", location).lstrip("/")
            there = self.asker.get(way)
            self.last = Shown(there.status, unescape(there.text), way.partition("?")[0], location)
        else:
            self.last = Shown(answer.status, unescape(answer.text), action)
        return self.last.text

    def record(self, piece="owl"):
        return tomllib.loads(self.text(piece))

    def text(self, piece="owl"):
        return (self.root / "pieces" / piece / "piece.toml").read_text("utf-8")

    def take_back(self):
        """Press "Take it back" on the page that was shown last."""
        number = re.search(r'name="number" value="(\d+)"', self.last.text)[1]
        page = re.search(r'name="page" value="([^"]+)"', self.last.text)[1]
        return self.post("pen/take-back", {"number": number, "page": page})


def _multipart(fields, files):
    mark = b"aLineBetween"
    pieces = [
        b'--%s\r\nContent-Disposition: form-data; name="%s"\r\n\r\n%s\r\n' % (mark, name.encode(), value.encode())
        for name, value in fields.items()
    ]
    pieces += [
        b'--%s\r\nContent-Disposition: form-data; name="%s"; filename="%s"\r\nContent-Type: %s\r\n\r\n%s\r\n'
        % (mark, name.encode(), given.encode(), kind.encode(), content)
        for name, (given, content, kind) in files.items()
    ]
    return b"".join([*pieces, b"--%s--\r\n" % mark]), "multipart/form-data; boundary=aLineBetween"


def open_desk(root, out):
    state = DeskState(root, out, Options(1), SharedProgress(Silent()))
    state.load()
    assert state.trouble is None
    return Desk(root, state, Asker(state))
