"""Hostile text in every field of records and in every rights field of files: inert on all pages and in PDFs."""

import dataclasses
import io
import re
from xml.sax.saxutils import escape

import msgspec
import pikepdf
import pytest

from archgen.images.decode import open_picture
from archgen.metadata.embedded_rights import read_rights
from archgen.metadata.file_rights import EmbeddedRights
from archgen.outputs.archive.site import ArchiveSite
from archgen.outputs.sheets.case_sheet import Press
from archgen.outputs.sheets.recall_list import trace_list
from archgen.outputs.sheets.recall_pdf import trace_pdf
from archgen.outputs.sheets.view import case_sheet
from archgen.pieces.survey import survey
from archgen.records import model
from archgen.tracing.book import BatchBook
from archgen.tracing.recall import trace
from tests.builders import make_catalogue, make_facts, make_piece, make_record, paper_facts
from tests.hostile import HOSTILE
from tests.planter import Planter
from tests.portfolio_pages import write_portfolio
from tests.site import write_site
from tests.unit.images.pictures import encoded, photo

CREDITED = {
    "license": "CC-BY-4.0",
    "allows": tuple(model.Use),
    "made_from": (),
    "likeness": model.Likeness.CONSENTED,
}
FIELDS = (
    "dc:creator",
    "dc:rights",
    "photoshop:Credit",
    "photoshop:Source",
    "photoshop:Instructions",
    "xmpRights:UsageTerms",
    "xmpRights:WebStatement",
    "cc:license",
    "cc:attributionName",
    "cc:attributionURL",
    "plus:OtherConstraints",
    "plus:LicensorURL",
    "plus:ImageAlterationConstraints",
    "plus:ModelReleaseStatus",
    "plus:PropertyReleaseStatus",
    "plus:CopyrightStatus",
    "plus:CreditLineRequired",
    "plus:MinorModelAgeDisclosure",
    "plus:DataMining",
    "ext:PersonInImage",
    "ext:DigitalSourceType",
    "ext:AISystemUsed",
    "ext:AISystemVersionUsed",
)
STRUCTURES = (
    ("plus:Licensor", "plus:LicensorName"),
    ("plus:CopyrightOwner", "plus:CopyrightOwnerName"),
    ("ext:ArtworkOrObject", "ext:AOCreator"),
    ("ext:ArtworkOrObject", "ext:AOCopyrightNotice"),
)
SPACES = {
    "dc": "http://purl.org/dc/elements/1.1/",
    "photoshop": "http://ns.adobe.com/photoshop/1.0/",
    "xmpRights": "http://ns.adobe.com/xap/1.0/rights/",
    "cc": "http://creativecommons.org/ns#",
    "plus": "http://ns.useplus.org/ldf/xmp/1.0/",
    "ext": "http://iptc.org/std/Iptc4xmpExt/2008-02-29/",
}


class Saying(Planter):
    """Says the same everywhere."""

    def __init__(self, said):
        super().__init__()
        self.said = said

    def marker(self, *_):
        return self.said

    def record(self, given):
        filled = super().record(given)
        if isinstance(given, model.Reference):
            # The licence is a known one, so that the credit is shown in public.
            return msgspec.structs.replace(filled, creator=self.said, source=self.said, ai_system=self.said, **CREDITED)
        if isinstance(given, model.Photo):
            return msgspec.structs.replace(filled, alt=self.said)
        return filled


def packet(text):
    safe = escape(re.sub("[\x00-\x08\x0b-\x1f\ufffe\uffff]", "", text))
    spaces = " ".join(f'xmlns:{name}="{address}"' for name, address in SPACES.items())
    inner = "".join(f"<{name}>{safe}</{name}>" for name in FIELDS)
    inner += "".join(
        f'<{name}><rdf:Seq><rdf:li rdf:parseType="Resource"><{part}>{safe}</{part}></rdf:li></rdf:Seq></{name}>'
        for name, part in STRUCTURES
    )
    return (
        '<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">'
        f"<rdf:Description {spaces}>{inner}</rdf:Description></rdf:RDF></x:xmpmeta>"
    ).encode()


def rights_saying(text, folder):
    path = folder / "hostile.webp"
    path.write_bytes(encoded(photo(32, 32), "WEBP", xmp=packet(text)))
    with open_picture(path) as opened:
        return read_rights(opened)


def hostile_piece(number, text):
    given = make_record(
        reference=(model.Reference(file="references/a.jpg"),), rights_override=model.RightsOverride(reason="x")
    )
    record = Saying(text).record(given)
    record = msgspec.structs.replace(
        record,
        title=text,
        styles=(text,),
        subjects=(text,),
        placement=msgspec.structs.replace(record.placement, region="forearm-outer"),
        # Their files are found by name, so these keep it.
        photo=(msgspec.structs.replace(record.photo[0], file="photos/a.jpg"),),
        stencil=(msgspec.structs.replace(record.stencil[0], file="stencils/a.png", from_=()),),
        reference=(msgspec.structs.replace(record.reference[0], file="references/a.jpg"),),
    )
    return make_piece(f"2026-01-01-piece-{number}", record, notes=text, story=text)


