"""All outputs, in the order they are made: public ones first, so that private ones can show what was found in them."""

from dataclasses import replace
from functools import partial
from pathlib import Path

from archgen.extensions import Extensions, read_extensions
from archgen.findings import Finding
from archgen.outputs.added import AddedOutput, PrivateOutput, PublicOutput, named_output
from archgen.outputs.archive.site import ArchiveSite, way_to_originals
from archgen.outputs.artifact import Output
from archgen.outputs.known_keys import KnownKeys
from archgen.outputs.portfolio.site import PortfolioSite
from archgen.outputs.portfolio.theme import added_themes, portfolio_theme
from archgen.outputs.public_pictures import PublicPictures
from archgen.outputs.reprints.stencil_reprint import StencilReprints
from archgen.outputs.sheets.case_sheet import CaseSheets
from archgen.pieces.survey import SurveyedCatalogue
from archgen.publication.public_catalogue import PublicCatalogue, PublicClaim, visible
from archgen.supplies.made_of import in_use

_TAKEN = (PortfolioSite.folder, CaseSheets.folder, StencilReprints.folder, ArchiveSite.folder, "cache")


def public_outputs(catalogue: SurveyedCatalogue, cleared: PublicCatalogue, blobs: Path) -> tuple[Output, ...]:
    """Give what is meant for others, the portfolio first; blobs is the folder of the picture copies."""
    pictures = PublicPictures(cleared, blobs)
    added = [
        AddedOutput(one.name, one, partial(one.value.artifacts, cleared, pictures))
        for one in added_outputs().added
        if isinstance(one.value, PublicOutput)
    ]
    told = replace(cleared, claims=_claims(catalogue))
    return (PortfolioSite(told, pictures, catalogue.texts, portfolio_theme(catalogue.config)), *added)


def _claims(catalogue: SurveyedCatalogue) -> tuple[PublicClaim, ...]:
    """Give what is told of inks and supplies; names of them stay in the studio."""
    told = (in_use(catalogue, visible(claim), catalogue.built_on) for claim in catalogue.config.claims.tell)
    return tuple(PublicClaim(found.claim, found.answer.value) for found in told if found.claim.strip())


def added_private_outputs(catalogue: SurveyedCatalogue, blobs: Path) -> tuple[Output, ...]:
    """Give what other packages make for the studio."""
    return tuple(
        AddedOutput(one.name, one, partial(one.value.artifacts, catalogue, blobs))
        for one in added_outputs().added
        if isinstance(one.value, PrivateOutput)
    )


def printed_outputs(catalogue: SurveyedCatalogue, blobs: Path, keys: KnownKeys) -> tuple[Output, ...]:
    """Give what is printed in the studio; keys are those of the last build."""
    return (CaseSheets(catalogue, blobs, keys), StencilReprints(catalogue))


def archive_output(catalogue: SurveyedCatalogue, blobs: Path, out: Path, keys: KnownKeys) -> Output:
    """Give the pages that stay in the studio and lead to everything else; out is the folder all is built into."""
    return ArchiveSite(catalogue, blobs, way_to_originals(catalogue.config.root, out), keys)


def added_outputs() -> Extensions[PublicOutput | PrivateOutput]:
    """Give the outputs of other packages."""
    return read_extensions("archgen.outputs", named_output, _TAKEN)


def extension_findings() -> tuple[Finding, ...]:
    """Say which outputs and themes of other packages cannot be used."""
    return (*added_outputs().findings, *added_themes().findings)
