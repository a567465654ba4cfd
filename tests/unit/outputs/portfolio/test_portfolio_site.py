"""The public portfolio: its files, links and data."""

import base64
import dataclasses
import datetime as dt
import hashlib
import json
import os
import urllib.parse
from pathlib import Path
from urllib.robotparser import RobotFileParser
from xml.etree import ElementTree as ET

import html5lib
import msgspec
import pypdfium2 as pdfium
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from archgen.config import Config, PortfolioSettings
from archgen.languages.language import language
from archgen.leaks.find import find_leaks
from archgen.leaks.values.exact import PrivateValue
from archgen.leaks.values.spellings import Way
from archgen.outputs.artifact import Artifact
from archgen.outputs.portfolio.data import FEED_PIECES, atom_feed, piece_json_ld, site_map
from archgen.outputs.portfolio.layout import Layout
from archgen.outputs.portfolio.pages.maker import WORKS_PER_PAGE
from archgen.outputs.portfolio.site import PortfolioSite
from archgen.outputs.portfolio.theme import portfolio_theme, theme_folders
from archgen.outputs.public_pictures import PublicPictures
from archgen.picture_facts.facts import Derivative
from archgen.publication.public_catalogue import PublicCatalogue, PublicPhoto, PublicPiece
from archgen.records import model
from archgen.wording.portfolio import (
    LetterAbout,
    first_sentence,
    heading_and_rest,
    letter_address,
    mail_address,
    photo_words,
    questions_in,
)
from tests.builders import make_catalogue, make_piece, make_record
from tests.portfolio_pages import json_ld, parsed, write_portfolio

ATOM = "{http://www.w3.org/2005/Atom}"
IMAGES = "{http://www.google.com/schemas/sitemap-image/1.1}"
THEMES = tuple(theme_folders())


def with_settings(catalogue, **changes):
    settings = dataclasses.replace(catalogue.config.portfolio, **changes)
    return dataclasses.replace(catalogue, config=dataclasses.replace(catalogue.config, portfolio=settings))


def xml(content):
    return ET.fromstring(content)  # noqa: S314 (made by this program)


@pytest.fixture(scope="module")
def catalogue(tmp_path_factory):
    moth = make_record(title="Luna moth", styles=("line",), finished=dt.date(2025, 1, 2))
    hidden = make_record(title="Hidden", publish=False, styles=("secret style",))
    pieces = (make_piece(), make_piece("2025-01-02-moth", moth), make_piece("2024-01-01-hidden", hidden))
    return make_catalogue(tmp_path_factory.mktemp("archive"), *pieces)


@pytest.fixture(scope="module", params=THEMES)
def site(request, catalogue, tmp_path_factory):
    return write_portfolio(with_settings(catalogue, theme=request.param), tmp_path_factory.mktemp(request.param))


def test_a_portfolio_has_a_page_for_each_piece_style_and_text(site):
    pages = sorted(path.relative_to(site).as_posix() for path in site.rglob("*.html"))
    assert pages == [
        "404.html",
        "about.html",
        "booking.html",
        "care.html",
        "index.html",
        "pieces/barn-owl.html",
        "pieces/luna-moth.html",
        "styles/black-and-grey.html",
        "styles/line.html",
        "styles/micro-portrait.html",
    ]


def test_every_link_inside_the_site_is_relative_and_leads_somewhere(site):
    for page in site.rglob("*.html"):
        for element in parsed(page).iter():
            for name in ("href", "src"):
                address = element.get(name)
                if address is None or urllib.parse.urlsplit(address).scheme or address.startswith("#"):
                    continue
                assert not address.startswith("/")
                assert (page.parent / urllib.parse.unquote(address)).is_file(), f"{page}: {address}"


def test_every_picture_of_a_srcset_is_there(site):
    for page in site.rglob("*.html"):
        for image in parsed(page).iter("img"):
            for part in image.get("srcset").split(", "):
                assert (page.parent / urllib.parse.unquote(part.split(" ")[0])).is_file()