@pytest.fixture(scope="module")
def catalogue(tmp_path_factory):
    folder = tmp_path_factory.mktemp("hostile")
    pieces = [hostile_piece(number, text) for number, text in enumerate(HOSTILE)]
    shared = make_facts("photos/a.jpg", folder / "blobs", size=(64, 80))
    facts = {}
    for piece, text in zip(pieces, HOSTILE, strict=True):
        for path in (*piece.photos, *piece.references):
            facts[path] = msgspec.structs.replace(shared, path=path, digest=path)
        (reference,) = piece.references
        facts[reference] = msgspec.structs.replace(facts[reference], rights=rights_saying(text, folder), public=())
        for path in piece.stencils:
            facts[path] = msgspec.structs.replace(paper_facts(path), screen=shared.screen, print_copy=shared.screen[0])
    clients = {text: Saying(text).record(model.Client(code="C")) for text in HOSTILE}
    inks = {text: Saying(text).record(model.InkBatch(batch="B")) for text in HOSTILE}
    given = make_catalogue(folder, *pieces, facts_of=paper_facts, clients=clients, inks=inks)
    return dataclasses.replace(given, facts=facts)


def test_there_are_two_hundred_and_each_is_another():
    assert len(HOSTILE) == len(set(HOSTILE)) == 200


def test_every_field_of_a_file_was_made_hostile(catalogue):
    said = catalogue.facts["pieces/2026-01-01-piece-0/references/a.jpg"].rights
    # Whether something is damaged is no text.
    assert all(getattr(said, field) for field in EmbeddedRights.__struct_fields__ if field != "is_damaged")


# What none of our pages has.
ALIVE = (
    "main iframe, main object, main form, main style, main script, main base, main meta, main template, [onload], "
    '[onerror], [ontoggle], [href^="javascript:" i]'
)
# Reads a page as the browser does, without running it; counts what would run, load or lead elsewhere.
READ = f"""texts => texts.map(text => {{
    const page = new DOMParser().parseFromString(text, "text/html");
    const runs = [...page.querySelectorAll("*")].filter(one =>
        (one.localName === "script" && !one.src && one.type !== "application/ld+json")
        || one.getAttributeNames().some(name => name.startsWith("on")
            || /^[\\s\\0-\\x20]*(javascript|vbscript|data:text)/i.test(one.getAttribute(name))
               && ["href", "src", "action", "formaction", "srcdoc", "xlink:href"].includes(name)
            || name === "src" && /^\\s*(https?:)?[/][/]/i.test(one.getAttribute(name))));
    return runs.length + page.querySelectorAll('{ALIVE}').length;
}})"""


def read_all(browser, folder):
    """Let the browser read every page and give those in which a text became something that is alive."""
    context = browser.new_context()
    page = context.new_page()
    paths = sorted(folder.rglob("*.html"))
    counts = page.evaluate(READ, [path.read_text("utf-8") for path in paths])
    context.close()
    return [path.name for path, count in zip(paths, counts, strict=True) if count]


def visit_all(browser, folder, pages):
    """Open pages one after the other and give whatever happened that is not showing text."""
    context = browser.new_context(reduced_motion="reduce", viewport={"width": 640, "height": 480})
    page, happened = context.new_page(), []
    page.on("dialog", lambda dialog: (happened.append(f"dialogue: {dialog.message}"), dialog.dismiss()))
    page.on("console", lambda message: happened.append(f"{page.url} said: {message.text}"))
    page.on("pageerror", lambda error: happened.append(f"{page.url} failed: {error}"))
    page.on("request", lambda request: request.url.startswith(("file:", "data:")) or happened.append(request.url))
    for path in pages:
        address = (folder / path).as_uri()
        page.goto(address)
        found = page.evaluate(f"() => [window.hit, location.href, document.querySelectorAll('{ALIVE}').length]")
        if found != [None, address, 0]:
            happened.append(f"{path}: {found}")
    context.close()
    return happened


def chosen(folder):
    """Give the pages to be opened: all lists, which hold every text, a quarter of the pieces, some of the others.

    All are read by `read_all`.
    """
    pages = sorted(path.relative_to(folder) for path in folder.rglob("*.html"))
    pieces = [page for page in pages if page.parts[0] == "pieces"]
    assert len(pieces) > 100
    others = [page for page in pages if len(page.parts) > 1 and page not in pieces]
    return pieces[::4] + [page for page in pages if len(page.parts) == 1] + others[::20]


@pytest.mark.browser
@pytest.mark.parametrize(
    "markup", ["<script>window.hit=1</script>", "<img src=x onerror=0>", "<img src=http://127.0.0.1:9>"]
)
def test_the_visit_notices_what_is_alive(browser, tmp_path, markup):
    (tmp_path / "index.html").write_text(f"<!doctype html><title>x</title><main>{markup}</main>", "utf-8")
    assert visit_all(browser, tmp_path, ["index.html"]) != []
    assert read_all(browser, tmp_path) == ["index.html"]


