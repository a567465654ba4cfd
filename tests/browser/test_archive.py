"""The private archive in a real browser, opened from disk."""

import datetime as dt
import io
import re

import msgspec
import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import expect

from archgen.catalogue import DoubleGroup, Twins
from archgen.findings import Finding, Place, Severity
from archgen.metadata.file_rights import EmbeddedRights
from archgen.outputs.archive.lists import CARDS_PER_PAGE, CHOICES_AT_ONCE, ROWS_PER_PAGE
from archgen.outputs.archive.site import ArchiveSite
from archgen.picture_facts.gauge_facts import PairFacts
from archgen.pieces.gauging import version_pairs
from archgen.pieces.survey import survey
from archgen.records import model
from archgen.stencils.versions.changes import LineChanges
from tests.builders import make_catalogue, make_facts, make_piece, make_record
from tests.site import write_site

pytestmark = pytest.mark.browser

HOSTILE = "<img src=x onerror=alert(1)> {{ 7*7 }} \" ' & </script>"
PAGES = (
    "index.html",
    "stencils.html",
    "clients.html",
    "batches.html",
    "doubles.html",
    "checks.html",
    "followup.html",
    "figures.html",
    "stock.html",
    "list.html",
    "pieces/2026-03-14-barn-owl.html",
    "pieces/2024-05-05-hostile.html",
    "pieces/2023-01-01-bare.html",
    "pieces/2022-02-02-broken.html",
    "changes/2026-03-14-barn-owl.html",
    "clients/C-0042.html",
    "batches/GW2-2231.html",
)


def fern():
    record = make_record(
        title="Fern frond with fiddleheads",
        client="C-0017",
        finished=dt.date(2025, 9, 2),
        styles=("botanical",),
        subjects=("fern",),
        placement=model.Placement(region="calf", side=model.Side.RIGHT),
        size=model.Size(width=model.Length(140), height=model.Length(260)),
        needle=(model.Needle(code="1015RM"),),
        release=model.Release(status=model.ReleaseStatus.NOT_ASKED),
        healing=(),
    )
    return make_piece("2025-09-02-fern", record, notes="Schöne Linien, überall gut verheilt.")


def hostile():
    """A piece whose every text field holds markup, with a title of 300 letters and 40 photos."""
    record = make_record(
        title=(HOSTILE + " " + "unbreakable" * 30)[:300],
        client=HOSTILE,
        styles=(HOSTILE,),
        subjects=(HOSTILE,),
        finished=dt.date(2024, 5, 5),
        placement=model.Placement(region="spine", side=model.Side.CENTRE, note=HOSTILE),
        sitting=(model.Sitting(date=dt.date(2024, 5, 5), note=HOSTILE),),
        healing=(model.Healing(date=dt.date(2024, 6, 5), note=HOSTILE),),
        needle=(model.Needle(code=HOSTILE, use=HOSTILE, batch=HOSTILE),),
        ink=(model.Ink(batch=HOSTILE, name=HOSTILE, maker=HOSTILE, use=HOSTILE),),
        reference=(
            model.Reference(source="javascript:alert(1)", creator=HOSTILE, license=HOSTILE, note=HOSTILE),
            model.Reference(
                file=f"references/{'long' * 15}.jpg",
                source=f"https://example.org/{'path' * 40}",
                rights_url=f"https://example.org/{'terms' * 40}",
                digital_source="compositeWithTrainedAlgorithmicMedia",
            ),
        ),
        stencil=(model.Stencil(file="stencils/a.png", version=1, width=model.Length(50), note=HOSTILE, mirrored=True),),
        photo=tuple(
            model.Photo(file=f"photos/p{n}.jpg", stage=list(model.Stage)[n % 3], alt=HOSTILE) for n in range(40)
        ),
        release=model.Release(status=model.ReleaseStatus.GRANTED, scope=(HOSTILE,)),
        rights_override=model.RightsOverride(reason=HOSTILE),
    )
    return make_piece("2024-05-05-hostile", record, notes=HOSTILE + "\n\n# " + HOSTILE, story=HOSTILE)