def test_no_page_holds_a_script_that_runs_in_it_a_style_or_a_handler(site):
    for page in site.rglob("*.html"):
        for element in parsed(page).iter():
            assert element.tag != "style" or page.name == "404.html"
            assert element.tag != "script" or element.get("type") == "application/ld+json" or not element.text
            assert not [name for name in element.attrib if name.startswith("on") or name == "style"]


def policies(page):
    return [m.get("content") for m in parsed(page).iter("meta") if m.get("http-equiv")]


def style_digest(page):
    """What a page's own style sheet is called in its policy."""
    (style,) = (element.text for element in parsed(page).iter("style"))
    return f"sha256-{base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()}"


def test_every_page_forbids_what_it_does_not_need(site):
    for page in site.rglob("*.html"):
        style = style_digest(page) if page.name == "404.html" else "self"
        script = "script-src 'self'; " if page.parent.name == "pieces" else ""
        assert policies(page) == [
            f"default-src 'none'; img-src 'self' data:; style-src '{style}'; {script}connect-src 'self'; "
            "manifest-src 'self'; base-uri 'none'; form-action 'none'"
        ]


def test_every_page_has_one_first_heading(site):
    for page in site.rglob("*.html"):
        assert len(list(parsed(page).iter("h1"))) == 1


def test_every_picture_has_words_and_its_size(site):
    for page in site.rglob("*.html"):
        for image in parsed(page).iter("img"):
            assert image.get("alt")
            assert int(image.get("width")) > 0
            assert int(image.get("height")) > 0


def test_the_first_picture_is_fetched_first_and_never_late(site):
    first = next(parsed(site / "index.html").iter("img"))
    assert first.get("fetchpriority") == "high"
    assert first.get("loading") is None


def test_a_piece_that_is_not_shown_leaves_no_word_anywhere(site):
    for path in site.rglob("*"):
        assert "hidden" not in path.name.lower()
        if path.is_file():
            content = path.read_bytes().lower()
            for usual in (b"aria-hidden", b"overflow: hidden", b"<source hidden"):
                content = content.replace(usual, b"")
            assert b"hidden" not in content


def test_credits_stand_beside_the_piece_with_their_links(site):
    page = parsed(site / "pieces/barn-owl.html")
    credit = next(p for p in page.iter("p") if p.get("class") == "credit")
    assert "".join(credit.itertext()) == (
        "Drawn from a reference by A. Sample, CC BY 4.0, changed: redrawn as a tattoo."
    )
    assert [a.get("href") for a in credit.iter("a")] == [
        "https://example.org/owl",
        "https://creativecommons.org/licenses/by/4.0/",
    ]


def test_a_piece_says_where_how_large_and_when(site):
    page = parsed(site / "pieces/barn-owl.html")
    facts = dict(
        zip(
            ("".join(e.itertext()) for e in page.iter("dt")),
            ("".join(e.itertext()) for e in page.iter("dd")),
            strict=True,
        )
    )
    assert facts["Where"] == "Outer forearm, left"
    assert facts["Size"] == "57 × 88 mm"
    assert facts["Made"] == "March 2026"


def test_a_story_is_markdown_and_raw_html_stays_text(tmp_path):
    piece = make_piece(story="*lines* <script>alert(1)</script>")
    page = write_portfolio(make_catalogue(tmp_path, piece), tmp_path / "out") / "pieces/barn-owl.html"
    assert "<em>lines</em> &lt;script&gt;" in page.read_text()


def test_an_own_page_is_described_by_its_first_paragraph(tmp_path):
    texts = {"booking": "# Booking\n\nThe book is *open*.", "care": "# Care"}
    site = write_portfolio(make_catalogue(tmp_path), tmp_path / "out", texts=texts)
    assert '<meta name="description" content="The book is open.">' in (site / "booking.html").read_text()
    assert 'name="description"' not in (site / "care.html").read_text()


def test_a_portfolio_without_pieces_is_still_a_site(tmp_path):
    catalogue = make_catalogue(tmp_path, model.Piece(id="broken", record=None))
    site = write_portfolio(catalogue, tmp_path / "out", texts={})
    assert "nothing to show yet" in (site / "index.html").read_text()
    assert not (site / "booking.html").exists()


