"""Markup, script and template syntax in every text of an archive is text on every page."""

import json
from itertools import cycle

import html5lib
import pytest

from tests.cli.full_archive import draw, draw_stencil, run, write

HOSTILE = (
    "<script>alert(1)</script>", "<img src=x onerror=alert(1)>", '"><svg onload=alert(1)>', "'\"><b>x", "]]>", "<!--",
    "</title><script>alert(2)</script>", "</script><script>alert(3)</script>", "{{7*7}}", "{% raw %}", "${7*7}",
    '#read("/etc/hostname")', "#set page(width: 1pt)", "$x^2$ @ref <label>", "= Heading", "![x](http://evil.example/x)",
    "[link](javascript:alert(1))", "<http://evil.example>", "javascript:alert(1)", "&lt;script&gt;", "&#x3c;b&#x3e;",
    "\u202eRTL\u202c", "עברית", "مرحبا", "日本語", "🦉🏳️‍🌈", "e\u0301\u0301\u0301", "\u200b\ufeff", "\x07\x1b[31m",
    "tab\tline\nbreak", "a\u2028\u2029b", "\U0010ffff", "a" * 3000, "..", "../../etc/passwd", "index", "con", "%s%n",
    "\\", "\u00ad", "`rm`", "--help", "<style>*{display:none}</style>", "<base href=//evil.example>",
    "<iframe src=//evil.example>",
)  # fmt: skip
PUBLIC = """title = {}
publish = true
styles = [{}, {}]
subjects = [{}]
[size]
width = "62 mm"
[release]
status = "granted"
scope = ["portfolio"]
[[photo]]
file = "photos/a.jpg"
stage = "fresh"
alt = {}
[[stencil]]
file = "stencils/a.png"
width = "62 mm"
[[reference]]
source = {}
creator = {}
license = "CC-BY-4.0"
ai_system = {}
digital_source = "algorithmicallyEnhanced"
allows = ["tattoo", "show-tattoo"]
"""
# A private text that is a public one too keeps the portfolio back, so these stand in pieces of their own.
PRIVATE = """title = {}
client = {}
finished = 2026-03-14
[placement]
note = {}
[[sitting]]
date = 2026-03-14
note = {}
[[healing]]
date = 2026-04-14
note = {}
[[needle]]
code = {}
use = {}
batch = {}
sterilisation = {}
[[ink]]
batch = {}
name = {}
maker = {}
use = {}
[[reference]]
source = {}
license = {}
ai_terms = {}
note = {}
[[stencil]]
file = "stencils/a.png"
note = {}
[release]
note = {}
[rights_override]
reason = {}
"""
PIECES = 6
NEVER = {"iframe", "object", "embed", "base", "applet"}


def quoted(text):
    return json.dumps(text, ensure_ascii=False)


def write_pieces(root, record):
    texts = cycle(map(quoted, HOSTILE))
    for number in range(PIECES):
        piece = f"pieces/p{number}"
        write(root, f"{piece}/piece.toml", record.format(*(next(texts) for _ in range(record.count("{}")))))
        write(root, f"{piece}/story.md", "\n\n".join(HOSTILE))
        draw(root, f"{piece}/photos/a.jpg", 40 * number)
        draw_stencil(root, f"{piece}/stencils/a.png", 20 + number)
        if record is PRIVATE:
            write(root, f"{piece}/notes.md", "\n\n".join(HOSTILE))
    keys = ("title", "artist", "description", "creator", "copyright", "credit")
    settings = "".join(f"{key} = {next(texts)}\n" for key in keys)
    write(root, "archive.toml", f'[portfolio]\nurl = "https://example.org/owl"\n{settings}[archive]\ntitle = "<b>"\n')
    write(root, "about.md", "\n\n".join(HOSTILE))
    if record is PRIVATE:
        register = "".join(
            f"[[client]]\ncode = {quoted(t)}\nname = {quoted(t)}\ncontact = {quoted(t)}\n" for t in HOSTILE
        )
        write(root, "clients.toml", register)
    return root


@pytest.fixture(scope="module", params=[PUBLIC, PRIVATE], ids=["public texts", "private texts"])
def out(tmp_path_factory, request):
    folder = tmp_path_factory.mktemp("hostile")
    root = write_pieces(folder / "content", request.param)
    with pytest.MonkeyPatch.context() as monkeypatch:
        code = run(monkeypatch, "build", "--archive", root, "--out", folder / "out")
    assert code in {0, 1}
    assert (folder / "out/portfolio").is_dir() or request.param is PRIVATE
    return folder / "out"


def elements(page):
    tree = html5lib.parse(page.read_text("utf-8"), namespaceHTMLElements=False)
    return [element for element in tree.iter() if isinstance(element.tag, str)]


def test_no_page_gains_an_element_that_runs_or_loads(out):
    pages = list(out.rglob("*.html"))
    assert len(pages) > 2 * PIECES
    for page in pages:
        for element in elements(page):
            assert element.tag not in NEVER, page
            if element.get("type") == "application/ld+json":
                json.loads(element.text)
            elif element.tag == "script":
                assert not (element.text or "").strip(), page
            for name, value in element.attrib.items():
                assert not str(name).startswith("on"), page
                if name in {"href", "src", "srcset"}:
                    assert not value.strip().lower().startswith(("javascript:", "vbscript:", "data:text", "//")), page
                if element.tag in {"img", "link", "script"} and name != "alt":
                    assert "//evil.example" not in value, page


def test_templates_are_not_evaluated(out):
    pages = "".join((out / f"archive/pieces/p{number}.html").read_text("utf-8") for number in range(PIECES))
    assert "{{7*7}}" in pages
    assert "${7*7}" in pages


def test_every_piece_has_its_sheet(out):
    assert len(list((out / "sheets").glob("*.pdf"))) == PIECES