def findings():
    for severity in Severity:
        for piece in ("2026-03-14-barn-owl", "2022-02-02-broken"):
            place = Place(f"pieces/{piece}/piece.toml", 12)
            yield Finding(f"test.{severity.value}", severity, piece, place, f"Problem {HOSTILE}", f"Remedy {HOSTILE}")


def told_facts(path, blobs):
    facts = make_facts(path, blobs, size=(320, 400), public=False)
    said = EmbeddedRights(
        creators=("קסם", HOSTILE), web_statement="https://example.org/rights", constraints=("AL-FLP",)
    )
    return msgspec.structs.replace(facts, rights=said) if "/references/" in path else facts


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    folder = tmp_path_factory.mktemp("archive")
    bare = make_piece("2023-01-01-bare", model.PieceRecord(title="קעקוע 鶴"), notes=None, story=None)
    broken = model.Piece(id="2022-02-02-broken", record=None, photos=("pieces/2022-02-02-broken/photos/a.jpg",))
    owl = make_piece()
    doubles = (DoubleGroup((owl.stencils[0], owl.photos[0], owl.photos[1]), mirrored=True),)
    inks = {
        "GW2-2231": model.InkBatch(
            batch="GW2-2231",
            name="grey wash 2",
            maker="Inkworks",
            expiry=dt.date(2025, 8, 1),
            recalled=dt.date(2026, 5, 2),
        )
    }
    pieces = (owl, fern(), hostile(), bare, broken)
    catalogue = make_catalogue(
        folder,
        *pieces,
        facts_of=lambda path: told_facts(path, folder / "blobs"),
        findings=tuple(findings()),
        twins=Twins(doubles=doubles),
        inks=inks,
    )
    changes = LineChanges(*[300.0, 280.0, 40.0, 20.0, 30.0, 0.4, 50.0, 0.1, 60.0, 0.1, 0.06])
    shown = catalogue.facts[owl.stencils[0]].screen[-1]
    laid = {job: PairFacts(1.0, -2.0, changes, shown) for *_, job in version_pairs(catalogue, owl)}
    catalogue = catalogue.with_gauges({}, laid)
    return write_site(ArchiveSite(survey(catalogue), folder / "blobs", "../../content"), folder / "out" / "archive")


@pytest.fixture
def home(site, visit):
    return visit(site / "index.html").page


def titles(page):
    return [title.strip()[:8] for title in page.locator(".card h2").all_text_contents()]


ASKED = "words => (new URLSearchParams(location.hash.slice(1)).get('q') || '') === words"


def search(page, words):
    page.fill("#q", words)
    page.wait_for_function(ASKED, arg=words.strip())  # the cards follow when the typing rests
    page.wait_for_timeout(100)
    return titles(page)


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("barn", "Barn owl"),
        ("BARN OWL", "Barn owl"),
        ("fiddl", "Fern fro"),  # the beginning of a word
        ("schone uberall", "Fern fro"),  # accents left out
        ("curved magnum", "Fern fro"),  # how a needle code is read
        ("whiskers eye", "Barn owl"),  # what a needle was used for
        ("N-88213", "Barn owl"),  # a batch
        ("fiddelheads", "Fern fro"),  # two letters changed round
        ("rigth calf", "Fern fro"),
    ],
)
def test_a_piece_is_found_by_any_word_of_its_record(home, words, found):
    assert found in search(home, words)
    assert len(titles(home)) < 5


def answers(page):
    return [name.split("\n")[0] for name in page.locator(".answer-name").all_inner_texts()]


def test_the_best_answer_comes_first_with_its_line_and_its_print(home):
    home.fill("#q", "barn owl")
    expect(home.locator(".answer .btn--print").first).to_be_visible()
    assert answers(home)[0] == "Barn owl"
    assert home.locator(".answer").first.locator("mark").all_inner_texts()[:2] == ["Barn", "owl"]
    printed = home.locator(".answer .btn--print").first.get_attribute("href")
    home.keyboard.press("Enter")
    home.wait_for_url("**/pieces/*.html")
    assert f"../{printed}" == home.locator(".btn--print").first.get_attribute("href")


