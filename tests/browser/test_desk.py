"""The desk's pages in a real browser: rules of access, a walk by keyboard, sizes of targets, without script."""

import re
import threading
import time
from io import BytesIO

import pytest
from PIL import Image

from archgen.build import Options
from archgen.desk.inbox import waiting
from archgen.desk.server import run_desk
from archgen.desk.state import DeskState, SharedProgress
from archgen.intake.plan import What
from archgen.progress import Silent
from tests.browser.page_checks import assert_holds_everywhere
from tests.unit.desk.conftest import CLIENTS, DAY, INKS, OWL, call_them_photos, moth, photo, stencil

pytestmark = pytest.mark.browser
WIDTHS = (320, 390, 1440)
SMALL_TARGETS = """
() => [...document.querySelectorAll('a, button, input, select, summary, label.ans')].filter(node => {
  if (node.closest('.foot, .top-name, .card, p, td, dd, h1, h2, .skip, svg, .block')) { return false; }
  if (node.matches('label.ans input, label.choice input, .drop input, [type=hidden]')) { return false; }
  if (!node.checkVisibility({checkVisibilityCSS: true})) { return false; }
  const box = node.getBoundingClientRect();
  return box.width > 0 && box.height < 43.5;
}).map(node => `${node.outerHTML.slice(0, 120)} ${node.getBoundingClientRect().height}`)
"""


class OpenDesk:
    """A desk that serves, and the pages to be looked at."""

    def __init__(self, folder, *, with_archive=True):
        root = folder / "archive"
        if with_archive:
            photo(root / "pieces/2026-03-14-barn-owl/photos/owl.jpg", taken="2026:03:14 15:00:00")
            (root / "pieces/2026-03-14-barn-owl/piece.toml").write_text(
                OWL.replace("hours = 3", "hours = 3\nnote = 'slow skin'")
            )
            (root / "clients.toml").write_text(CLIENTS)
            (root / "inks.toml").write_text(INKS)
            for number, clock in ((1, "11:20:00"), (2, "14:45:00"), (3, "14:46:00")):
                moth(root / f"inbox/IMG_{number}.jpg", number, f"2026:11:26 {clock}")
            stencil(root / "inbox/night-moth-1.png")
        self.state = DeskState(root, folder / "built", Options(workers=1, built_on=DAY), SharedProgress(Silent()))
        said = []
        options = {"opens_browser": False, "idle_after": 600.0}
        self.thread = threading.Thread(target=run_desk, args=(self.state, said.append), kwargs=options, daemon=True)
        self.thread.start()
        self._until(lambda: said)
        self.address = re.search(r"http://\S+", said[0])[0]
        if with_archive:
            self._until(
                lambda: self.state.inbox and self.state.inbox.plan.looked_at and not self.state.inbox.is_planning
            )
            call_them_photos(self.state.inbox)
            groups = self.state.inbox.groups()
            first = next(group for group in groups if group.day).key
            for group in groups:
                for picture in group.pictures:
                    self.state.inbox.said.group[picture.key] = first
            self.form = f"file/{first}.html"

    @staticmethod
    def _until(what):
        for _ in range(1200):
            if what():
                return
            time.sleep(0.05)
        raise AssertionError("not in time")


@pytest.fixture(scope="module")
def desk(tmp_path_factory):
    waiting.SETTLE_SECONDS = 0.0
    return OpenDesk(tmp_path_factory.mktemp("desk"))


@pytest.fixture(scope="module")
def new_desk(tmp_path_factory):
    return OpenDesk(tmp_path_factory.mktemp("new"), with_archive=False)


@pytest.fixture(scope="module")
def desks(desk, new_desk):
    return desk, new_desk


def test_every_page_holds_everywhere(desks, visit):
    desk, new_desk = desks
    for seen in visit.each((desk.address, f"{desk.address}inbox.html", desk.address + desk.form, new_desk.address)):
        assert_holds_everywhere(seen.page)


