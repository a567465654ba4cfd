"""The portfolio in several languages: addresses, fallbacks word by word, what machines read."""

import dataclasses
import urllib.parse
from xml.etree import ElementTree as ET

import pypdfium2 as pdfium
import pytest

from archgen.config import SettingsInLanguage
from archgen.outputs.portfolio.editions import editions, titles_of
from archgen.outputs.portfolio.layout import Layout, Sizes
from archgen.outputs.portfolio.theme import theme_folders
from archgen.outputs.portfolio.views import PortfolioViews
from archgen.publication.public_catalogue import all_paths, make_public_catalogue
from archgen.records import model
from tests.builders import make_catalogue, make_piece, make_record
from tests.portfolio_pages import TEXTS, json_ld, parsed, write_portfolio

ATOM = "{http://www.w3.org/2005/Atom}"
LANG = "{http://www.w3.org/XML/1998/namespace}lang"
GERMAN = SettingsInLanguage("de", title="Muster, Tattoos", description="Zeichnungen für die Haut.")
# Sample of the Arabic Wikipedia's everyday words; from memory.
ARABIC = "# بومة\n\nوشم صغير على الذراع."


def speaking(root, *, url="https://example.org", theme="plate", languages=("en", "de", "ar", "pt-BR")):
    """An archive with one piece told in German and Arabic, and one in no other language."""
    stories = (
        model.OtherStory(language="DE", story="# Schleiereule\n\nEine Eule im Flug."),
        model.OtherStory(language="ar", story=ARABIC),
        model.OtherStory(language="fr", story="# Chouette\n\nNon demandé."),
    )
    odd = make_record(
        title="Con",
        styles=("my own way",),
        photo=(model.Photo(file="photos/owl-healed.jpg", stage=model.Stage.HEALED),),
    )
    pieces = (
        make_piece(story="An owl in flight.", stories=stories),
        make_piece("2025-01-02-con", odd, story="Nothing else."),
    )
    catalogue = make_catalogue(root, *pieces)
    settings = dataclasses.replace(
        catalogue.config.portfolio,
        url=url,
        theme=theme,
        languages=languages,
        in_languages=(GERMAN,),
        open_from="February 2027",
        currency="EUR",
        town="Vessholm",
        description="Drawings for skin.",
    )
    return dataclasses.replace(catalogue, config=dataclasses.replace(catalogue.config, portfolio=settings))


TEXTS_IN_GERMAN = {
    "booking.de": "# Termine\n\nIch habe im März Platz. Schreib mir.\n\n<termine@example.org>\n\n- Körperstelle",
    "care.DE": "# Pflege zu Hause\n\nWaschen. Warten.",
}


@pytest.fixture(scope="module", params=sorted(theme_folders()))
def site(request, tmp_path_factory):
    folder = tmp_path_factory.mktemp(request.param)
    return write_portfolio(speaking(folder, theme=request.param), folder / "out", {**TEXTS, **TEXTS_IN_GERMAN})


@pytest.fixture(scope="module")
def plate(tmp_path_factory):
    folder = tmp_path_factory.mktemp("archive")
    return write_portfolio(speaking(folder), folder / "out", {**TEXTS, **TEXTS_IN_GERMAN})


def words_of(element):
    return " ".join("".join(element.itertext()).split())


def said(page, *path):
    """The words of the element that the tags lead to, and what they are in where that is said."""
    element = page
    for tag in path:
        element = next(element.iter(tag))
    return words_of(element), element.get("lang")


def test_every_page_is_there_in_every_language_under_the_same_name(site):
    pages = {path.relative_to(site).as_posix() for path in site.rglob("*.html")} - {"404.html"}
    main = {page for page in pages if page.split("/")[0] not in ("de", "ar", "pt-br")}
    assert pages == {f"{folder}{page}" for folder in ("", "de/", "ar/", "pt-br/") for page in main}
    assert "pieces/con-1.html" in main


def test_every_link_and_picture_leads_to_something_from_disk_too(site):
    for page in site.rglob("*.html"):
        for element in parsed(page).iter():
            addresses = [element.get(name) for name in ("href", "src")]
            addresses += [part.split(" ")[0] for part in (element.get("srcset") or "").split(", ")]
            for address in filter(None, addresses):
                if urllib.parse.urlsplit(address).scheme or address.startswith("#"):
                    continue
                assert (page.parent / urllib.parse.unquote(address)).is_file(), f"{page}: {address}"


