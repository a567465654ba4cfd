"""Fixtures for outside tools: a missing tool skips with the reason, or fails where the tools are required."""

import os
import shutil
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent


def outside_tool(name: str, *more: str) -> str:
    for candidate in (name, *more):
        found = shutil.which(candidate)
        if found:
            return found
    reason = f"needs the program {name}, which is not installed"
    if os.environ.get("ARCHGEN_REQUIRE_TOOLS") == "1":
        pytest.fail(reason)
    pytest.skip(reason)


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


@pytest.fixture(scope="session")
def browser():
    """Give a headless Chromium driven by playwright."""
    path = outside_tool("chromium", "chromium-browser", "google-chrome")
    from playwright.sync_api import sync_playwright

    flags = ["--no-sandbox", "--disable-background-networking", "--disable-component-update", "--disable-sync",
             "--no-first-run", "--disable-gpu", "--disable-quic"]
    with sync_playwright() as driver:
        chromium = driver.chromium.launch(executable_path=path, args=flags)
        yield chromium
        chromium.close()
