"""Fixtures for outside tools: a missing tool skips with the reason, or fails where the tools are required."""

import http.client
import itertools
import json
import os
import shutil
import socket
import subprocess
import time
from collections.abc import Iterable, Iterator
from contextlib import closing, suppress
from pathlib import Path
from typing import NoReturn

import pytest
from hypothesis import settings

from archgen.languages import house

# A worker of the tests has one core; more threads of the sums would only wait for each other. Read when numpy comes in.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# A submission meets the same examples every time; who runs the tests by hand meets others each time, and finds more.
settings.register_profile("submission", derandomize=True)
if os.environ.get("ARCHGEN_REQUIRE_TOOLS") == "1":
    settings.load_profile("submission")

ROOT = Path(__file__).resolve().parent.parent


_NUMBERS = itertools.count()


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: object) -> object:
    """Give the tests of a file to one worker, so that what they share is made once; the slow folders come first."""
    if config.getoption("dist") != "load":
        return None
    from xdist.scheduler import LoadFileScheduling

    config.option.loadscopereorder = False
    return LoadFileScheduling(config, log)


@pytest.fixture(scope="session")
def settings_folder(tmp_path_factory):
    return tmp_path_factory.mktemp("settings")


@pytest.fixture(autouse=True)
def english_house(monkeypatch):
    """Let every test begin in English, whatever whoever runs it speaks and the test before it spoke."""
    monkeypatch.setenv("LC_ALL", "C.UTF-8")
    monkeypatch.delenv(house.VARIABLE, raising=False)
    house.speak_as_the_system()


@pytest.fixture(autouse=True)
def nothing_remembered(settings_folder, monkeypatch):
    """Keep every test away from the archive that whoever runs it works on; each gets a folder that isn't there yet."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(settings_folder / str(next(_NUMBERS))))
    monkeypatch.delenv("ARCHGEN_ARCHIVE", raising=False)


def do_without(reason: str) -> NoReturn:
    if os.environ.get("ARCHGEN_REQUIRE_TOOLS") == "1":
        pytest.fail(reason)
    pytest.skip(reason)


def outside_tool(name: str, *more: str) -> str:
    for candidate in (name, *more):
        found = shutil.which(candidate)
        if found:
            return found
    do_without(f"needs the program {name}, which is not installed")


def npm_file(package: str, file: str) -> Path:
    """Find a file of an npm package: node_modules of the checkout, else npm's global folder."""
    folders = [ROOT / "node_modules"]
    if npm := shutil.which("npm"):
        folders.append(
            Path(subprocess.run([npm, "root", "-g"], capture_output=True, text=True, check=True).stdout.strip())
        )
    for folder in folders:
        if (folder / package / file).is_file():
            return folder / package / file
    do_without(f"needs the npm package {package} (npm install --no-save {package})")


@pytest.fixture(scope="session")
def exiftool():
    return outside_tool("exiftool")


@pytest.fixture(scope="session")
def qpdf():
    return outside_tool("qpdf")


@pytest.fixture(scope="session")
def pdftoppm():
    return outside_tool("pdftoppm")


@pytest.fixture(scope="session")
def pdfinfo():
    return outside_tool("pdfinfo")


@pytest.fixture(scope="session")
def pdftotext():
    return outside_tool("pdftotext")


@pytest.fixture(scope="session")
def pdffonts():
    return outside_tool("pdffonts")


@pytest.fixture(scope="session")
def java():
    return outside_tool("java")


@pytest.fixture(scope="module")
def browser():
    """Give a headless Chromium driven by playwright; its shell is the same engine without windows.

    For one file of tests: while it runs, no other event loop can run in this thread.
    """
    path = outside_tool("chromium-headless-shell", "chromium", "chromium-browser", "google-chrome")
    from playwright.sync_api import sync_playwright

    flags = [
        "--no-sandbox",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
        "--no-first-run",
        "--disable-gpu",
        "--disable-quic",
    ]
    with sync_playwright() as driver:
        chromium = driver.chromium.launch(executable_path=path, args=flags)
        yield chromium
        chromium.close()


