"""All outputs, in the order they are made; the private archive comes last, so that it can show what the others are."""

from collections.abc import Mapping
from pathlib import Path

from archgen.audit.clearance import clear
from archgen.catalogue import Catalogue
from archgen.outputs.archive_site import ArchiveSite
from archgen.outputs.artifact import Output
from archgen.outputs.case_sheet import CaseSheets
from archgen.outputs.portfolio_site import PortfolioSite


def outputs(catalogue: Catalogue, blobs: Path, texts: Mapping[str, str]) -> tuple[Output, ...]:
    """Give every output; blobs is the folder of the picture copies, texts the artist's public pages in Markdown."""
    return (
        PortfolioSite(clear(catalogue), blobs, texts),
        CaseSheets(catalogue, blobs),
        ArchiveSite(catalogue, blobs),
    )
