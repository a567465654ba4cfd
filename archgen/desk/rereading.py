"""Read the archive again after a save: what did not change is taken over, so that the page shows it at once.

What takes long (comparing all pictures, gauging stencils, public copies) follows with the build in the background.
"""

from collections.abc import Iterator
from dataclasses import replace
from itertools import chain

import msgspec

from archgen.build import Options, checked, picture_jobs, read_records, with_pictures
from archgen.catalogue import Catalogue, Twins
from archgen.pieces.survey import SurveyedCatalogue
from archgen.progress import Silent
from archgen.records.memory import Memory
from archgen.records.model import Piece
from archgen.storage.cache import Cache


def read_again(before: SurveyedCatalogue, cache: Cache, options: Options) -> SurveyedCatalogue:
    """Read all records, and the pictures of those pieces that changed.

    Raises:
        ArchgenError: The settings or the archive folder cannot be used any more.
    """
    memory = Memory(cache.folder / "records.json")
    records = read_records(before.config.root, options.built_on, memory)
    memory.save()
    known = {piece.id: piece for piece in before.pieces}
    changed = [piece for piece in records.pieces if known.get(piece.id) != piece]
    jobs = [msgspec.structs.replace(job, public=False) for job in picture_jobs(changed)]
    kept = {path for piece in records.pieces if known.get(piece.id) == piece for path in _pictures(piece)}
    findings = tuple(
        finding for finding in before.findings if finding.place.file in kept and _is_of_a_file(finding.code)
    )
    facts = {path: facts for path, facts in before.facts.items() if path in kept}
    catalogue = replace(records, facts=facts, findings=(*records.findings, *findings), portfolio=before.portfolio)
    catalogue = with_pictures(catalogue, jobs, cache, options, Silent())
    return checked(
        _as_compared_before(catalogue, before, kept | {job.path for job in jobs if job.path in catalogue.facts})
    )


def _pictures(piece: Piece) -> Iterator[str]:
    return chain(piece.photos, piece.stencils, piece.references)


def _is_of_a_file(code: str) -> bool:
    """Say whether a finding tells what a picture itself is like, whatever records say of it."""
    return code.startswith("image.")


def _as_compared_before(catalogue: Catalogue, before: Catalogue, there: set[str]) -> Catalogue:
    """Take over what pictures had in common, as far as they are still there."""
    twins = before.twins
    kept = Twins(
        pairs=tuple(pair for pair in twins.pairs if {pair.a, pair.b} <= there),
        doubles=tuple(group for group in twins.doubles if set(group.paths) <= there),
        settled=tuple(one for one in twins.settled if set(one.decision.images) <= there),
        moments=tuple(moment for moment in twins.moments if set(moment) <= there),
        symmetric=twins.symmetric & there,
        parts=tuple(pair for pair in twins.parts if set(pair) <= there),
    )
    return replace(catalogue.with_gauges(before.gauges, before.overlays), twins=kept)