class Axe:
    """axe-core: says what is wrong in an open page (WCAG 2.2 A and AA, best practice)."""

    RULES = ("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22a", "wcag22aa", "best-practice")
    COLOURS = ("color-contrast", "link-in-text-block")
    # Where everything stands and whether it is seen: all that rules ask of the looks, but for colours.
    LOOKS = """() => [...document.querySelectorAll('*')].map((one) => {
      const box = one.getBoundingClientRect(), style = getComputedStyle(one);
      return [one.localName, box.x, box.y, box.width, box.height, style.display, style.visibility, style.opacity,
        style.overflow, style.fontSize, style.fontWeight, style.textDecorationLine].join();
    })"""

    def __init__(self, source: str):
        self._source = source

    def __call__(self, page) -> list[str]:
        """List what is wrong."""
        return self._violations(page, self.RULES)

    def in_both_schemes(self, page) -> list[str]:
        """List what is wrong in a light page and in the same page when it is dark.

        Where the dark one differs in nothing but colours, the rules that look at colours are all that can say more.
        """
        found, light = self(page), page.evaluate(self.LOOKS)
        page.emulate_media(color_scheme="dark")
        assert page.evaluate("matchMedia('(prefers-color-scheme: dark)').matches")
        is_alike = page.evaluate(self.LOOKS) == light
        found += self._violations(page, self.COLOURS) if is_alike else self(page)
        page.emulate_media(color_scheme="light")
        return found

    def _violations(self, page, rules: tuple[str, ...]) -> list[str]:
        if page.evaluate("typeof axe") == "undefined":
            page.evaluate(self._source)
        found = page.evaluate(
            "rules => axe.run(document, {runOnly: rules, resultTypes: ['violations'], preload: false})", list(rules)
        )
        return [
            f"{rule['id']}: {node['html']} {node['failureSummary']}"
            for rule in found["violations"]
            for node in rule["nodes"]
        ]


@pytest.fixture(scope="session")
def axe():
    """Give a function that lists what axe-core finds in an open page."""
    return Axe(npm_file("axe-core", "axe.min.js").read_text(encoding="utf-8"))


class HtmlChecker:
    """The Nu HTML checker, started once and asked over the loopback address: it takes seconds to start."""

    # Read from disk it takes every asset for one of another origin; what is really blocked a visit shows.
    NOT_OURS = "violates Content Security Policy"

    def __init__(self, java: str, jar: Path):
        with socket.socket() as found:
            found.bind(("127.0.0.1", 0))
            self._port = found.getsockname()[1]
        command = [
            java,
            # Few pages for a compiler that takes its time: the quick one alone takes half the processor time.
            "-XX:TieredStopAtLevel=1",
            "-XX:+UseSerialGC",
            "-Xss4m",
            "-Dnu.validator.servlet.bind-address=127.0.0.1",
            "-cp",
            str(jar),
            "nu.validator.servlet.Main",
            str(self._port),
        ]
        self._running = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        for _ in range(1200):
            with suppress(OSError), socket.create_connection(("127.0.0.1", self._port)):
                return
            assert self._running.poll() is None, "the HTML checker did not start"
            time.sleep(0.1)
        raise AssertionError("the HTML checker does not answer")

    def messages(self, page: Path) -> list[str]:
        connection = http.client.HTTPConnection("127.0.0.1", self._port, timeout=120)
        headers = {"Content-Type": "text/html; charset=utf-8", "User-Agent": "tests"}
        with closing(connection):
            connection.request("POST", "/?out=json", page.read_bytes(), headers)
            found = json.loads(connection.getresponse().read())["messages"]
        return [
            f"{page.name}:{m.get('lastLine')}: {m['message']} {m.get('extract', '')!r}"
            for m in found
            if self.NOT_OURS not in m["message"]
        ]

    def end(self) -> None:
        self._running.terminate()
        self._running.wait()


@pytest.fixture(scope="session")
def html_checker(java):
    checker = HtmlChecker(java, npm_file("vnu-jar", "build/dist/vnu.jar"))
    yield checker
    checker.end()


@pytest.fixture(scope="session")
def vnu(html_checker):
    """Give a function that lists what the Nu HTML checker says about files or about the pages in folders."""

    def messages(*paths: Path) -> list[str]:
        pages = [page for path in paths for page in (sorted(path.rglob("*.html")) if path.is_dir() else [path])]
        assert pages, "nothing to be checked"
        return [said for page in pages for said in html_checker.messages(page)]

    return messages


