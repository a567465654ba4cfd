"""A portfolio written to disk for tests, and how its pages are read."""

import json

import html5lib

from archgen.outputs.portfolio.site import PortfolioSite
from archgen.outputs.portfolio.theme import portfolio_theme
from archgen.outputs.public_pictures import PublicPictures
from archgen.publication.decision import decide_all
from archgen.publication.public_catalogue import publish

TEXTS = {
    "about": "I draw birds, one at a time.\n\n## Studio\n\nSecond floor.",
    "booking": "# Booking\n\nBooks are open for March.\n\n1. where on the body\n2. how large\n\n"
    "[booking@example.org](mailto:booking@example.org)",
    "care": "Wash it. Wait.",
}


def write_portfolio(catalogue, folder, texts=None, laid=None):
    blobs, theme = catalogue.config.root / "blobs", portfolio_theme(catalogue.config)
    cleared = publish(catalogue, decide_all(catalogue), laid).catalogue
    site = PortfolioSite(cleared, PublicPictures(cleared, blobs), TEXTS if texts is None else texts, theme)
    for artifact in site.artifacts():
        path = folder / artifact.path
        assert not path.exists(), f"{artifact.path} is planned twice"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(artifact.make() if artifact.make else artifact.source.read_bytes())
    return folder


def parsed(path):
    return html5lib.parse(path.read_text(encoding="utf-8"), namespaceHTMLElements=False)


def json_ld(page):
    """Give what a page tells machines in its one block of data."""
    (script,) = (one for one in parsed(page).iter("script") if one.get("type"))
    return json.loads(script.text)