def test_consent_is_claimed_only_where_releases_are_required(tmp_path):
    catalogue = with_settings(make_catalogue(tmp_path), require_release=False)
    assert "consent" not in (write_portfolio(catalogue, tmp_path / "out") / "index.html").read_text()


# schema.org: VisualArtwork, ImageObject, QuantitativeValue; MMT is the UN/CEFACT code of the millimetre.


def test_a_piece_is_described_for_machines(site):
    data = json_ld(site / "pieces/barn-owl.html")
    assert data["@type"] == "VisualArtwork"
    assert data["width"] == {"@type": "QuantitativeValue", "value": 57.0, "unitCode": "MMT"}
    assert data["dateCreated"] == "2026-03"
    assert [image["contentUrl"] for image in data["image"]] == [
        "https://example.org/img/barn-owl-1-800.webp",
        "https://example.org/img/barn-owl-2-800.webp",
    ]


def test_the_artists_rights_stand_in_the_data_only_when_set(tmp_path, site):
    set_to = {"creator": "Sample", "copyright": "© Sample", "credit": "By Sample", "rights_url": "https://e.org/r"}
    marked = write_portfolio(
        with_settings(make_catalogue(tmp_path), **set_to, licensor_url="https://e.org/l"), tmp_path / "out"
    )
    rights = {"creator", "copyrightNotice", "creditText", "license", "acquireLicensePage"}
    assert rights <= set(json_ld(marked / "pieces/barn-owl.html")["image"][0])
    assert not rights & set(json_ld(site / "pieces/barn-owl.html")["image"][0])


def test_a_studio_is_described_where_its_town_is_known(tmp_path, site):
    """schema.org: TattooParlor, a LocalBusiness, with a PostalAddress."""
    set_to = with_settings(make_catalogue(tmp_path), town="Vessholm", currency="EUR")
    studio = json_ld(write_portfolio(set_to, tmp_path / "out") / "index.html")["about"]
    assert studio["@type"] == "TattooParlor"
    assert studio["address"] == {"@type": "PostalAddress", "addressLocality": "Vessholm"}
    assert studio["currenciesAccepted"] == "EUR"
    assert "about" not in json_ld(site / "index.html")


def test_no_short_code_stands_by_chance_in_what_pages_are_made_of(site):
    codes = [f"{letter}{between}{digit}" for letter in "ABCDEFGHK" for between in ("-", "") for digit in range(10)]
    values = [PrivateValue("client code", code, way=Way.CODE) for code in codes]
    assert {(leak.file, leak.value) for leak in find_leaks(site, values) if leak.value} == set()


def test_a_picture_is_offered_as_avif_first_in_the_same_widths_and_the_same_size(site):
    (picture,) = (one for one in parsed(site / "index.html").iter("picture") if one.find("img").get("fetchpriority"))
    source, img = picture
    assert (source.get("type"), source.get("sizes")) == ("image/avif", img.get("sizes"))
    offered, usual = (
        [path.strip().removesuffix("w").split() for path in one.get("srcset").split(",")] for one in (source, img)
    )
    assert [width for _, width in offered] == [width for _, width in usual]
    for (path, width), (other, _) in zip(offered, usual, strict=True):
        assert path == other.replace(".webp", ".avif")
        with Image.open(site / path) as avif, Image.open(site / other) as webp:
            assert avif.size == webp.size
            assert avif.width == int(width)


def test_where_avif_saves_nothing_there_is_one_format(tmp_path):
    catalogue = make_catalogue(tmp_path)
    facts = {
        path: msgspec.structs.replace(one, public=tuple(copy for copy in one.public if not copy.is_avif))
        for path, one in catalogue.facts.items()
    }
    page = write_portfolio(dataclasses.replace(catalogue, facts=facts), tmp_path / "out") / "index.html"
    assert not list(parsed(page).iter("picture"))
    assert not list((tmp_path / "out/img").glob("*.avif"))


# Open Graph: og:title, og:type, og:image and og:url are required, addresses whole.