def test_enter_opens_the_best_answer_and_back_keeps_the_question(home):
    home.fill("#q", "barn owl")
    expect(home.locator(".answer").first).to_be_visible()
    home.keyboard.press("Enter")
    home.wait_for_url("**/pieces/*.html")
    home.go_back()
    expect(home.locator(".answer-name").first).to_have_text("Barn owl")
    assert home.input_value("#q") == "barn owl"
    assert "q=barn%20owl" in home.url


def test_arrow_keys_walk_the_answers_and_lead_back_to_the_box(home):
    home.fill("#q", "owl")
    expect(home.locator(".answer").nth(1)).to_be_visible()
    # The name alone: lines and print are written under it as soon as their part is loaded.
    focused = "document.activeElement.querySelector('.answer-name').textContent"
    home.keyboard.press("ArrowDown")
    first = home.evaluate(focused)
    home.keyboard.press("ArrowDown")
    assert home.evaluate(focused) != first
    home.keyboard.press("ArrowUp")
    assert home.evaluate(focused) == first
    home.keyboard.press("ArrowUp")
    assert home.evaluate("document.activeElement.id") == "q"


def test_six_keys_after_the_name_reach_the_print(home):
    home.keyboard.press("/")
    home.keyboard.type("barn owl")
    expect(home.locator(".answer .btn--print").first).to_be_visible()
    home.keyboard.press("ArrowDown")
    home.keyboard.press("Tab")
    assert home.evaluate("document.activeElement.getAttribute('href')").startswith("../reprints/")


def test_a_slip_is_told_and_a_word_that_fails_is_named(home, axe):
    home.fill("#q", "barm owl")
    expect(home.locator("#said")).to_contain_text("“barm”")
    assert answers(home)[0] == "Barn owl"
    home.fill("#q", "owl tractor")
    expect(home.locator("#said")).to_contain_text("Nothing has “tractor”; shown without it. ")
    assert answers(home)[0] == "Barn owl"
    assert axe(home) == []


def test_client_names_and_ink_makers_find_pieces(home):
    assert search(home, "private name") == ["Barn owl"]
    assert set(search(home, "inkworks")) == {"Barn owl", "Fern fro"}


def test_words_that_nothing_has_say_so_and_offer_all(home):
    assert search(home, "zzzzzz") == []
    assert home.inner_text("#count") == "None of 5 shown"
    assert home.is_hidden("#nothing")  # said already
    home.click("#chips .plain")
    assert len(titles(home)) == 5


def test_narrowing_counts_and_can_be_taken_back(home):
    home.check('input[value="style:botanical"]')
    assert titles(home) == ["Fern fro"]
    assert home.inner_text("#count") == "1 of 5 shown, newest first"
    home.click("#chips .chip")
    assert home.inner_text("#count") == "All 5 shown, newest first"


def test_touching_the_body_figure_ticks_the_place(home):
    home.locator(".places .place", has=home.locator("title", has_text="Calf")).locator("path").first.dispatch_event(
        "click"
    )
    expect(home.locator("#count")).to_contain_text(" of 5 shown")
    assert home.is_checked('input[value="placement:calf"]')
    assert titles(home) == ["Fern fro"]
    home.locator(".places .is-marked path").first.dispatch_event("click")
    assert len(titles(home)) == 5


def test_the_millimetre_rule_narrows_by_the_longest_side_and_by_keyboard(home):
    sizes = home.evaluate("ARCHIVE.sizes")
    home.focus("#size-from")
    for _ in range(20):
        home.keyboard.press("ArrowRight")
    assert home.inner_text("#size-said") == "100 mm and over"
    assert len(titles(home)) == sum(size is not None and size >= 100 for size in sizes) > 0
    assert "size=100-200" in home.url
    home.reload()
    assert home.inner_text("#size-said") == "100 mm and over"
    home.click("#chips .chip")
    assert len(titles(home)) == 5


def test_on_a_phone_what_is_found_is_one_touch_away(site, visit):
    page = visit(site / "index.html", width=390).page
    page.click("#narrow > summary")
    page.check('input[value="style:botanical"]')
    assert page.inner_text("#show-found") == "Show 1 of 5"
    page.click("#show-found")
    expect(page.locator("#count")).to_be_in_viewport()
    assert not page.evaluate("document.getElementById('narrow').open")


