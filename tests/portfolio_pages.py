"""A portfolio written to disk for tests."""

from archgen.outputs.portfolio.site import PortfolioSite
from archgen.outputs.portfolio.theme import portfolio_theme
from archgen.outputs.public_pictures import PublicPictures
from archgen.publication.public_catalogue import make_public_catalogue

TEXTS = {
    "about": "I draw birds, one at a time.\n\n## Studio\n\nSecond floor.",
    "booking": "# Booking\n\nBooks are open for March.\n\n1. where on the body\n2. how large\n\n"
    "[booking@example.org](mailto:booking@example.org)",
    "care": "Wash it. Wait.",
}


def write_portfolio(catalogue, folder, texts=None):
    blobs, theme = catalogue.config.root / "blobs", portfolio_theme(catalogue.config)
    cleared = make_public_catalogue(catalogue)
    site = PortfolioSite(cleared, PublicPictures(cleared, blobs), TEXTS if texts is None else texts, theme)
    for artifact in site.artifacts():
        path = folder / artifact.path
        assert not path.exists(), f"{artifact.path} is planned twice"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(artifact.make() if artifact.make else artifact.source.read_bytes())
    return folder