@pytest.mark.parametrize("width", WIDTHS)
def test_no_page_breaks_a_rule_of_access_or_runs_over_its_edge(desks, visit, axe, width):
    desk, new_desk = desks
    pages = [desk.address + path for path in ("", "inbox.html", desk.form, "nothing.html")] + [new_desk.address]
    for opened in visit.each(pages, width=width):
        address = opened.page.url
        assert axe.in_both_schemes(opened.page) == [], address
        for scheme in ("light", "dark"):
            opened.page.emulate_media(color_scheme=scheme)
            assert opened.overhang <= 0, address
            assert width == 320 or opened.page.evaluate(SMALL_TARGETS) == [], address
        assert opened.outside == []
        assert not [words for words in opened.console if "404" not in words], address


@pytest.mark.parametrize("width", [390, 1440])
def test_every_step_of_the_filled_form_keeps_the_rules(desk, visit, axe, width):
    page = visit(desk.address + desk.form, width=width).page
    page.fill("#f-title", "Night moth")
    if width == 390:  # one question at a time
        assert axe(page) == []
        page.click("#next")
    page.fill("#f-client", "wi")
    page.wait_for_selector("#client-list:not([hidden])", state="attached")
    if width == 390:
        for _ in range(20):
            assert axe(page) == []
            if page.inner_text("#next") == "Save":
                break
            page.click("#next")
    else:
        page.locator(".ans:has(input[name=publish])").first.click()
        page.locator(".more summary").first.click()
        assert axe(page) == []


def test_by_keyboard_every_field_is_reached_in_order_and_seen_to_have_the_focus(desk, visit):
    page = visit(desk.address + desk.form).page
    assert page.evaluate("document.activeElement.id") == "f-title"
    names, unseen = [], []
    for _ in range(90):
        page.keyboard.press("Tab")
        found = page.evaluate(
            """() => { const node = document.activeElement, style = getComputedStyle(node);
                const label = node.closest('label.ans'), box = label ? getComputedStyle(label) : style;
                const seen = parseFloat(box.outlineWidth) > 0 && box.outlineStyle !== 'none'
                    || box.backgroundImage.includes('4px') || box.backgroundSize.includes('4px');
                return [node.name || node.id || node.textContent.trim(), seen, node.type]; }"""
        )
        names.append(found[0])
        if not found[1]:
            unseen.append(found)
        if found[0] == "Enough for today":
            break
    wanted = ["client", "place", "height", "width", "hours", "needle", "ink", "release", "publish", "save"]
    places = [names.index(name) for name in wanted]
    assert places == sorted(places)
    assert unseen == []


def test_what_a_reference_waits_for_is_said_one_by_one_and_a_paper_settles_it(desk, visit):
    inbox = desk.state.inbox
    pictures = [one for one in inbox.plan.pictures if one.name in {"IMG_3.jpg", "night-moth-1.png"}]
    before = dict(inbox.said.what)
    inbox.said.what.update({one.key: What.REFERENCE for one in pictures})
    page = visit(desk.address + desk.form).page
    inbox.said.what = before
    page.locator(".ans:has(input[name=publish][value=yes])").click()
    page.locator(".ans:has(input[name=release][value=both])").click()
    page.locator(".ans:has(input[name=person][value=none])").click()
    assert "for 2 answers" in page.inner_text("#will")
    first, second = (page.locator(f"#q-ref-{one.key}") for one in pictures)
    first.locator(".ans:has(input[value=mine])").click()
    second.locator(".ans:has(input[value=letter])").click()
    assert f"one answer: the letter for {pictures[1].name}." in page.inner_text("#will")
    second.locator("input[type=file]").set_input_files({"name": "l.pdf", "mimeType": "", "buffer": b"%PDF"})
    assert "the letter allows showing the tattoo" in page.inner_text("#will")
    second.locator(".ans:has(input[value=show-tattoo])").click()
    assert "On the next build" in page.inner_text("#will")
    assert "references/l.pdf" in second.locator(".writes").inner_text()