def test_a_page_leads_to_itself_in_the_other_languages(site):
    page = parsed(site / "de/pieces/barn-owl.html")
    (switch,) = (nav for nav in page.iter("nav") if nav.get("class") == "tongues")
    links = [
        (a.get("lang"), a.get("hreflang"), a.get("href"), words_of(a), a.get("aria-current")) for a in switch.iter("a")
    ]
    assert links == [
        ("en", "en", "../../pieces/barn-owl.html", "English", None),
        ("de", "de", "../../de/pieces/barn-owl.html", "Deutsch", "true"),
        ("ar", "ar", "../../ar/pieces/barn-owl.html", "العربية", None),
        ("pt-BR", "pt-BR", "../../pt-br/pieces/barn-owl.html", "Português", None),
    ]
    assert switch.get("aria-label") == "Sprache"


def test_search_engines_hear_of_every_language_and_of_the_one_for_all_others(site):
    for name in ("pieces/barn-owl.html", "de/pieces/barn-owl.html"):
        links = [link for link in parsed(site / name).iter("link") if link.get("hreflang")]
        assert [(link.get("hreflang"), link.get("href")) for link in links] == [
            ("en", "https://example.org/pieces/barn-owl.html"),
            ("x-default", "https://example.org/pieces/barn-owl.html"),
            ("de", "https://example.org/de/pieces/barn-owl.html"),
            ("ar", "https://example.org/ar/pieces/barn-owl.html"),
            ("pt-BR", "https://example.org/pt-br/pieces/barn-owl.html"),
        ]


def test_a_portfolio_in_one_language_speaks_of_no_other(tmp_path):
    site = write_portfolio(speaking(tmp_path, languages=("en",)), tmp_path / "out", {**TEXTS, **TEXTS_IN_GERMAN})
    home = (site / "index.html").read_text()
    assert "hreflang" not in home
    assert "tongues" not in home
    assert "xhtml" not in (site / "sitemap.xml").read_text()
    assert not (site / "de").exists()


def test_what_is_written_in_a_language_is_shown_and_the_rest_is_named_as_the_main_one(plate):
    owl, con = parsed(plate / "de/pieces/barn-owl.html"), parsed(plate / "de/pieces/con-1.html")
    assert [said(owl, "h1", "cite"), said(con, "h1", "cite")] == [("Schleiereule", None), ("Con", "en")]
    stories = [
        (words_of(e), e.get("lang")) for page in (owl, con) for e in page.iter("div") if e.get("class") == "prose"
    ]
    assert stories == [("Eine Eule im Flug.", None), ("Nothing else.", "en")]
    assert said(parsed(plate / "de/booking.html"), "h1") == ("Termine", None)
    assert said(parsed(plate / "de/about.html"), "h1") == ("About", "en")
    assert said(parsed(plate / "de/index.html"), "h1") == ("Zeichnungen für die Haut.", None)
    assert said(parsed(plate / "ar/index.html"), "h1") == ("Drawings for skin.", "en")


def test_words_for_pictures_are_in_a_language_and_say_in_which(plate):
    owl, con = (parsed(plate / f"de/pieces/{name}.html") for name in ("barn-owl", "con-1"))
    assert [(image.get("alt"), image.get("lang")) for image in owl.iter("img")] == [
        ("Schleiereule, abgeheilt", None),
        ("Barn owl on an outer forearm, facing left", "en"),
    ]
    assert [(image.get("alt"), image.get("lang")) for image in con.iter("img")] == [("Con, abgeheilt", "en")]


def test_the_facts_of_a_piece_are_said_as_in_its_language(plate):
    facts = [
        (words_of(row[0]), words_of(row[1]))
        for row in parsed(plate / "de/pieces/barn-owl.html").iter("div")
        if len(row) == 2 and row[0].tag == "dt"
    ]
    assert facts == [
        ("Wo", "Unterarm außen, links"),
        ("Größe", "5,7 × 8,8 cm"),
        ("Dauer", "1 Sitzung, 3 Std. 30 Min."),
        ("Datum", "März 2026"),
        ("Stil", "Black and Grey, Mikroporträt"),
    ]


def test_a_style_without_a_word_in_a_language_is_said_as_the_artist_says_it(plate):
    page = parsed(plate / "de/pieces/con-1.html")
    links = [(words_of(a), a.get("lang")) for a in page.iter("a") if "styles/" in a.get("href")]
    assert set(links) >= {("My own way", "en"), ("Black and Grey", None)}
    assert said(parsed(plate / "de/styles/my-own-way.html"), "h1") == ("My own way", "en")
    assert said(parsed(plate / "de/styles/black-and-grey.html"), "h1") == ("Black and Grey", None)


