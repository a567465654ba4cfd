"""All outputs, in the order they are made: public ones first, so that private ones can show what was found in them."""

from pathlib import Path

from archgen.catalogue import Catalogue
from archgen.outputs.archive.site import ArchiveSite, way_to_originals
from archgen.outputs.artifact import Output
from archgen.outputs.portfolio.site import PortfolioSite
from archgen.outputs.portfolio.theme import portfolio_theme
from archgen.outputs.reprints.stencil_reprint import StencilReprints
from archgen.outputs.sheets.case_sheet import CaseSheets
from archgen.publication.public_catalogue import make_public_catalogue


def public_outputs(catalogue: Catalogue, blobs: Path) -> tuple[Output, ...]:
    """Give what is meant for others; blobs is the folder of the picture copies."""
    theme = portfolio_theme(catalogue.config)
    return (PortfolioSite(make_public_catalogue(catalogue), blobs, catalogue.texts, theme),)


def private_outputs(catalogue: Catalogue, blobs: Path, out: Path) -> tuple[Output, ...]:
    """Give what stays in the studio; out is the folder it is built into."""
    archive = ArchiveSite(catalogue, blobs, way_to_originals(catalogue.config.root, out))
    return (CaseSheets(catalogue, blobs), StencilReprints(catalogue), archive)