class Windows:
    """Windows of one browser, kept for the next test: a new one starts a process, which costs more than most pages."""

    # As many as the tests of a file have open at once, but for a few.
    KEPT = 4

    def __init__(self, browser):
        self._browser = browser
        self._taken: dict = {}
        self._free: list = []

    def take(
        self,
        *,
        viewport: tuple[int, int] = (1440, 900),
        color_scheme: str = "light",
        reduced_motion: str = "no-preference",
        forced_colors: str = "none",
        **kind: bool,
    ):
        """Give an empty window; what cannot be changed in an open one (has_touch=True and the like) is its kind."""
        page = next((page for page, known in self._free if known == kind), None)
        if page:
            self._free.remove((page, kind))
        else:
            page = self._browser.new_context(**kind).new_page()
        self._taken[page] = kind
        page.set_viewport_size({"width": viewport[0], "height": viewport[1]})
        page.emulate_media(
            media="null", color_scheme=color_scheme, reduced_motion=reduced_motion, forced_colors=forced_colors
        )
        return page

    def give_back(self, page) -> None:
        kind = self._taken.pop(page, None)
        if kind is None:
            return
        if len(self._free) < self.KEPT and self._is_clean(page):
            page.mouse.move(-1, -1)
            page.goto("about:blank")
            self._free.append((page, kind))
        else:
            page.context.close()

    def give_all_back(self) -> None:
        for page in list(self._taken):
            self.give_back(page)

    @staticmethod
    def _is_clean(page) -> bool:
        """Say that whoever opens the next page in this window finds nothing of the last."""
        if page.is_closed() or len(page.context.pages) > 1 or page.context.cookies():
            return False
        kept = "() => { try { return localStorage.length + sessionStorage.length; } catch { return -1; } }"
        return page.evaluate(kept) == 0


@pytest.fixture(scope="module")
def windows(browser):
    return Windows(browser)


@pytest.fixture
def window(windows):
    """Give a function that gives an empty window: window(viewport=(390, 844), color_scheme="dark")."""
    yield windows.take
    windows.give_all_back()


class Visit:
    """One page opened in the browser, and all it said and asked for."""

    def __init__(self, page, address: str):
        self.console: list[str] = []
        self.outside: list[str] = []
        self.page = page
        self.home = address.partition("://")[0]
        self._heard = {
            "console": lambda message: self.console.append(message.text),
            "pageerror": lambda error: self.console.append(str(error)),
            "requestfailed": lambda request: self.console.append(f"failed: {request.url}"),
            "request": self._note_request,
        }
        for event, hear in self._heard.items():
            self.page.on(event, hear)
        self.page.goto(address)

    def _note_request(self, request) -> None:
        if request.url.partition(":")[0] not in (self.home, "data"):
            self.outside.append(request.url)

    def end(self) -> None:
        for event, hear in self._heard.items():
            self.page.remove_listener(event, hear)
        self._heard.clear()

    @property
    def overhang(self) -> int:
        """Give by how many pixels the page is wider than the window."""
        return self.page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")


class Visitor:
    """Opens pages, each in an empty window of its own."""

    def __init__(self, windows: Windows):
        self._windows = windows
        self._visits: list[Visit] = []

    def __call__(self, target: Path | str, *, width: int = 1440, height: int = 1000, scheme: str = "light") -> Visit:
        page = self._windows.take(viewport=(width, height), color_scheme=scheme, reduced_motion="reduce")
        self._visits.append(Visit(page, target.as_uri() if isinstance(target, Path) else target))
        return self._visits[-1]

    def each(self, targets: Iterable[Path | str], **how) -> Iterator[Visit]:
        """Open one page after the other; what was seen of one is read before the next is asked for."""
        for target in targets:
            seen = self(target, **how)
            yield seen
            seen.end()
            self._windows.give_back(seen.page)

    def end(self) -> None:
        for seen in self._visits:
            seen.end()
        self._windows.give_all_back()


@pytest.fixture
def visit(windows):
    """Give what opens a page in an empty window: visit(path, width=390, scheme="dark").page."""
    visitor = Visitor(windows)
    yield visitor
    visitor.end()