def test_the_first_page_says_from_when_and_in_what_one_pays(plate):
    here = [
        [words_of(span) for span in e]
        for name in ("", "de/")
        for e in parsed(plate / name / "index.html").iter("p")
        if e.get("class") == "here"
    ]
    assert here[0] == ["Vessholm.", "Next free dates: February 2027.", "Prices in EUR."]
    assert here[1] == ["Vessholm.", "Nächste freie Termine: Februar 2027.", "Preise in Euro."]


def test_an_opening_that_is_no_month_is_named_as_the_main_language(tmp_path):
    catalogue = speaking(tmp_path)
    settings = dataclasses.replace(catalogue.config.portfolio, open_from="next spring")
    catalogue = dataclasses.replace(catalogue, config=dataclasses.replace(catalogue.config, portfolio=settings))
    home = (write_portfolio(catalogue, tmp_path / "out") / "de/index.html").read_text()
    assert 'Nächste freie Termine: <span lang="en">next spring</span>.' in home


def test_the_next_piece_is_named_in_the_language_of_its_title(plate):
    (turn,) = (nav for nav in parsed(plate / "de/pieces/barn-owl.html").iter("nav") if nav.get("class") == "turn")
    assert words_of(turn) == "Nächstes: Con"
    assert [span.get("lang") for span in turn.iter("span")] == [None, "en"]


def test_a_letter_is_begun_in_the_visitors_language(plate):
    page = parsed(plate / "de/pieces/barn-owl.html")
    (address,) = (a.get("href") for a in page.iter("a") if a.get("href").startswith("mailto:"))
    to, _, fields = address.removeprefix("mailto:").partition("?")
    fields = urllib.parse.parse_qs(fields)
    assert (to, fields["subject"]) == ("termine@example.org", ["„Schleiereule“"])
    assert fields["body"][0].replace("\r\n", "\n") == (
        "Hallo,\n\nich habe „Schleiereule“ (https://example.org/de/pieces/barn-owl.html) gesehen und würde gern ein "
        "Tattoo anfragen.\n\n– Körperstelle:\n\n"
    )


def test_right_to_left_is_said_where_it_is_so(plate):
    html = next(parsed(plate / "ar/pieces/barn-owl.html").iter("html"))
    assert (html.get("lang"), html.get("dir")) == ("ar", "rtl")
    assert said(html, "h1", "cite") == ("بومة", None)
    photos = [(image.get("lang"), image.get("dir")) for image in html.iter("img")]
    assert photos == [(None, None), ("en", "ltr")]
    heading = next(parsed(plate / "ar/index.html").iter("h1"))
    assert (heading.get("lang"), heading.get("dir")) == ("en", "ltr")
    assert next(parsed(plate / "de/index.html").iter("html")).get("dir") is None


def test_the_page_for_a_wrong_address_says_so_in_every_language(plate):
    page = parsed(plate / "404.html")
    assert [(words_of(h), h.get("lang")) for h in page.iter("h1")] == [("Not here", None)]
    others = [div for div in page.iter("div") if div.get("lang")]
    assert (others[0].get("lang"), words_of(others[0][0])) == ("de", "Nicht hier")
    assert [a.get("href") for a in others[0].iter("a")] == ["https://example.org/de/index.html"]


def test_the_page_to_take_home_is_in_the_language(plate):
    german, portuguese = (
        pdfium.PdfDocument(plate / folder / "care.pdf")[0].get_textpage().get_text_bounded()
        for folder in ("de", "pt-br")
    )
    assert "Pflege zu Hause" in german
    assert "kein ärztlicher Rat" in " ".join(german.split())
    assert "https://example.org/de/" in german
    assert "Wash it. Wait." in portuguese


def test_the_feed_of_a_language_is_its_own(plate):
    feeds = [ET.fromstring((plate / folder / "feed.xml").read_bytes()) for folder in ("", "de")]  # noqa: S314
    ids = [{entry.findtext(f"{ATOM}id") for entry in feed.iter(f"{ATOM}entry")} for feed in feeds]
    assert ids[0].isdisjoint(ids[1])
    assert feeds[0].findtext(f"{ATOM}id") != feeds[1].findtext(f"{ATOM}id")
    assert [feed.get(LANG) for feed in feeds] == ["en", "de"]
    titles = [(title.text, title.get(LANG)) for title in feeds[1].iterfind(f"{ATOM}entry/{ATOM}title")]
    assert titles == [("Schleiereule", None), ("Con", "en")]
    contents = [content.text for content in feeds[1].iterfind(f"{ATOM}entry/{ATOM}content")]
    assert [('<div lang="en">' in content, ' lang="en">' in content) for content in contents] == [
        (False, False),
        (True, True),
    ]
    links = [(link.get("rel"), link.get("href")) for link in feeds[1].iterfind(f"{ATOM}link")]
    assert links == [("alternate", "https://example.org/de/"), ("self", "https://example.org/de/feed.xml")]