def test_a_page_passed_on_brings_its_picture(site):
    graph = {m.get("property"): m.get("content") for m in parsed(site / "pieces/barn-owl.html").iter("meta")}
    assert graph["og:title"].startswith("Barn owl")
    assert graph["og:url"] == "https://example.org/pieces/barn-owl.html"
    assert graph["og:image"] == "https://example.org/img/barn-owl-1-800.webp"


# RFC 4287: id, title and updated in feed and entries, an author, RFC 3339 dates.


def test_the_feed_has_what_atom_asks_for(site):
    feed = xml((site / "feed.xml").read_bytes())
    entries = feed.findall(f"{ATOM}entry")
    for element in (feed, *entries):
        assert all(element.findtext(f"{ATOM}{name}") for name in ("id", "title", "updated"))
    assert feed.findtext(f"{ATOM}author/{ATOM}name") == "Sample Artist"
    assert [entry.findtext(f"{ATOM}updated") for entry in entries] == ["2026-03-01T00:00:00Z", "2025-01-01T00:00:00Z"]


def test_the_feed_brings_the_first_photo_of_each_piece(site):
    entry = xml((site / "feed.xml").read_bytes()).find(f"{ATOM}entry")
    (enclosed,) = (link for link in entry.findall(f"{ATOM}link") if link.get("rel") == "enclosure")
    assert enclosed.get("href") == "https://example.org/img/barn-owl-1-800.webp"
    assert enclosed.get("type") == "image/webp"
    shown = html5lib.parseFragment(entry.findtext(f"{ATOM}content"), namespaceHTMLElements=False).find(".//img")
    assert shown.get("src") == enclosed.get("href")
    assert shown.get("alt")


def test_the_site_map_names_the_photos_of_a_piece_beside_its_page(site):
    """The image extension of site maps: one image:loc a photo, its largest copy."""
    pages = {page[0].text: [e.text for e in page.iter() if e.tag == f"{IMAGES}loc"]
             for page in xml((site / "sitemap.xml").read_bytes())}  # fmt: skip
    assert pages["https://example.org/pieces/barn-owl.html"] == [
        "https://example.org/img/barn-owl-1-800.webp",
        "https://example.org/img/barn-owl-2-800.webp",
    ]
    assert pages["https://example.org/"] == []


@pytest.mark.parametrize(("choice", "may_learn"), [(None, True), (True, True), (False, False)])
def test_who_gathers_for_trained_models_stays_away_where_the_artist_says_so(tmp_path, choice, may_learn):
    """RFC 9309, read by the standard library's parser."""
    robots = (
        write_portfolio(with_settings(make_catalogue(tmp_path), model_training=choice), tmp_path / "o") / "robots.txt"
    )
    rules = RobotFileParser()
    rules.parse(robots.read_text().splitlines())
    assert rules.can_fetch("GPTBot", "https://example.org/index.html") is may_learn
    assert rules.can_fetch("Googlebot", "https://example.org/index.html")
    assert rules.site_maps() == ["https://example.org/sitemap.xml"]


def test_the_artist_says_which_pieces_come_first(catalogue, tmp_path):
    ordered = with_settings(catalogue, order=("2025-01-02-moth", "gone"))
    folder = write_portfolio(ordered, tmp_path / "out")
    titles = [e.text for e in parsed(folder / "index.html").iter("cite")]
    assert titles == ["Luna moth", "Barn owl"]
    feed = xml((folder / "feed.xml").read_bytes())
    assert [entry.findtext(f"{ATOM}title") for entry in feed.findall(f"{ATOM}entry")] == ["Barn owl", "Luna moth"]


@pytest.mark.parametrize("theme", THEMES)
def test_the_first_page_says_where_and_from_when(tmp_path, theme):
    said = with_settings(make_catalogue(tmp_path), theme=theme, town="Vessholm", open_from="March", currency="EUR")
    folder = write_portfolio(said, tmp_path / "out")
    (here,) = (e for e in parsed(folder / "index.html").iter("p") if e.get("class") == "here")
    assert " ".join("".join(here.itertext()).split()) == "Vessholm. Next free dates: March. Prices in EUR."
    assert "Vessholm" not in (folder / "pieces/barn-owl.html").read_text()


