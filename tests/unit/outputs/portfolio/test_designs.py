"""Designs in the portfolio: what is shown of them, what holds them back, and the letter that asks for one."""

import urllib.parse
from dataclasses import replace
from pathlib import Path

import msgspec
import pytest

from archgen.leaks.find import find_leaks
from archgen.leaks.values.private_values import private_values
from archgen.outputs.portfolio.publishing import PortfolioPublisher
from archgen.outputs.portfolio.standing import StandingPortfolio
from archgen.outputs.portfolio.theme import portfolio_theme
from archgen.outputs.portfolio.unwritten import unwritten
from archgen.publication.decision import decide_all
from archgen.publication.public_catalogue import publish
from archgen.records import model
from archgen.records.designs.model import Design, DesignState
from tests.builders import make_catalogue, make_design, make_piece, make_record
from tests.portfolio_pages import parsed, write_portfolio

FREE = make_design("two-ferns", story="For **ankles**.", again=False)
HELD = make_design("koi", title="Koi", state=DesignState.HELD, holder="C-0042", note="zqnote zqabout zqher")
TAKEN = make_design("a-moth", title="A moth", state=DesignState.TAKEN, price=None)


def with_designs(tmp_path, *designs, **changes):
    return make_catalogue(tmp_path, make_piece(), designs=designs, **changes)


@pytest.fixture
def site(tmp_path):
    texts = {"booking": "Write to <booking@example.org> with:\n\n- where on the body\n"}
    return write_portfolio(with_designs(tmp_path, TAKEN, HELD, FREE), tmp_path / "out", texts)


def cards(site, page="designs.html"):
    return [li for li in parsed(site / page).iter("li") if "design " in f"{li.get('class')} "]


def words(element):
    return " ".join("".join(element.itertext()).split())


def test_free_designs_come_first_and_only_they_can_be_asked_for(site):
    found = cards(site)
    assert [one.get("class") for one in found] == ["design free", "design held", "design taken"]
    assert words(found[0]) == "Two ferns Available 60 mm wide 180 tattooed once only For ankles. Ask for this design"
    assert words(found[1]) == "Koi Held for somebody 60 mm wide 180"
    assert words(found[2]) == "A moth Taken 60 mm wide"
    assert [len([a for a in one.iter("a") if a.get("class") == "btn"]) for one in found] == [1, 0, 0]


def test_the_page_is_described_by_what_is_free(site):
    (said,) = (
        meta.get("content") for meta in parsed(site / "designs.html").iter("meta") if meta.get("name") == "description"
    )
    assert said == "Available designs: Two ferns"


def test_the_letter_names_the_design_and_where_it_was_seen(site):
    (button,) = (a for a in cards(site)[0].iter("a") if a.get("class") == "btn")
    address = urllib.parse.urlsplit(button.get("href"))
    fields = dict(urllib.parse.parse_qsl(address.query))
    assert address.path == "booking@example.org"
    assert fields["subject"] == "“Two ferns”"
    wanted = "I would like to have your design “Two ferns” (https://example.org/designs.html#design_two-ferns)."
    assert wanted in fields["body"]
    assert "– Where on the body:" in fields["body"]
    assert cards(site)[0].get("id") == "design_two-ferns"


def test_where_no_letter_can_be_written_the_page_to_ask_on_is_led_to(tmp_path):
    site = write_portfolio(with_designs(tmp_path, FREE), tmp_path / "out", {"booking": "Come by."})
    (button,) = (a for a in cards(site)[0].iter("a") if a.get("class") == "btn")
    assert button.get("href") == "booking.html"


def test_a_picture_opens_large_and_every_menu_leads_to_the_designs(site):
    (link,) = (a for a in cards(site)[0].iter("a") if a.find(".//img") is not None)
    assert (site / link.get("href")).is_file()
    assert link.find(".//img").get("alt") == "Two ferns, leaning apart"
    for page in ("index.html", "pieces/barn-owl.html"):
        assert [a.get("href") for a in parsed(site / page).iter("a") if words(a) == "Available designs"]