def test_without_an_address_a_feed_leads_to_pages_and_pictures_all_the_same(tmp_path):
    site = write_portfolio(speaking(tmp_path, url=None), tmp_path / "out")
    feed = ET.fromstring((site / "de/feed.xml").read_bytes())  # noqa: S314
    for link in feed.iter(f"{ATOM}link"):
        assert (site / "de" / link.get("href")).is_file()
    home = (site / "de/index.html").read_text()
    assert 'rel="alternate" hreflang' not in home
    data = json_ld(site / "de/pieces/barn-owl.html")
    assert (site / "de/pieces" / data["image"][0]["contentUrl"]).is_file()


def test_machines_read_the_language_and_the_address_of_a_page(plate):
    home = json_ld(plate / "de/index.html")
    assert [home[key] for key in ("inLanguage", "url", "name")] == ["de", "https://example.org/de/", "Muster, Tattoos"]
    piece = json_ld(plate / "de/pieces/barn-owl.html")
    assert [piece["name"], piece["url"]] == ["Schleiereule", "https://example.org/de/pieces/barn-owl.html"]
    assert piece["image"][0]["caption"] == "Abgeheilt, 2 Monate später"
    kinds = {m.get("property"): m.get("content") for m in parsed(plate / "de/index.html").iter("meta")}
    assert (kinds["og:type"], kinds["og:url"]) == ("website", "https://example.org/de/")


def test_the_site_map_names_each_page_with_all_its_languages(plate):
    root = ET.fromstring((plate / "sitemap.xml").read_bytes())  # noqa: S314
    pages = {}
    for url in root:
        links = [(e.get("hreflang"), e.get("href")) for e in url if e.tag.endswith("link")]
        pages[url[0].text] = links
    assert len(pages) == 4 * len([path for path in plate.rglob("*.html") if "de" in path.parts])
    assert (
        pages["https://example.org/de/about.html"]
        == pages["https://example.org/about.html"]
        == [
            ("en", "https://example.org/about.html"),
            ("de", "https://example.org/de/about.html"),
            ("ar", "https://example.org/ar/about.html"),
            ("pt-BR", "https://example.org/pt-br/about.html"),
        ]
    )


def test_a_portfolio_whose_main_language_is_german_speaks_german(tmp_path):
    catalogue = speaking(tmp_path, languages=("de",))
    piece = parsed(write_portfolio(catalogue, tmp_path / "out") / "pieces/barn-owl.html")
    assert next(piece.iter("html")).get("lang") == "de"
    # Lengths stay in the unit the artist chose.
    assert "57 × 88 mm" in words_of(piece)
    assert "Barn owl, abgeheilt" in [image.get("alt") for image in piece.iter("img")]


def test_a_style_has_as_many_pages_in_each_language(tmp_path):
    public = make_public_catalogue(speaking(tmp_path))
    many = tuple(dataclasses.replace(public.pieces[0], slug=f"t-{number}") for number in range(50))
    german = list(editions(dataclasses.replace(public, pieces=many)))[1]
    views = PortfolioViews(german, {}, Layout(False, 2, 2, 1.1), Sizes("", "", ""))
    assert [view.page.path for view in views.works.home()] == [f"de/{name}" for name in ("index.html", "work/2.html")]
    (_, second, *_) = views.works.styles()
    assert (second.page.path, second.page.belongs_to, second.turns.before) == (
        "de/styles/black-and-grey/2.html", "de/styles/black-and-grey.html", "de/styles/black-and-grey.html",
    )  # fmt: skip
    assert second.page.title == "Black and Grey – Sample Artist, Seite 2"
    assert second.page.description == "Tattoos von Sample Artist: Black and Grey."
    assert [same.path for same in second.page.languages][:2] == [
        "styles/black-and-grey/2.html", "de/styles/black-and-grey/2.html",
    ]  # fmt: skip


def test_all_that_is_there_of_a_piece_is_known_by_its_path_and_its_titles(tmp_path):
    public = make_public_catalogue(speaking(tmp_path))
    owl = public.pieces[0]
    assert all_paths(owl)[:4] == (
        "pieces/barn-owl.html", "de/pieces/barn-owl.html", "ar/pieces/barn-owl.html", "pt-br/pieces/barn-owl.html",
    )  # fmt: skip
    assert list(titles_of(owl)) == ["Barn owl", "Schleiereule", "بومة"]
