"""File fifteen phone pictures in the desk, count every touch, and keep a film strip.

    python -m tests.browser.desk_run FOLDER [ARCHIVE BUILD]

FOLDER gets the screenshots at 1440 and 390 px and `counts.txt`. Without an archive the demo is copied and built, which
takes some minutes.
"""

import re
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from tests.browser.desk_steps import Artist, Count
from tests.browser.phone_pictures import archive_before, phone_pictures

ROOT = Path(__file__).resolve().parents[2]


@dataclass
class Run:
    """What one run measured."""

    width: int
    pieces: dict[str, Count] = field(default_factory=dict)
    saves: list[float] = field(default_factory=list)
    questions: list[float] = field(default_factory=list)
    planned: float = 0.0

    def lines(self) -> Iterator[str]:
        """Write the figures."""
        yield f"{self.width} px: plan of the inbox {self.planned:.1f} s"
        for name, one in self.pieces.items():
            yield (
                f"  {name:<16} {one.clicks} clicks, {one.typed} typed, {one.keys} keys, {one.scrolls} scrolls, "
                f"{one.minds} M, {one.seconds:.1f} s"
            )
        yield f"  save to fresh page: {', '.join(f'{one:.2f} s' for one in self.saves)}"
        yield f"  key to question: at most {max(self.questions, default=0) * 1000:.0f} ms"


@contextmanager
def open_desk(archive: Path, out: Path) -> Iterator[str]:
    """Start the desk as a command and give its address once the archive is read."""
    command = [sys.executable, "-m", "archgen", "desk", "--archive", str(archive), "--out", str(out), "--no-browser"]
    with subprocess.Popen(command, cwd=ROOT, stderr=subprocess.PIPE, text=True) as process:
        try:
            address = None
            while address is None:
                line = process.stderr.readline()
                if not line:
                    raise RuntimeError("the desk did not open")
                found = re.search(r"http://\S+", line)
                address = found[0] if found else None
            yield address
        finally:
            process.terminate()


def run(page: Any, address: str, pictures: list[Path], shots: Path | None = None) -> Run:
    """Do it all on one page."""
    width = page.viewport_size["width"]
    result = Run(width)
    number = 0

    def picture(name: str) -> None:
        nonlocal number
        number += 1
        if shots:
            page.screenshot(path=shots / f"{width}-{number:02d}-{name}.png")

    page.goto(address)
    page.wait_for_selector("h1:has-text('Pieces')", timeout=600_000)
    picture("home")
    begun = time.monotonic()
    page.set_input_files("#drop input[type=file]", [str(one) for one in pictures])
    page.wait_for_url("**/inbox.html*", timeout=120_000)
    page.wait_for_selector("#inbox-say:not([data-planning])", timeout=300_000)
    result.planned = time.monotonic() - begun
    picture("inbox")
    _gather(page)
    picture("inbox-gathered")
    first = Artist(page, width < 700, picture)
    first.touch("section:has(h2:has-text('26 Nov')) >> text=File this piece")
    file_piece(first, FIRST, result)
    result.pieces["Mushrooms"] = first.count
    second = Artist(page, width < 700, picture)
    second.touch(".ask:has(h3:has-text('27 Nov')) >> text=File this piece")
    file_piece(second, SECOND, result)
    result.pieces["Snake and branch"] = second.count
    third = Artist(page, width < 700, picture)
    healed = ".ask:has(h3:has-text('healed photo')) button"
    if page.locator(healed).count():
        result.saves.append(third.wait_for(lambda: third.touch(healed), ".wrote p:has-text('added to')"))
        picture("healed-added")
        result.pieces["healed photo"] = third.count
    return result


@dataclass(frozen=True)
class Wanted:
    """What is answered for a piece; needles by the places of their chips."""

    name: str
    title: str | None
    client: str
    touch: tuple[float, float]
    time: str
    needles: tuple[int, ...]
    inks: tuple[str, ...]
    rights: tuple[str, ...]


FIRST = Wanted(
    "mushrooms", "Mushroom row", "no", (0.715, 0.76), "3.5", (1, 2, 4),
    ("BK-1301", "GW1-2498", "GW2-2610", "GW3-2498"), ("Mine", "Don’t know"),
)  # fmt: skip
SECOND = Wanted(
    "snake", "Snake and branch", "ha", (0.123, 0.42), "3", (1, 3, 5),
    ("BK-1301", "GW2-2610", "GW3-2498"), ("As the file itself says",),
)  # fmt: skip