def test_nobody_is_named_by_the_word_portfolio(tmp_path):
    folder = write_portfolio(with_settings(make_catalogue(tmp_path), title="Portfolio", artist=None), tmp_path / "out")
    assert "by Portfolio" not in (folder / "index.html").read_text()


@pytest.mark.parametrize(
    ("title", "shown"), [("Sample Artist, tattoos", "Sample Artist, tattoos"), ("Skin", "Sample Artist, Skin")]
)
def test_the_artists_name_stands_once_in_the_title(tmp_path, title, shown):
    folder = write_portfolio(with_settings(make_catalogue(tmp_path), title=title), tmp_path / "out")
    assert parsed(folder / "index.html").find(".//title").text == shown


def test_the_site_map_lists_every_page_but_the_wrong_address(site):
    addresses = [e.text for e in xml((site / "sitemap.xml").read_bytes()).iter() if e.tag.endswith("loc")]
    assert addresses[0] == "https://example.org/"
    assert "https://example.org/pieces/barn-owl.html" in addresses
    assert not [address for address in addresses if "404" in address]
    assert "Sitemap: https://example.org/sitemap.xml" in (site / "robots.txt").read_text()


def test_without_an_address_there_is_no_site_map_and_ids_stay_the_same(tmp_path):
    catalogue = with_settings(make_catalogue(tmp_path), url=None)
    one, two = (write_portfolio(catalogue, tmp_path / name) for name in ("one", "two"))
    assert not (one / "sitemap.xml").exists()
    assert (one / "feed.xml").read_bytes() == (two / "feed.xml").read_bytes()
    assert xml((one / "feed.xml").read_bytes()).findtext(f"{ATOM}id").startswith("urn:uuid:")


def test_the_page_for_a_wrong_address_finds_its_way_from_any_depth(site):
    links = [a.get("href") for a in parsed(site / "404.html").iter("a")]
    assert "https://example.org/index.html" in links


@pytest.mark.parametrize("theme", THEMES)
def test_the_page_for_a_wrong_address_looks_right_wherever_it_is_shown(tmp_path, theme):
    site = write_portfolio(with_settings(make_catalogue(tmp_path), theme=theme), tmp_path / "out")
    (style,) = (element.text for element in parsed(site / "404.html").iter("style"))
    addresses = [link.get("href") for link in parsed(site / "404.html").iter("link")]
    assert [address[:8] for address in addresses] == ["data:ima"]
    assert style == next(site.glob("assets/theme-*.css")).read_text()


def cleared(title="A", story=None, styles=("line",), alt="a", size=(800, 1000)):
    photo = PublicPhoto(alt, model.Stage.HEALED, 61, (Derivative(*size, "x.webp"),))
    piece = PublicPiece(
        slug="a",
        title=title,
        styles=styles,
        subjects=(title,),
        region=None,
        side=None,
        width_mm=None,
        height_mm=None,
        sittings=1,
        hours=None,
        year=2026,
        month=3,
        story=story,
        photos=(photo,),
        credits=(),
    )
    return piece, PublicCatalogue(PortfolioSettings(title=title, url="https://example.org"), "en", "mm", (piece,))


@given(st.text())
def test_any_text_keeps_the_data_script_closed(text):
    piece, catalogue = cleared(text, alt=text)
    script = str(piece_json_ld(piece, catalogue))
    assert not set("<>&") & set(script)
    assert json.loads(script).get("name", "") == text


@given(st.text(st.characters(codec="utf-8")))
def test_any_text_keeps_the_feed_well_formed(text):
    _, catalogue = cleared(text, story=text, styles=(text,))
    xml(atom_feed(catalogue))
    xml(site_map(catalogue, [f"pieces/{text}.html"]))


def shapes(pieces):
    return "".join("W" if p.photos[0].copies[0].width > p.photos[0].copies[0].height else "T" for p in pieces)