@pytest.mark.browser
@pytest.mark.parametrize(
    ("markup", "is_alive"),
    [
        ("<a href=' JavaScript:hit=1'>x</a>", True),
        ("<a href='java&#x0a;script:hit=1' onfocus=1>x</a>", True),
        ("<svg onload=hit=1>", True),
        ("<p title='&quot; onclick=&quot;x'>&lt;script&gt;</p><script src='own.js'></script>", False),
        ("<!-- --!><img src=//evil.example/x>", True),
        ("<a href='https://example.org/?javascript:'>javascript:</a>", False),
    ],
)
def test_a_page_is_read_as_the_browser_reads_it(browser, tmp_path, markup, is_alive):
    (tmp_path / "a.html").write_text(f"<!doctype html><title>x</title><body>{markup}", "utf-8")
    assert bool(read_all(browser, tmp_path)) == is_alive


@pytest.mark.browser
@pytest.mark.slow
def test_the_archive_only_shows_it(catalogue, browser, tmp_path):
    folder = write_site(ArchiveSite(survey(catalogue), catalogue.config.root / "blobs", ".."), tmp_path / "archive")
    assert read_all(browser, folder) == []
    assert visit_all(browser, folder, chosen(folder)) == []


@pytest.mark.browser
@pytest.mark.slow
def test_the_portfolio_only_shows_it(catalogue, browser, tmp_path):
    settings = {"url": None, "creator": HOSTILE[1], "artist": HOSTILE[9], "title": HOSTILE[0]}
    portfolio = dataclasses.replace(catalogue.config.portfolio, **settings)
    given = dataclasses.replace(catalogue, config=dataclasses.replace(catalogue.config, portfolio=portfolio))
    folder = write_portfolio(given, tmp_path)
    assert read_all(browser, folder) == []
    assert visit_all(browser, folder, chosen(folder)) == []


def test_what_a_file_says_never_reaches_a_public_page(tmp_path):
    said = EmbeddedRights(
        **{
            field: ("Zqembedded",) if field in {"creators", "people", "licensors", "constraints"} else "Zqembedded"
            for field in EmbeddedRights.__struct_fields__
            if field not in {"is_damaged", "copyright_owners", "artwork_creators"}
        }
    )
    piece = make_piece()
    given = make_catalogue(tmp_path, piece)
    facts = {p: msgspec.structs.replace(f, rights=said) if "/references/" in p else f for p, f in given.facts.items()}
    decided = msgspec.structs.replace(
        piece.record.reference[0], likeness=model.Likeness.NONE, ai_terms="x", ai_system="M"
    )
    piece = msgspec.structs.replace(piece, record=msgspec.structs.replace(piece.record, reference=(decided,)))
    folder = write_portfolio(dataclasses.replace(given, pieces=(piece,), facts=facts), tmp_path / "out")
    assert (folder / "pieces/barn-owl.html").is_file()
    assert not [path for path in folder.rglob("*") if path.is_file() and b"zqembedded" in path.read_bytes().lower()]


# What a PDF can do rather than show (ISO 32000-1, 12.6.4).
ACTIVE = {
    "/JavaScript",
    "/JS",
    "/Launch",
    "/URI",
    "/OpenAction",
    "/AA",
    "/EmbeddedFile",
    "/SubmitForm",
    "/GoToR",
    "/RichMedia",
}


def keys_of(content):
    with pikepdf.open(io.BytesIO(content)) as pdf:
        for item in pdf.objects:
            if isinstance(item, pikepdf.Dictionary | pikepdf.Stream):
                yield from (str(key) for key in item.keys())  # noqa: SIM118
                yield from (str(item[key]) for key in ("/S", "/Type") if key in item)


@pytest.mark.slow
def test_case_sheets_only_print_it(catalogue):
    """Every string on one sheet, in every column of its tables."""
    whole = [piece.record for piece in catalogue.pieces]
    record = msgspec.structs.replace(
        whole[0],
        **{
            field: tuple(item for one in whole for item in getattr(one, field))
            for field in ("sitting", "healing", "needle", "ink", "reference")
        },
    )
    piece = msgspec.structs.replace(catalogue.pieces[0], record=record, notes="\n\n".join(HOSTILE))
    surveyed = survey(dataclasses.replace(catalogue, pieces=(piece,)))
    sheet = case_sheet(surveyed.overviews[piece.id], record, surveyed)
    content = Press(catalogue.config.root / "blobs").make(sheet)
    assert content.startswith(b"%PDF-")
    assert ACTIVE.isdisjoint(keys_of(content))


@pytest.mark.parametrize("number", range(0, len(HOSTILE), 20))
def test_a_recall_list_only_prints_it(catalogue, number):
    book = BatchBook(catalogue)
    found = trace(book, HOSTILE[number])
    assert found.matches
    content = trace_pdf(trace_list(found, book, with_names=True), catalogue)
    assert ACTIVE.isdisjoint(keys_of(content))
