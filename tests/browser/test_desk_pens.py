"""The pens of the desk in a real browser: by mouse, by keyboard, without script, on a phone, read out."""

import datetime as dt
import shutil
import socket
import threading
import time

import pytest
import uvicorn
from playwright.sync_api import expect

from archgen.build import Options
from archgen.desk.app import desk_app
from archgen.desk.guards import Door
from archgen.desk.state import DeskState, SharedProgress
from archgen.progress import Silent
from tests.browser.page_checks import assert_holds_everywhere
from tests.unit.desk.pens.desk import OWL, a_photo, make_archive

PAGES = {
    "piece": "pieces/owl.html",
    "questions": "checks.html",
    "asking list": "asking-list.html",
    "change": "change/owl.html",
    "doubles": "doubles.html",
    "recall": "batches/GW2-2231.html",
    "pairs": "lay/owl.html",
    "taps": "lay/owl.html?stencil=0&on=photos/fresh.jpg&over=&taps=100,100;40,40",
    "laid": "lay/owl.html?stencil=0&on=photos/fresh.jpg&over=&taps=100,100;40,40;500,700;380,280",
}
TODAY = dt.date(2026, 9, 21)


@pytest.fixture(scope="module")
def open_desk(tmp_path_factory):
    """A desk that answers on a port of its own; its archive is put back for each test."""
    place = tmp_path_factory.mktemp("desk")
    root = make_archive(place / "content")
    shutil.copytree(root, place / "as it was")
    state = DeskState(root, place / "build", Options(2, built_on=TODAY), SharedProgress(Silent()))
    state.load()
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        port = found.getsockname()[1]
    door = Door(port)
    server = uvicorn.Server(uvicorn.Config(desk_app(state, door), port=port, log_level="warning"))
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    yield state, door
    server.should_exit = True
    thread.join(10)


@pytest.fixture
def desk(open_desk):
    state, door = open_desk
    shutil.rmtree(state.root)
    shutil.copytree(state.root.with_name("as it was"), state.root)
    shutil.rmtree(state.out / "kept", ignore_errors=True)
    state.refresh()
    return state, door


@pytest.fixture
def visit(window, desk):
    def opened(path, **how):
        page = window(**how)
        page.goto(desk[1].address + path)
        return page

    return opened


@pytest.mark.parametrize("name", PAGES)
def test_every_page_holds_everywhere(visit, name):
    assert_holds_everywhere(visit(PAGES[name]))


def record(desk):
    return (desk[0].root / "pieces" / "owl" / "piece.toml").read_text("utf-8")