def test_without_designs_there_is_no_page_and_no_menu_speaks_of_any(tmp_path):
    site = write_portfolio(with_designs(tmp_path, make_design(publish=False)), tmp_path / "out")
    assert not (site / "designs.html").exists()
    assert "Available designs" not in (site / "index.html").read_text()


def test_a_design_never_lies_under_the_address_of_a_piece(tmp_path):
    pieces = [
        make_piece(f"p{n}", make_record(title=title)) for n, title in enumerate(("Two ferns", "Design two ferns"))
    ]
    catalogue = make_catalogue(tmp_path, *pieces, designs=(FREE, make_design("b")))
    write_portfolio(catalogue, tmp_path / "out")  # which fails where a path is planned twice
    assert (tmp_path / "out/img/design_two-ferns-2-1-800.webp").is_file()


@pytest.mark.parametrize(
    "reference",
    [
        model.Reference(license="unknown"),
        model.Reference(license="all-rights-reserved"),
        model.Reference(license="own-work", likeness=model.Likeness.UNKNOWN),
        # The tattoo may be shown and not be made.
        model.Reference(license="permission", permission="x.pdf", allows=(model.Use.SHOW_TATTOO,)),
    ],
    ids=["no right", "reserved", "a person", "not to be tattooed"],
)
def test_what_the_gate_holds_back_is_on_no_page(tmp_path, reference):
    held = make_design("held", title="Zqheld", reference=(reference,))
    catalogue = with_designs(tmp_path, FREE, held)
    assert not decide_all(catalogue)["designs/held"].shown
    site = write_portfolio(catalogue, tmp_path / "out")
    assert all(b"zqheld" not in path.read_bytes().lower() for path in site.rglob("*") if path.is_file())
    assert len(cards(site)) == 1


def test_a_file_among_its_references_that_nobody_described_holds_a_design(tmp_path):
    bare = msgspec.structs.replace(FREE.bare, references=("designs/two-ferns/references/found.jpg",))
    design = Design(bare=bare, record=FREE.record)
    assert not decide_all(with_designs(tmp_path, design))[design.id].shown


def test_a_design_that_is_a_reference_of_a_piece_is_held(tmp_path):
    catalogue = with_designs(tmp_path, FREE)
    reference = next(path for path in catalogue.facts if "/references/" in path)
    own = "designs/two-ferns/pictures/ferns.png"
    same = msgspec.structs.replace(catalogue.facts[own], digest=catalogue.facts[reference].digest)
    decision = decide_all(replace(catalogue, facts={**catalogue.facts, own: same}))[FREE.id]
    assert not decision.shown
    assert "No picture may be shown" in decision.reasons[0]


def test_a_design_that_cannot_be_read_is_not_shown(tmp_path):
    design = Design(bare=FREE.bare)
    assert not decide_all(with_designs(tmp_path, design))[design.id].shown


def test_in_another_language_a_design_has_the_title_and_the_words_of_it(tmp_path):
    stories = (model.OtherStory(language="de", story="# Zwei Farne\n\nFür Knöchel."),)
    design = Design(bare=msgspec.structs.replace(FREE.bare, stories=stories), record=FREE.record)
    catalogue = with_designs(tmp_path, design)
    settings = replace(catalogue.config.portfolio, languages=("en", "de"), currency="EUR")
    spoken = replace(catalogue, config=replace(catalogue.config, portfolio=settings))
    site = write_portfolio(spoken, tmp_path / "out")
    said = words(cards(site, "de/designs.html")[0])
    assert said == "Zwei Farne Verfügbar 6 cm breit 180 EUR Einzelstück Für Knöchel. Nach diesem Entwurf fragen"


def test_what_is_still_to_write_in_another_language_names_designs_too(tmp_path):
    catalogue = with_designs(tmp_path, FREE, make_design("hidden", publish=False))
    found = {one.file: one.words for one in unwritten(catalogue, "de")}
    assert found["designs/two-ferns/story.de.md"] == ("title", "story")
    assert "designs/hidden/story.de.md" not in found


