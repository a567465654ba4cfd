"""Read the archive again after a save: what did not change is taken over, so that the page shows it at once.

What takes long (comparing all pictures, gauging stencils, public copies) follows with the build in the background.
"""

from collections.abc import Iterator
from dataclasses import replace
from itertools import chain

import msgspec

from archgen.build import Options, checked, with_pictures
from archgen.catalogue import Catalogue, DoubleGroup, Twins
from archgen.doubles.decisions import Decided
from archgen.doubles.find import decided_of
from archgen.picture_facts.jobs import picture_jobs
from archgen.pieces.survey import SurveyedCatalogue
from archgen.progress import Silent
from archgen.reading.records import read_records
from archgen.records.memory import memory_in
from archgen.records.model import Piece
from archgen.storage.cache import Cache


def read_again(before: SurveyedCatalogue, cache: Cache, options: Options) -> SurveyedCatalogue:
    """Read all records, and the pictures of those pieces that changed.

    Raises:
        ArchgenError: The settings or the archive folder cannot be used any more.
    """
    memory = memory_in(cache.folder)
    records = read_records(before.config.root, options.built_on, memory)
    memory.save()
    known = {piece.id: piece for piece in before.to_show}
    changed = [piece for piece in records.to_show if known.get(piece.id) != piece]
    there = {path for piece in records.to_show for path in _pictures(piece)}
    # What a record says changes no picture; one that was replaced by hand is seen by the build that follows.
    kept = {path for piece in records.to_show if known.get(piece.id) == piece for path in _pictures(piece)}
    kept |= there & before.facts.keys()
    jobs = [job for job in picture_jobs(changed) if job.path not in kept]
    findings = tuple(
        finding for finding in before.findings if finding.place.file in kept and _is_of_a_file(finding.code)
    )
    facts = {path: facts for path, facts in before.facts.items() if path in kept}
    catalogue = replace(records, facts=facts, findings=(*records.findings, *findings), portfolio=before.portfolio)
    catalogue = _as_if_copied(with_pictures(catalogue, jobs, cache, options, Silent()))
    return checked(
        _as_compared_before(catalogue, before, kept | {job.path for job in jobs if job.path in catalogue.facts})
    )


def _as_if_copied(catalogue: Catalogue) -> Catalogue:
    """Take the copies for the screen as those for the public, which the build makes; no page of the desk shows them."""
    facts = {
        path: one if one.public else msgspec.structs.replace(one, public=one.screen)
        for path, one in catalogue.facts.items()
    }
    return replace(catalogue, facts=facts)


def _pictures(piece: Piece) -> Iterator[str]:
    return chain(piece.photos, piece.stencils, piece.references)


def _is_open(group: DoubleGroup, decided: Decided) -> bool:
    """Say whether something about a group is still to be decided."""
    return not group.pairs or any(decided.verdict(pair.a, pair.b) is None for pair in group.pairs)


def _is_of_a_file(code: str) -> bool:
    """Say whether a finding tells what a picture itself is like, whatever records say of it."""
    return code.startswith("image.")


def _as_compared_before(catalogue: Catalogue, before: Catalogue, there: set[str]) -> Catalogue:
    """Take over what pictures had in common, as far as they are still there."""
    twins, decided = before.twins, decided_of(catalogue)
    kept = Twins(
        pairs=tuple(pair for pair in twins.pairs if {pair.a, pair.b} <= there),
        doubles=tuple(group for group in twins.doubles if set(group.paths) <= there and _is_open(group, decided)),
        settled=tuple(one for one in twins.settled if set(one.decision.images) <= there),
        moments=tuple(moment for moment in twins.moments if set(moment) <= there),
        symmetric=twins.symmetric & there,
        parts=tuple(pair for pair in twins.parts if set(pair) <= there),
    )
    return replace(catalogue.with_gauges(before.gauges, before.overlays), twins=kept)