def test_the_fold_of_rarer_answers_keeps_the_rules_and_shows_its_lines(desk, visit, axe):
    page = visit(desk.address + desk.form).page
    for fold in page.locator(".more summary").all():
        fold.click()
    page.locator("#q-needles > .kit .ans").first.click()
    page.locator("[data-use]:not([hidden]) input").fill("whiskers")
    page.fill("#f-styles", "dotwork, fine line")
    page.fill("#f-charged", "420")
    assert 'use = "whiskers"' in page.inner_text("#q-needles .writes")
    written = page.inner_text("#q-publish .writes")
    assert 'styles = ["dotwork", "fine line"]' in written
    assert "charged = 420" in written
    assert axe(page) == []
    assert page.evaluate(SMALL_TARGETS) == []


def test_a_client_is_chosen_with_the_arrow_keys(desk, visit):
    page = visit(desk.address + desk.form).page
    page.focus("#f-client")
    page.keyboard.type("i")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    assert page.input_value("#f-client") in {"i", "Ida Vesterholt"}
    page.fill("#f-client", "")
    page.keyboard.type("id")
    page.keyboard.press("Enter")
    assert page.input_value("#f-client") == "Ida Vesterholt"
    assert page.inner_text("#q-client .writes") == 'client = "C-0043"'


def test_a_touch_of_the_figure_says_the_place_and_what_lies_near(desk, visit):
    page = visit(desk.address + desk.form).page
    box = page.locator("#figure").bounding_box()
    page.mouse.click(box["x"] + box["width"] * 0.24, box["y"] + box["height"] * 0.30)
    words = page.input_value("#f-place")
    assert words
    assert page.inner_text("#place-out") == words
    assert page.locator("#near .ans").count() == 3
    page.fill("#f-place", "arm")
    page.wait_for_selector("#ask-place .ans")
    assert "several places" in page.inner_text("#ask-place")


@pytest.mark.parametrize("width", [390, 1440])
def test_without_script_the_form_stands_in_full_and_files_the_piece(window, tmp_path, width):
    desk = OpenDesk(tmp_path)
    page = window(viewport=(width, 900), java_script_enabled=False)
    page.goto(desk.address + "inbox.html")
    page.click("text=File this piece")
    page.fill("[name=title]", "Night moth")
    page.fill("[name=place]", "Outer forearm, left")
    page.check("[name=release][value=both]", force=True)
    page.locator("#save").click()
    assert "Night moth is in the archive" in page.inner_text("main")
    record = (desk.state.root / "pieces/2026-11-26-night-moth/piece.toml").read_text()
    assert 'region = "forearm-outer"' in record


def test_stencils_stay_visible_where_colours_are_taken_away(desk, window):
    page = window(forced_colors="active")
    page.goto(desk.address + desk.form)
    shot = page.locator(".gauge .tissue").screenshot()
    darkest, lightest = Image.open(BytesIO(shot)).convert("L").getextrema()
    assert lightest - darkest > 100


def test_a_frame_of_another_page_cannot_hold_the_desk(desk, window):
    page = window()
    page.set_content(f'<iframe src="{desk.address}"></iframe>')
    page.wait_for_timeout(500)
    assert all("Barn owl" not in (frame.content() or "") for frame in page.frames)


def test_what_was_noted_on_a_client_stands_there_as_soon_as_they_are_chosen(desk, visit):
    page = visit(desk.address + desk.form).page
    assert not page.locator("#noted").is_visible()
    page.fill("#f-place", "Outer forearm, left")
    page.wait_for_selector("#noted li")
    assert "slow skin" in page.inner_text("#noted")
    page.fill("#f-place", "")
    page.wait_for_selector("#noted", state="hidden")