# Nothing private, and nothing that may no longer be shown.


def test_nothing_private_of_a_design_is_public_and_a_search_would_find_it(tmp_path, site):
    catalogue = with_designs(tmp_path / "again", TAKEN, HELD, FREE)
    values = private_values(catalogue, decide_all(catalogue))
    assert find_leaks(site, values) == []
    for number, text in enumerate(("zqnote zqabout zqher", "C-0042")):
        (tmp_path / "page").mkdir(exist_ok=True)
        (tmp_path / "page" / f"{number}.html").write_text(f"<p>{text}</p>")
    assert {leak.file for leak in find_leaks(tmp_path / "page", values)} == {"0.html", "1.html"}


def test_the_words_of_a_design_that_is_not_shown_are_looked_for(tmp_path):
    hidden = make_design("zqfolder-zqname", title="Zqtitle of zqdesign", story="Zqstory zqtold.", publish=False)
    catalogue = with_designs(tmp_path, hidden)
    values = private_values(catalogue, decide_all(catalogue))
    for number, text in enumerate(("Zqtitle of zqdesign", "Zqstory zqtold", "zqfolder-zqname")):
        page = tmp_path / f"{number}" / "page.html"
        page.parent.mkdir()
        page.write_text(f"<p>{text}</p>")
        assert find_leaks(page.parent, values), text


@pytest.mark.parametrize(("price", "found"), [(320.0, 1), (180.0, 0)])
def test_the_price_of_a_design_gives_no_price_of_a_piece_away(tmp_path, price, found):
    piece = make_piece(record=make_record(price=model.Price(charged=price)))
    catalogue = make_catalogue(tmp_path, piece, designs=(FREE,))
    (tmp_path / "page").mkdir()
    (tmp_path / "page/designs.html").write_text(f"<p>{price:.0f} EUR</p>")
    assert len(find_leaks(tmp_path / "page", private_values(catalogue, decide_all(catalogue)))) == found


class Folders:
    """Takes note of what stands and writes it at once."""

    def __init__(self, out):
        self.out, self.noted = out, []

    def before_change(self):
        pass

    def write(self, site):
        folder = self.out / "new"
        for artifact in site.artifacts():
            path = folder / artifact.path
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(artifact.make() if artifact.make else Path(artifact.source).read_bytes())
        return folder

    def swap_now(self, folder, beside):
        (self.out / "portfolio").rename(self.out / "old")
        folder.rename(self.out / "portfolio")
        for name, content in beside.items():
            (self.out / name).write_bytes(content)

    def note(self, name):
        self.noted.append(name)


@pytest.mark.parametrize("is_broken", [False, True], ids=["written anew", "only deleted"])
def test_a_design_that_may_no_longer_be_shown_leaves_the_pages_that_stand(tmp_path, monkeypatch, is_broken):
    moth = make_design("a-moth", title="Zqmoth")
    catalogue = with_designs(tmp_path, FREE, moth)
    write_portfolio(catalogue, tmp_path / "portfolio")
    theme, standing = portfolio_theme(catalogue.config), StandingPortfolio(tmp_path)
    standing.remember(publish(catalogue, decide_all(catalogue)), {}, theme)
    folders = Folders(tmp_path)
    if is_broken:
        monkeypatch.setattr(folders, "write", None)
    after = replace(catalogue, designs=(FREE, make_design("a-moth", title="Zqmoth", publish=False)))
    publisher = PortfolioPublisher(standing, folders, theme)
    publisher.take_out(after, decide_all(after))
    assert publisher.taken_out == ["Zqmoth"]
    there = [path for path in (tmp_path / "portfolio").rglob("*") if path.is_file()]
    assert all("zqmoth" not in path.name and b"zqmoth" not in path.read_bytes().lower() for path in there)
    assert (tmp_path / "portfolio/pieces/barn-owl.html").is_file()
    assert (tmp_path / "portfolio/designs.html").is_file() is not is_broken
    assert any("design_two-ferns" in path.name for path in there)