def test_questions_show_their_answers_in_words_and_no_button(site, visit):
    page = visit(site / "checks.html").page
    assert page.locator(".finding button").count() == 0
    assert "archgen" not in page.inner_text(".desk-way")
    page.click(".desk-way summary")
    assert "archgen desk" in page.inner_text(".desk-way")
    page.emulate_media(media="print")
    assert page.locator(".desk-way").is_hidden()


@pytest.mark.parametrize("before", [(), ("size",), ("style:botanical",), ("words", "placement:calf")])
def test_each_choice_counts_the_cards_it_would_leave(home, before):
    for step in before:
        if step == "size":
            home.focus("#size-to")
            for _ in range(11):
                home.keyboard.press("ArrowLeft")
        elif step == "words":
            search(home, "fern")
        else:
            home.check(f'input[value="{step}"]')
    chosen = {step.partition(":")[0] for step in before}
    rows, tried = home.locator("#narrow label.choice"), 0
    for number in range(rows.count()):
        row, box = rows.nth(number), rows.nth(number).locator("input")
        # Within a group choices add up, so one is only tried where nothing of its group is chosen.
        if box.get_attribute("value").partition(":")[0] in chosen or not row.is_visible():
            continue
        told = int(row.locator(".n").inner_text())
        box.check()
        assert len(titles(home)) == told, row.inner_text()
        box.uncheck()
        tried += 1
    assert tried > 4


def test_places_and_needles_are_chosen_by_keyboard_alone(home):
    for first in ("placement:", "needle:"):
        fold = home.locator("#narrow [data-group]", has=home.locator(f'input[value^="{first}"]'))
        if fold.get_attribute("open") is None:
            fold.locator("summary").focus()
            home.keyboard.press("Enter")
        box = fold.locator(f'input[value^="{first}"]').first
        box.focus()
        count = int(box.locator("xpath=..").locator(".n").inner_text())
        home.keyboard.press("Space")
        assert len(titles(home)) == count
        home.keyboard.press("Space")
        assert len(titles(home)) == 5


def test_two_choices_of_one_group_add_up_and_two_groups_cut_down(home):
    home.check('input[value="placement:calf"]')
    home.check('input[value="placement:spine"]')
    assert len(titles(home)) == 2
    home.check('input[value="style:botanical"]')
    assert titles(home) == ["Fern fro"]


def test_the_rule_of_months_narrows_by_keyboard_and_is_kept_in_the_address(home):
    months = home.evaluate("ARCHIVE.months")
    known = sorted(month for month in months if month is not None)
    stop = home.locator("#month-from")
    assert (int(stop.get_attribute("min")), int(stop.get_attribute("max"))) == (known[0], known[-1])
    assert stop.get_attribute("aria-valuetext") == "May 2024"
    stop.focus()
    home.keyboard.press("ArrowRight")
    assert home.inner_text("#month-said") == "Jun 2024 and later"
    assert len(titles(home)) == sum(month > known[0] for month in known) == len(known) - 1
    assert f"month={known[0] + 1}-{known[-1]}" in home.url
    home.reload()
    assert home.inner_text("#month-said") == "Jun 2024 and later"
    home.locator("#month-to").focus()
    home.keyboard.press("Home")
    assert home.inner_text("#month-said") == "May 2024"
    assert len(titles(home)) == 1
    home.click("#chips .chip")
    assert home.inner_text("#month-said") == "any time"
    assert len(titles(home)) == 5


def test_the_rule_of_months_shows_how_many_there_are_of_each(home):
    rows = np.asarray(Image.open(io.BytesIO(home.locator(".stops-bars").screenshot())).convert("L"), int)
    assert 0.005 < (abs(rows - np.median(rows)) > 40).mean() < 0.5