@given(st.text("TW", max_size=12), st.booleans())
def test_no_row_stays_open_before_a_wide_picture(wanted, first_is_large):
    pieces = [cleared(size=(1000, 800) if shape == "W" else (800, 1000))[0] for shape in wanted]
    layout = Layout(first_is_large, columns=4, notice_columns=2, wide_from=1.1)
    ordered = layout.close_rows(pieces)
    assert sorted(map(id, ordered)) == sorted(map(id, pieces))
    rows = shapes(ordered[first_is_large:])
    assert all(rows[:place].count("T") % 2 == 0 for place, shape in enumerate(rows) if shape == "W")


def test_a_layout_counts_in_the_columns_of_its_theme():
    tall = [cleared(size=(800, 1000))[0] for _ in range(8)]
    wide = cleared(size=(1000, 800))[0]
    layout = Layout(True, columns=6, notice_columns=3, wide_from=1.1)
    assert [layout.notice_place(tall), layout.notice_place([tall[0], wide, wide, *tall[:3]])] == [8, 6]
    assert layout.notice_place(tall[:6]) == 0
    # Without its neighbour an upright takes two columns.
    assert [layout.is_open(tall[:count]) for count in (1, 6, 7, 8)] == [True, False, False, True]
    assert [layout.is_open(tall[:count], with_notice=True) for count in (3, 4)] == [False, False]
    assert layout.is_open(tall[:5], with_notice=True)
    assert not dataclasses.replace(layout, wide_from=1.3).is_wide(wide)
    assert dataclasses.replace(layout, wide_from=1.2).is_wide(wide)


@pytest.mark.parametrize(
    ("days", "words"),
    [
        (0, "Healed, the same day"),
        (1, "Healed, one day later"),
        (14, "Healed, two weeks later"),
        (61, "Healed, two months later"),
        (800, "Healed, two years later"),
        (None, "Healed"),
    ],
)
def test_photos_say_how_long_after(days, words):
    assert photo_words(PublicPhoto("a", model.Stage.HEALED, days, ()), language("en")) == words


@pytest.mark.parametrize(
    ("text", "expected"),
    [("# Hours\n\nBy post.", ("Hours", "By post.")), ("By post.", ("About", "By post.")), ("#", ("About", "#"))],
)
def test_a_text_may_bring_its_heading(text, expected):
    heading, rest = heading_and_rest(text, "About")
    assert (heading, rest.strip()) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("# Booking\n\nBooks are **open** for March. Write.", "Books are open for March."),
        ("- a list\n\n[Write](mailto:a@example.org) to me", "Write to me"),
        ("x" * 80, ""),
        ("", ""),
    ],
)
def test_the_notice_is_the_first_short_sentence(text, expected):
    assert first_sentence(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Write to [me](mailto:a.b@example.org).", "a.b@example.org"),
        ("<a@example.org>", "a@example.org"),
        ("a@b or [x](mailto:<b>@example.org)", None),
    ],
)
def test_the_address_to_write_to_is_the_first_one_linked(text, expected):
    assert mail_address(text) == expected


@pytest.mark.parametrize(
    ("text", "questions"),
    [
        (
            "Write to <a@example.org> with:\n\n- *where*\n- how large,\n  in cm\n\nThen:\n\n- no question",
            ("where", "how large, in cm"),
        ),
        ("# Booking\n[Mail](mailto:a@example.org):\n1. where\n2. when", ("where", "when")),
        ("- before the address\n\n<a@example.org>\n\nNo list follows.", ()),
        ("- where\n- when", ()),
    ],
)
def test_what_a_text_asks_for_is_the_list_below_its_address(text, questions):
    assert questions_in(text) == questions


def letter(address):
    """Read a mailto address (RFC 6068): to whom, and the fields."""
    parts = urllib.parse.urlsplit(address)
    assert parts.scheme == "mailto"
    assert "+" not in parts.query  # a plus is a plus in such an address, no space
    return parts.path, {name: text for name, (text,) in urllib.parse.parse_qs(parts.query).items()}


OWL = LetterAbout("Owl & moth", "https://e.org/o.html")


def test_a_letter_brings_the_piece_and_the_artists_questions():
    to, fields = letter(
        letter_address(
            "a@example.org", LetterAbout("Owl & moth", "https://e.org/o.html"), ("where", "how large:"), language("en")
        )
    )
    assert to == "a@example.org"
    assert fields["subject"] == "“Owl & moth”"
    assert "“Owl & moth” (https://e.org/o.html)" in fields["body"]
    assert "– Where:\r\n\r\n– How large:\r\n" in fields["body"]
    assert "\n" not in fields["body"].replace("\r\n", "")


