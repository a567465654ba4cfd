"""What machines read of the portfolio, by programs of others: feed, linked data, languages, site map, robots."""

from dataclasses import replace
from urllib.parse import urljoin, urlsplit

import feedparser
import langcodes
import pytest
from lxml import etree
from protego import Protego
from pyld import jsonld

from tests.builders import make_catalogue, make_piece, make_record
from tests.portfolio_pages import json_ld, parsed, write_portfolio

URL = "https://example.org"
RIGHTS = {
    "creator": "Sample Artist",
    "copyright": "© Sample Artist",
    "credit": "By Sample Artist",
    "rights_url": f"{URL}/about.html",
    "licensor_url": f"{URL}/booking.html",
}
SCHEMA = "https://schema.org/"
# Of schema.org's own context what is used here: every word is one of its own, and these hold addresses.
ADDRESSES = ("url", "contentUrl", "license", "acquireLicensePage")
CONTEXT = {"@vocab": SCHEMA, **{word: {"@type": "@id"} for word in ADDRESSES}}


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    folder = tmp_path_factory.mktemp("site")
    moth = make_piece("2025-01-02-moth", make_record(title="Moth & <moon>"))
    catalogue = make_catalogue(folder, make_piece(), moth)
    settings = replace(
        catalogue.config.portfolio, **RIGHTS, town="Vessholm", languages=("en", "de"), model_training=False
    )
    config = replace(catalogue.config, portfolio=settings)
    return write_portfolio(replace(catalogue, config=config), folder / "out")


def local(site, address):
    """Give the file of an address; there must be one."""
    parts = urlsplit(address)
    assert f"{parts.scheme}://{parts.netloc}" == URL
    path = site / f"{parts.path.lstrip('/')}{'index.html' * parts.path.endswith('/')}"
    assert path.is_file(), address
    return path


@pytest.mark.parametrize("page", ["feed.xml", "de/feed.xml"])
def test_a_feed_reader_finds_every_piece_with_its_picture_and_month(site, page):
    feed = feedparser.parse((site / page).read_bytes())
    assert not feed.bozo, feed.get("bozo_exception")
    assert feed.version == "atom10"
    assert {entry.title for entry in feed.entries} == {"Barn owl", "Moth & <moon>"}
    assert len({entry.id for entry in feed.entries}) == len(feed.entries)
    for entry in feed.entries:
        assert entry.updated_parsed[:3] == (2026, 3, 1)
        local(site, entry.link)
        (enclosed,) = entry.enclosures
        assert enclosed.type == "image/webp"
        assert local(site, enclosed.href).read_bytes()[8:12] == b"WEBP"
        assert enclosed.href in entry.content[0].value


def expanded(page):
    def load(address, _options):
        assert address.rstrip("/") == SCHEMA.rstrip("/"), "nothing is fetched"
        return {"contextUrl": None, "documentUrl": address, "document": {"@context": CONTEXT}}

    (found,) = jsonld.expand(json_ld(page), {"documentLoader": load})
    return found


def only(node, word):
    (value,) = node[SCHEMA + word]
    return value


@pytest.mark.parametrize("folder", ["", "de/"])
def test_a_piece_is_an_artwork_whose_photos_say_under_what_terms_they_may_be_had(site, folder):
    piece = expanded(site / f"{folder}pieces/barn-owl.html")
    assert piece["@type"] == [f"{SCHEMA}VisualArtwork"]
    assert local(site, only(piece, "url")["@id"]) == site / f"{folder}pieces/barn-owl.html"
    assert only(only(piece, "width"), "unitCode")["@value"] == "MMT"
    for photo in piece[f"{SCHEMA}image"]:
        assert photo["@type"] == [f"{SCHEMA}ImageObject"]
        assert only(photo, "license")["@id"] == RIGHTS["rights_url"]
        assert only(photo, "acquireLicensePage")["@id"] == RIGHTS["licensor_url"]
        assert only(only(photo, "creator"), "name")["@value"] == RIGHTS["creator"]
        local(site, only(photo, "contentUrl")["@id"])


def test_the_site_is_about_a_studio_in_a_town(site):
    """schema.org: TattooParlor is a HealthAndBeautyBusiness, which is a LocalBusiness."""
    home = expanded(site / "index.html")
    assert home["@type"] == [f"{SCHEMA}WebSite"]
    studio = only(home, "about")
    assert studio["@type"] == [f"{SCHEMA}TattooParlor"]
    assert only(only(studio, "address"), "addressLocality")["@value"] == "Vessholm"
    local(site, only(studio, "url")["@id"])


def test_every_language_is_a_valid_tag_in_its_usual_form(site):
    """BCP 47."""
    found = set()
    for path in site.rglob("*.html"):
        for element in parsed(path).iter():
            found |= {element.get(name) for name in ("lang", "hreflang")} - {None, "x-default"}
    assert found == {"en", "de"}
    for tag in found:
        assert langcodes.tag_is_valid(tag)
        assert langcodes.standardize_tag(tag) == tag


# sitemaps.org 0.9, its image extension 1.1 and links to other languages, in our own words.
SITE_MAP = """
<element name="urlset" ns="http://www.sitemaps.org/schemas/sitemap/0.9" xmlns="http://relaxng.org/ns/structure/1.0"
 datatypeLibrary="http://www.w3.org/2001/XMLSchema-datatypes">
 <oneOrMore><element name="url">
  <element name="loc"><data type="anyURI"><param name="maxLength">2048</param><param name="pattern">https?://.+</param></data></element>
  <zeroOrMore><element name="link" ns="http://www.w3.org/1999/xhtml">
   <attribute name="rel" ns=""><value>alternate</value></attribute>
   <attribute name="hreflang" ns=""><data type="language"/></attribute>
   <attribute name="href" ns=""><data type="anyURI"/></attribute>
  </element></zeroOrMore>
  <zeroOrMore><element name="image" ns="http://www.google.com/schemas/sitemap-image/1.1">
   <element name="loc"><data type="anyURI"/></element>
  </element></zeroOrMore>
 </element></oneOrMore>
</element>"""


def test_the_site_map_has_the_shape_of_one_and_names_what_is_there(site):
    shape = etree.RelaxNG(etree.fromstring(SITE_MAP))
    root = etree.fromstring((site / "sitemap.xml").read_bytes())
    assert shape.validate(root), shape.error_log
    for loc in root.iter("{*}loc"):
        local(site, loc.text)
    for link in root.iter("{http://www.w3.org/1999/xhtml}link"):
        local(site, link.get("href"))


def test_robots_may_read_everything_but_those_who_gather_for_trained_models(site):
    """RFC 9309."""
    rules = Protego.parse((site / "robots.txt").read_text())
    assert list(rules.sitemaps) == [f"{URL}/sitemap.xml"]
    for page in ("/", "/pieces/barn-owl.html", "/img/barn-owl-1-800.webp"):
        assert rules.can_fetch(urljoin(URL, page), "SomeSearch/1.0")
        assert not rules.can_fetch(urljoin(URL, page), "GPTBot")