def test_a_recalled_batch_and_the_piece_it_is_in_are_flagged_among_the_answers(home):
    home.fill("#q", "GW2-2231")
    answers = home.locator("#answers .answer")
    batch = answers.filter(has=home.locator(".answer-kind", has_text="batch")).first
    assert batch.locator(".mark").inner_text().startswith("Recalled 2 May 2026")
    piece = answers.filter(has=home.locator(".answer-kind", has_text="piece")).first
    assert piece.locator(".mark--act").inner_text() == "GW2-2231 in it is recalled, not told yet"
    home.fill("#q", "C-0017")
    client = answers.filter(has=home.locator(".answer-kind", has_text="client")).first
    expect(client.locator(".answer-facts")).to_be_visible()
    assert client.locator(".mark").count() == 0


def test_the_order_changes_without_a_reload(home):
    home.select_option("#order", "largest")
    assert titles(home)[0] == "Fern fro"
    home.select_option("#order", "oldest")
    assert titles(home)[0].startswith("<img src")
    assert titles(home)[-1] == "2022-02-"


def test_what_was_chosen_survives_a_visit_to_a_piece(home):
    search(home, "owl")
    assert home.inner_text("#said").endswith("2 pieces.") or "2 pieces," in home.inner_text("#said")
    home.click(".answer-link")
    home.wait_for_url("**/pieces/*.html")
    home.go_back()
    assert home.input_value("#q") == "owl"
    assert titles(home) == ["Barn owl", "Fern fro"]  # its photos are named after the owl


def test_narrowing_works_with_the_keyboard_alone(home):
    home.keyboard.press("/")
    home.keyboard.type("fern")
    home.wait_for_timeout(250)
    assert "Fern fro" in titles(home)
    home.keyboard.press("Escape")
    expect(home.locator(".card")).to_have_count(5)
    for _ in range(7):  # past the order, both stops of both rules and the head of the places
        home.keyboard.press("Tab")
    home.keyboard.press("Space")
    assert len(titles(home)) < 5


SLASHED = ("clients.html", "batches.html", "checks.html", "pieces/2026-03-14-barn-owl.html")


@pytest.mark.parametrize("path", SLASHED)
def test_a_slash_leads_to_the_search_from_every_page(site, visit, path):
    page = visit(site / path).page
    page.keyboard.press("Control+/")
    assert "index.html" not in page.url
    page.keyboard.press("/")
    page.wait_for_url("**/index.html*")
    page.keyboard.type("owl")
    assert page.input_value("#q") == "owl"


def test_stencils_are_found_and_narrowed(site, visit):
    page = visit(site / "stencils.html").page
    assert len(search(page, "finer")) == 2
    page.fill("#q", "")
    page.wait_for_timeout(250)
    page.check('input[value="skin:not used"]')
    assert page.locator(".stamp").count() == 0


LONG = 2 * CARDS_PER_PAGE + 15


@pytest.fixture(scope="module")
def long_site(tmp_path_factory):
    """Make an archive of more pieces, clients and batches than pages of lists hold."""
    folder = tmp_path_factory.mktemp("long")
    pieces = []
    for n in range(LONG):
        needle = model.Needle(code="5RL", batch=f"N-{n:05}")
        day = dt.date(2026, 3, 1) - dt.timedelta(days=n)
        record = model.PieceRecord(title=f"Piece {n:03}", client=f"C-{n:04}", needle=(needle,), finished=day)
        pieces.append(model.Piece(id=f"p-{n:03}", record=record))
    catalogue = survey(make_catalogue(folder, *pieces, inks={}))
    return write_site(ArchiveSite(catalogue, folder / "blobs", "../../content"), folder / "out" / "archive")


def test_a_long_list_grows_as_one_scrolls_and_by_its_button(long_site, visit):
    page = visit(long_site / "index.html").page
    assert page.inner_text("#count") == f"{CARDS_PER_PAGE} of {LONG} shown, newest first"
    page.locator("#more button").focus()
    page.keyboard.press("Enter")
    expect(page.locator(".card h2 a:focus")).to_have_text(re.compile(r"Piece (060|120)"))
    page.evaluate("window.scrollTo(0, document.body.scrollHeight)")
    expect(page.locator(".card")).to_have_count(LONG)
    shown = page.locator(".card h2").all_text_contents()
    assert shown == [f"Piece {n:03}" for n in range(LONG)]
    assert page.is_hidden("#more")
    assert page.is_hidden("[data-pages]")