@pytest.mark.parametrize("width", [390, 1440])
@pytest.mark.parametrize("name", PAGES)
def test_nothing_is_wrong_for_those_who_do_not_see_or_use_no_mouse(visit, axe, name, width):
    page = visit(PAGES[name], viewport=(width, 850))
    assert axe(page) == []
    page.evaluate("document.querySelectorAll('details').forEach(one => one.open = true)")
    assert axe(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_in_the_dark_nothing_is_wrong_either(visit, axe):
    for name in ("piece", "questions", "change"):
        page = visit(PAGES[name], color_scheme="dark")
        page.evaluate("document.querySelectorAll('details').forEach(one => one.open = true)")
        assert axe(page) == []


@pytest.mark.parametrize("script", [True, False])
def test_a_touch_up_in_three_actions(visit, desk, script):
    page = visit(PAGES["piece"], java_script_enabled=script)
    page.click("#p-touch > summary")
    page.get_by_label("30 min", exact=True).check()
    page.click("text=Save the touch-up")
    assert "hours = 0.5" in record(desk)
    assert page.locator("#wrote").inner_text().startswith("Written.")
    page.click("#wrote >> text=Take it back")
    assert record(desk) == OWL
    assert page.locator("#wrote").inner_text().startswith("Taken back.")


@pytest.mark.parametrize("script", [True, False])
def test_a_healed_photo_in_three_actions(visit, desk, script):
    page = visit(PAGES["piece"], java_script_enabled=script, viewport=(390, 844))
    page.click("#p-photo > summary")
    page.set_input_files(
        "#p-photo input[type=file]", {"name": "IMG.jpg", "mimeType": "image/jpeg", "buffer": a_photo()}
    )
    page.click("text=Save the photo")
    assert 'stage = "healed"\ntaken = 2026-06-20' in record(desk)
    page.wait_for_selector("[data-stage=healed]")


def test_a_slash_leads_to_the_search_but_not_away_from_what_was_filled_in(visit):
    page = visit(PAGES["piece"])
    page.click("#p-touch > summary")
    page.get_by_label("30 min", exact=True).check()
    page.focus("#p-touch > summary")
    page.keyboard.press("/")
    page.wait_for_timeout(100)
    assert page.get_by_label("30 min", exact=True).is_checked()
    page.reload()
    page.keyboard.press("/")
    page.wait_for_url("**/index.html*")
    assert page.evaluate("document.activeElement.id") == "q"


def test_the_touch_up_by_keyboard_alone(visit, desk):
    page = visit(PAGES["piece"])
    page.focus("#p-touch > summary")
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    page.keyboard.press("Space")
    page.keyboard.press("ArrowRight")
    assert page.evaluate("document.activeElement.value") == "0.5"
    assert page.evaluate("getComputedStyle(document.activeElement.parentElement).outlineStyle") == "solid"
    page.keyboard.press("Enter")
    page.wait_for_selector("#wrote")
    assert "hours = 0.5" in record(desk)


@pytest.mark.parametrize("name", PAGES)
def test_every_stop_of_the_keyboard_is_seen(visit, name):
    page = visit(PAGES[name])
    page.evaluate("document.querySelectorAll('main details').forEach(one => one.open = true)")
    page.focus("main")
    unseen, stops = [], set()
    for _ in range(40):
        page.keyboard.press("Tab")
        seen = page.evaluate(
            """() => { const one = document.activeElement, round = one.closest('label') || one;
            // A date has a stop for each of its figures; to be left and entered again would lead back to the first.
            if (one === window.before) { return [one.outerHTML.slice(0, 90), true, one.tagName]; }
            window.before = one;
            const look = () => [one, round].map(each => { const style = getComputedStyle(each);
                return [style.outlineStyle, style.outlineWidth, style.backgroundColor, style.backgroundSize]; }).join();
            const seen = look(); one.blur(); const unseen = look(); one.focus();
            return [one.outerHTML.slice(0, 90), seen !== unseen, one.tagName]; }"""
        )
        stops.add(seen[0])
        if seen[2] == "BODY":
            break
        unseen += [] if seen[1] else [seen[0]]
    assert unseen == []
    assert len(stops) > 2


def test_a_question_is_answered_by_one_touch(visit, desk):
    page = visit(PAGES["questions"], java_script_enabled=False)
    ask = page.locator(".ask", has_text="This piece is to be published.")
    ask.get_by_role("button", name="Yes, online only").click()
    assert 'scope = ["portfolio"]' in record(desk)
    back = page.locator(".answered >> text=Take it back")
    back.wait_for()
    assert page.locator(".ask", has_text="This piece is to be published.").count() == 0
    back.click()
    assert record(desk) == OWL


def test_two_taps_in_each_picture_by_mouse(visit, desk):
    page = visit(PAGES["pairs"])
    page.click("text=Version 1 on the fresh")
    for step, (x, y) in enumerate(((60, 60), (40, 40), (280, 390), (300, 220)), 1):
        tapped = page.locator("input[type=image]")
        tapped.click(position={"x": x, "y": y})
        if step < 4:
            expect(page.locator(".tap-cross")).to_have_count(step)
    expect(page.locator(".laid-line")).to_have_count(1)
    page.click("text=Yes, keep it")
    assert record(desk).count("[[stencil.landmark]]") == 3
    assert 'on = "photos/fresh.jpg"' in record(desk)


def test_a_point_without_pointing(visit):
    page = visit(PAGES["pairs"], java_script_enabled=False)
    page.click("text=Version 1 on the fresh")
    page.click("text=Without pointing: write the place")
    page.fill("#tx", "120")
    page.fill("#ty", "130")
    page.click("text=Set the point")
    expect(page.locator(".tap-cross")).to_have_count(1)
    assert "tap.x=120" in page.url
