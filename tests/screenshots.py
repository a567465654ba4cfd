"""Take the README's pictures from a built demo archive: ``python -m tests.screenshots build``."""

import shutil
import subprocess
import sys
import tempfile
from io import BytesIO
from pathlib import Path

from PIL import Image
from playwright.sync_api import Browser, sync_playwright

SHOTS = Path(__file__).parent / "shots"
WIDTH_PX = 760
PIECE = "2025-02-08-barn-owl"
DESKTOP = {
    "archive-home": "archive/index.html",
    "archive-piece": f"archive/pieces/{PIECE}.html",
    "archive-stencils": "archive/stencils.html",
    "archive-doubles": "archive/doubles.html",
    "portfolio-home": "portfolio/index.html",
    "portfolio-piece": "portfolio/pieces/barn-owl.html",
}
PHONE = (
    ("portfolio/index.html", "light"),
    ("archive/index.html", "dark"),
    (f"archive/pieces/{PIECE}.html", "light"),
)


def take(browser: Browser, page: Path, width: int, height: int, scheme: str = "light") -> Image.Image:
    """Open a page from disk and take what is first seen of it."""
    context = browser.new_context(viewport={"width": width, "height": height}, color_scheme=scheme)  # type: ignore[arg-type]
    tab = context.new_page()
    tab.goto(page.resolve().as_uri(), wait_until="load")
    picture = Image.open(BytesIO(tab.screenshot())).convert("RGB")
    context.close()
    return picture


def save(picture: Image.Image, name: str) -> None:
    """Save a picture small."""
    picture.thumbnail((WIDTH_PX, WIDTH_PX), Image.Resampling.LANCZOS)
    picture.save(SHOTS / f"{name}.jpg", quality=82, optimize=True)


def beside(pictures: list[Image.Image], gap: int = 24) -> Image.Image:
    """Put pictures side by side on gray."""
    height = max(picture.height for picture in pictures)
    sheet = Image.new("RGB", (sum(p.width + gap for p in pictures) - gap, height), (128, 128, 128))
    left = 0
    for picture in pictures:
        sheet.paste(picture, (left, 0))
        left += picture.width + gap
    return sheet


def sheet_pages(pdf: Path) -> list[Image.Image]:
    """Draw the first two pages of a PDF."""
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run(["pdftoppm", "-r", "80", "-l", "2", "-png", pdf, f"{folder}/page"], check=True)
        return [Image.open(path).convert("RGB") for path in sorted(Path(folder).glob("*.png"))]


def main(build: Path) -> None:
    """Take all pictures."""
    SHOTS.mkdir(exist_ok=True)
    names = ("chromium-headless-shell", "chromium", "chromium-browser")
    chromium = next(filter(None, map(shutil.which, names)), None)
    with sync_playwright() as driver:
        browser = driver.chromium.launch(
            executable_path=chromium, args=["--no-sandbox", "--disable-background-networking"]
        )
        for name, path in DESKTOP.items():
            save(take(browser, build / path, 1440, 1000), name)
        save(beside([take(browser, build / path, 390, 844, scheme) for path, scheme in PHONE]), "phone")
        browser.close()
    save(beside(sheet_pages(build / "sheets" / f"{PIECE}.pdf")), "case-sheet")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