def test_a_long_list_is_searched_and_sorted_as_a_whole(long_site, visit):
    page = visit(long_site / "index.html").page
    page.fill("#q", f"{LONG - 1:03}")
    expect(page.locator(".card")).to_have_count(1)
    assert page.locator(".card h2").all_text_contents() == [f"Piece {LONG - 1:03}"]
    page.fill("#q", "")
    page.select_option("#order", "oldest")
    expect(page.locator(".card h2").first).to_have_text(f"Piece {LONG - 1:03}")
    page.select_option("#order", "newest")
    expect(page.locator(".card h2").first).to_have_text("Piece 000")


def test_a_client_among_very_many_is_sought_and_chosen(long_site, visit, axe):
    page = visit(long_site / "index.html").page
    page.click('[data-group="Client"] > summary')
    assert page.locator('[data-group="Client"] input[type=checkbox]').count() == CHOICES_AT_ONCE
    page.fill("#seek-client", "c-013")
    assert page.inner_text('[data-seek="client"] [role=status]') == "6 found"
    page.fill("#seek-client", "0123")
    page.check('input[value="client:C-0123"]')
    expect(page.locator(".card")).to_have_count(1)
    assert page.locator(".card h2").all_text_contents() == ["Piece 123"]
    assert page.inner_text("#chips .chip").startswith("Client: C-0123")
    assert axe(page) == []
    page.fill("#seek-client", "0077")
    assert page.is_checked('input[value="client:C-0123"]')
    page.goto(page.url)
    page.reload()
    expect(page.locator(".card")).to_have_count(1)
    assert page.is_checked('input[value="client:C-0123"]')
    page.click("#chips .chip")
    expect(page.locator(".card")).to_have_count(CARDS_PER_PAGE)


@pytest.mark.parametrize(("name", "code"), [("clients", "C-0130"), ("batches", "N-00130")])
def test_an_index_in_pages_is_searched_as_a_whole(long_site, visit, axe, name, code):
    page = visit(long_site / f"{name}-2.html").page
    assert page.locator("[data-filtered] > *").count() == LONG - ROWS_PER_PAGE
    page.keyboard.press("/")
    page.keyboard.type("0003")
    expect(page.locator("#found")).not_to_be_empty()
    found = page.inner_text("#found").partition(" ")[0]
    assert int(found) == page.locator("[data-filtered] > *").count() > 0
    assert page.is_hidden("[data-pages]")
    page.fill("#q", code)
    assert page.locator("[data-filtered] a").all_inner_texts() == [code]
    page.fill("#q", "")
    assert page.locator("[data-filtered] > *").count() == LONG - ROWS_PER_PAGE
    assert axe(page) == []


def test_without_scripts_a_long_list_is_turned_page_by_page(long_site, window):
    page = window(java_script_enabled=False)
    page.goto((long_site / "index.html").as_uri())
    seen = page.locator(".card h2").count()
    while page.locator('a[rel="next"]').count():
        page.click('a[rel="next"]')
        seen += page.locator(".card h2").count()
    assert seen == LONG
    assert page.get_by_role("link", name="Search and narrow down").get_attribute("href") == "index.html"


def test_fresh_and_healed_switch_with_keys_and_buttons(site, visit):
    page = visit(site / "pieces/2026-03-14-barn-owl.html").page
    page.keyboard.press("2")
    assert page.is_visible('figure[data-stage="fresh"]')
    assert page.is_hidden('figure[data-stage="healed"]')
    page.get_by_role("button", name="Healed").click()
    assert page.is_visible('figure[data-stage="healed"]')
    assert page.get_by_role("button", name="Healed").get_attribute("aria-pressed") == "true"