def file_piece(artist: Artist, wanted: Wanted, result: Run) -> None:
    """Fill in the whole form and save."""
    page, phone = artist.page, artist.is_phone
    page.wait_for_selector("#form")
    page.wait_for_timeout(100)
    artist.picture(f"{wanted.name}-form")

    def shot(step: str) -> None:
        if phone:
            artist.picture(f"{wanted.name}-{step}")

    artist.at_keys = True  # the field of the title has the focus when the page opens
    if phone:
        artist.touch("#f-title", thinks=False)
    artist.type(wanted.title or "", enter=True)
    shot("client")
    artist.type(wanted.client)
    page.wait_for_selector("#client-list:not([hidden])")
    shot("client-list")
    artist.press("Enter")
    shot("place")
    artist.touch("#figure", at=wanted.touch)
    shot("placed")
    if phone:
        artist.touch("#next", thinks=False)
    shot("size")
    artist.touch("#q-size .ans--offer")
    shot("hours")
    artist.touch(f"#q-time .ans:has(input[value='{wanted.time}'])")
    shot("needles")
    for place in wanted.needles:
        artist.touch(f"#q-needles > .kit .ans:nth-child({place})")
    shot("needles-chosen")
    if phone:
        artist.touch("#next", thinks=False)
    for ink in wanted.inks:
        artist.touch(f"#q-inks .ans:has(input[value='{ink}'])")
    shot("inks-chosen")
    if phone:
        artist.touch("#next", thinks=False)
    shot("release")
    artist.touch("#q-release .ans:has(input[value='both'])")
    questions = page.locator("[id^='q-ref-']")
    for at, right in enumerate(wanted.rights):
        shot(f"reference-{at + 1}")
        name = questions.nth(at).get_attribute("id")
        offered = page.locator(f"#{name} .ans:has-text('{right}')").count()
        artist.touch(f"#{name} .ans:has-text('{right if offered else 'Mine'}')")
    shot("person")
    _finish(artist, wanted, result)


def _finish(artist: Artist, wanted: Wanted, result: Run) -> None:
    """Answer the last two questions and save."""
    page, phone = artist.page, artist.is_phone
    artist.touch("#q-person .ans:has(input[value='none'])")
    if phone:
        artist.picture(f"{wanted.name}-portfolio")
    artist.touch("#q-publish .ans:has(input[value='yes'])")
    artist.picture(f"{wanted.name}-filled")
    if not phone:
        result.questions.append(_key_to_question(page))
    save = "#next" if phone else "#save"
    result.saves.append(artist.wait_for(lambda: artist.touch(save), ".wrote"))
    artist.picture(f"{wanted.name}-saved")


def _gather(page: Any) -> None:
    """Put pictures where they belong that the plan left in groups of their own; needs no count once the plan knows."""
    for name, day in (
        ("mushrooms-1.png", "26 Nov"), ("mushroom-plate.jpg", "26 Nov"), ("IMG_2299.jpg", "26 Nov"),
        ("snake-1.png", "27 Nov"), ("branch-snake.jpg", "27 Nov"),
    ):  # fmt: skip
        here = page.locator(f"section.bunch:has(h2:has-text('{day}')) a[aria-label^='{name}']")
        if here.count() == 0 and page.locator(f"a[aria-label^='{name}']").count():
            page.locator(f"a[aria-label^='{name}']").click()
            page.wait_for_load_state()
            page.locator(f".look-at button[name=group]:has-text('{day}')").filter(visible=True).first.click()
            page.wait_for_load_state()


def _key_to_question(page: Any) -> float:
    """Measure from a key in the field of the place to the short question on the page, and put the field back."""
    took = page.evaluate(
        """() => new Promise(done => {
            const field = document.getElementById('f-place'), box = document.getElementById('ask-place');
            const before = field.value, begun = performance.now();
            const watch = new MutationObserver(() => {
                if (!box.textContent) { return; }
                watch.disconnect();
                const took = performance.now() - begun;
                field.value = before;
                field.dispatchEvent(new Event('input', {bubbles: true}));
                window.setTimeout(() => done(took / 1000), 150);
            });
            watch.observe(box, {childList: true, subtree: true});
            field.value = 'arm';
            field.dispatchEvent(new Event('input', {bubbles: true}));
        })"""
    )
    return float(took)


def main(folder: Path, archive: Path | None = None, out: Path | None = None) -> None:
    """Run at both widths, each on a fresh copy."""
    from playwright.sync_api import sync_playwright

    folder.mkdir(parents=True, exist_ok=True)
    said = []
    with TemporaryDirectory() as work, sync_playwright() as driver:
        place = Path(work)
        pictures = phone_pictures(ROOT / "content", place / "phone")
        path = shutil.which("chromium-headless-shell") or shutil.which("chromium")
        browser = driver.chromium.launch(executable_path=path, args=["--no-sandbox", "--disable-background-networking"])
        for width, height in ((1440, 900), (390, 844)):
            here = archive_before(archive or ROOT / "content", place / str(width) / "archive")
            built = place / str(width) / "built"
            if out:
                shutil.copytree(out, built, ignore=shutil.ignore_patterns("built-from", "intake", "kept"))
            with open_desk(here, built) as address:
                context = browser.new_context(viewport={"width": width, "height": height}, reduced_motion="reduce")
                result = run(context.new_page(), address, pictures, folder)
                context.close()
            said += result.lines()
            out = built  # its pictures are read already
            records = sorted((here / "pieces").glob("2026-11-2*/piece.toml"))
            said += [f"--- {one.parent.name}\n{one.read_text(encoding='utf-8')}" for one in records]
        browser.close()
    (folder / "counts.txt").write_text("\n".join(said), encoding="utf-8")
    print("\n".join(said))


if __name__ == "__main__":
    main(*(Path(one) for one in sys.argv[1:]))