def test_a_letter_too_long_for_a_mail_program_keeps_its_subject():
    _, fields = letter(letter_address("a@example.org", LetterAbout("Owl"), ("x" * 3000,), language("en")))
    assert fields == {"subject": "“Owl”"}


def test_a_pieces_page_opens_a_letter_about_it(site):
    buttons = [a for a in parsed(site / "pieces/barn-owl.html").iter("a") if a.get("class") == "btn"]
    to, fields = letter(buttons[0].get("href"))
    assert to == "booking@example.org"
    assert "https://example.org/pieces/barn-owl.html" in fields["body"]


def test_without_a_mail_address_the_button_leads_to_the_artists_own_page(tmp_path):
    folder = write_portfolio(make_catalogue(tmp_path), tmp_path / "out", {"about": "# About\nRing me."})
    (button,) = (a for a in parsed(folder / "pieces/barn-owl.html").iter("a") if a.get("class") == "btn")
    assert button.get("href") == "../about.html"


def test_a_photo_is_a_link_to_its_largest_copy(site):
    (first, *_) = parsed(site / "pieces/barn-owl.html").iter("figure")
    assert first[0].tag == "a"
    assert first[0].get("href") == "../img/barn-owl-1-800.webp"


@pytest.mark.parametrize(("units", "paper"), [("mm", (595, 842)), ("in", (612, 792))])
def test_care_comes_on_one_page_to_take_home(tmp_path, units, paper):
    """ISO 216 A4 and US Letter in points; the words read back by pdfium."""
    catalogue = make_catalogue(tmp_path)
    archive = dataclasses.replace(catalogue.config.archive, units=units)
    catalogue = dataclasses.replace(catalogue, config=dataclasses.replace(catalogue.config, archive=archive))
    folder = write_portfolio(catalogue, tmp_path / "out", {"care": "# The first weeks\n\n1. Wash it.\n2. *Wait.*"})
    with pdfium.PdfDocument(folder / "care.pdf") as document:
        assert len(document) == 1
        assert tuple(map(round, document[0].get_size())) == paper
        words = " ".join(document[0].get_textpage().get_text_range().split())
    assert words.startswith("The first weeks 1. Wash it. 2. Wait.")
    assert "see a doctor" in words
    assert "../care.pdf" not in (folder / "care.html").read_text()
    assert 'href="care.pdf"' in (folder / "care.html").read_text()


def test_long_words_about_care_are_set_smaller_before_they_take_a_second_page(tmp_path):
    row = "{}. Wash it with lukewarm water and clean hands, and pat it dry with fresh paper."
    heights = []
    for count in (1, 22, 32):
        text = "\n".join(row.format(number) for number in range(1, count + 1))
        folder = write_portfolio(make_catalogue(tmp_path), tmp_path / str(count), {"care": text})
        with pdfium.PdfDocument(folder / "care.pdf") as document:
            assert len(document) == 1
            words = document[0].get_textpage()
            _, bottom, _, top = words.get_charbox(words.get_text_range().index("Wash"))
            heights.append(top - bottom)
    assert heights[0] > heights[1] > heights[2]


def test_without_words_about_care_there_is_no_page_of_it(tmp_path):
    assert not (write_portfolio(make_catalogue(tmp_path), tmp_path / "out", {}) / "care.pdf").exists()


def test_two_builds_plan_the_same_files(tmp_path):
    catalogue = make_catalogue(tmp_path)
    plans = [[(a.path, a.key) for a in PortfolioSite(*_parts(catalogue)).artifacts()] for _ in range(2)]
    assert plans[0] == plans[1]


def _parts(catalogue):
    from archgen.publication.public_catalogue import make_public_catalogue

    theme = portfolio_theme(catalogue.config)
    cleared = make_public_catalogue(catalogue)
    return cleared, PublicPictures(cleared, catalogue.config.root / "blobs"), {}, theme