@pytest.mark.parametrize("width", [1440, 390])
def test_a_recall_and_the_print_stand_in_the_first_screen(site, visit, width):
    page = visit(site / "pieces/2026-03-14-barn-owl.html", width=width).page
    notice = page.locator(".notice")
    box = notice.bounding_box()
    assert box["y"] + box["height"] < 600
    assert "batch GW2-2231. The client is still to be told." in " ".join(notice.inner_text().split())
    assert page.locator(".head-print").bounding_box()["height"] >= 52  # a finger in a glove
    assert page.locator(".turn [rel]").first.bounding_box()["height"] >= 44


def test_checks_narrow_by_whom_to_ask(site, visit):
    page = visit(site / "checks.html").page
    page.check('input[data-ask="myself"]')
    shown = page.locator(".finding:visible").count()
    assert 0 < shown == page.locator('[data-asked="myself"] .finding').count()
    assert page.inner_text("#found") == f"{shown} shown: Yourself"


def test_where_a_question_stands_is_folded_away_and_codes_are_for_programs(site, visit):
    page = visit(site / "checks.html").page
    assert not page.locator("details.why p:visible").count()
    page.locator(".finding details.why summary").first.click()
    assert page.locator("details.why p:visible").count() == 1
    folded = page.locator("details.why p").all_text_contents()
    assert not [text for text in folded if re.search(r"\b(rights|release|photo|piece|record|stencil)\.[a-z]", text)]


def test_a_decision_gives_the_lines_for_the_file(site, visit):
    page = visit(site / "doubles.html").page
    page.click(".decide summary")
    page.get_by_role("button", name="Different pictures").click()
    assert page.input_value("textarea").startswith("[[different]]\nimages = [\n")
    page.click("[data-copy]")
    assert "cop" in page.inner_text(".decide [role=status]").lower()


@pytest.mark.parametrize("path", PAGES)
def test_a_page_is_quiet_narrow_and_asks_for_nothing_outside(site, visit, path):
    seen = visit(site / path)
    for width in (1440, 1100, 720, 390, 320):
        seen.page.set_viewport_size({"width": width, "height": 900})
        assert seen.overhang <= 0, width
    assert seen.console == []
    assert seen.outside == []


@pytest.mark.parametrize("path", PAGES)
def test_axe_finds_nothing(site, visit, axe, path):
    page = visit(site / path).page
    assert axe(page) == []
    page.emulate_media(color_scheme="dark")
    page.set_viewport_size({"width": 390, "height": 844})
    assert axe(page) == []


def test_axe_finds_nothing_while_narrowed(site, visit, axe):
    page = visit(site / "index.html").page
    page.check('input[value="style:botanical"]')
    assert axe(page) == []


def test_the_html_conforms(site, vnu):
    assert vnu(*(site / path for path in PAGES)) == []


def test_markup_in_records_stays_text(site, visit):
    page = visit(site / "pieces/2024-05-05-hostile.html").page
    assert page.locator("img[src=x]").count() == 0
    assert page.inner_text("h1").startswith("<img src=x onerror=alert(1)> {{ 7*7 }}")
    assert page.locator('a[href^="javascript"]').count() == 0


def test_an_empty_archive_says_what_to_do(tmp_path, visit, axe, vnu):
    catalogue = make_catalogue(tmp_path, pieces=(), inks={}, clients={})
    out = write_site(ArchiveSite(survey(catalogue), tmp_path / "blobs", ".."), tmp_path / "out" / "archive")
    pages = ("index", "stencils", "clients", "batches", "doubles", "checks", "followup", "list")
    for seen in visit.each(out / f"{name}.html" for name in pages):
        assert seen.console == []
        assert axe(seen.page) == []
    home = visit(out / "index.html").page
    assert "archgen desk" in home.inner_text("main")
    assert "piece.toml" in home.text_content("main")
    assert vnu(out) == []


def test_cards_out_of_sight_cost_no_layout_while_one_types(home):
    how = "() => getComputedStyle(document.querySelector('#cards > *')).contentVisibility"
    assert home.evaluate(how) == "visible"
    home.focus("#q")
    assert home.evaluate(how) == "auto"
    home.emulate_media(media="print")
    assert home.evaluate(how) == "visible"
    home.emulate_media(media="screen")
    home.locator("#q").blur()
    assert home.evaluate(how) == "visible"