@pytest.mark.parametrize("title", ["Con", "nul", "COM¹", "Lpt9"])
def test_no_title_gives_a_name_that_a_system_cannot_hold(tmp_path, title):
    """Windows opens a device by these names, whatever their ending (Microsoft, Naming Files, Paths, and Namespaces)."""
    folder = write_portfolio(make_catalogue(tmp_path, make_piece(record=make_record(title=title))), tmp_path / "out")
    (page,) = (folder / "pieces").iterdir()
    assert page.stem == {"Con": "con-1", "nul": "nul-1", "COM¹": "com1-1", "Lpt9": "lpt9-1"}[title]


def test_titles_in_other_scripts_have_an_address(tmp_path):
    piece = make_piece(record=make_record(title="夜の蛾"))
    site = write_portfolio(make_catalogue(tmp_path, piece, config=Config(root=tmp_path)), tmp_path / "out")
    assert (site / "pieces/夜の蛾.html").is_file()
    assert "pieces/%E5%A4%9C%E3%81%AE%E8%9B%BE.html" in (site / "index.html").read_text()


def large_site(count, theme="plate", styles=("Fine line",)):
    """Plan the pages of so many pieces, the newest first, without their pictures."""
    one, catalogue = cleared()
    pieces = tuple(
        dataclasses.replace(one, slug=f"p-{number}", title=f"Piece {number}", styles=styles) for number in range(count)
    )
    looks = portfolio_theme(Config(root=Path(), portfolio=PortfolioSettings(theme=theme)))
    site = PortfolioSite(dataclasses.replace(catalogue, pieces=pieces), _NoPictures(), {}, looks)
    return {artifact.path: artifact for artifact in site.artifacts()}


class _NoPictures:
    def artifact(self, _copy, path):
        return Artifact(path, make=lambda: b"")

    def mark(self):
        return None


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("first", ["index.html", "styles/fine-line.html"])
def test_many_works_go_over_pages_that_lead_to_each_other(theme, first):
    site = large_site(2 * WORKS_PER_PAGE + 1, theme)
    shown, path, numbers = [], first, []
    while path:
        page = html5lib.parse(site[path].make(), namespaceHTMLElements=False)
        here = [link for link in page.iter("a") if link.get("rel") == "next"]
        works = [link for item in page.iter("li") if "work" in item.get("class", "").split() for link in item.iter("a")]
        assert len(works) <= WORKS_PER_PAGE
        shown += [Path(link.get("href")).stem for link in works]
        numbers += [item.text for item in page.iter("span") if item.get("class") == "no"]
        path = os.path.normpath(Path(path).parent / here[0].get("href")) if here else None
    assert sorted(shown) == sorted(f"p-{number}" for number in range(2 * WORKS_PER_PAGE + 1))
    assert numbers == [str(number) for number in range(1, 2 * WORKS_PER_PAGE + 2)]


def test_a_later_page_says_so_and_has_its_own_address():
    site = large_site(WORKS_PER_PAGE + 1)
    page = html5lib.parse(site["work/2.html"].make(), namespaceHTMLElements=False)
    assert page.findtext("head/title").endswith(", page 2")
    addresses = {link.get("rel"): link.get("href") for link in page.iter("link")}
    assert addresses["canonical"] == "https://example.org/work/2.html"
    current = {link.get("aria-current"): link.text for link in page.find("body/header/nav").iter("a")}
    assert current["true"] == "All work"
    assert b"https://example.org/work/2.html" in site["sitemap.xml"].make()
    assert [link.get("href") for link in page.iter("a") if link.get("rel") == "prev"] == ["../index.html"]


def test_few_works_need_no_other_page():
    site = large_site(WORKS_PER_PAGE)
    assert "work/2.html" not in site
    assert b'class="pages"' not in site["index.html"].make()


def test_a_feed_brings_the_newest_alone():
    titles = [e.text for e in xml(large_site(FEED_PIECES + 5)["feed.xml"].make()).iter(f"{ATOM}title")]
    assert titles[1:] == [f"Piece {number}" for number in range(FEED_PIECES)]
