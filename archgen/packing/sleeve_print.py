"""The sheet with one client's limbs laid flat, from the records and the stencils that went on the skin."""

from dataclasses import replace
from pathlib import Path

import msgspec

from archgen.build import Options, picture_cache
from archgen.catalogue import Catalogue
from archgen.errors import UsageError, WithheldError
from archgen.holdings.person import ClientRecords, find_person, values_of_others
from archgen.languages.house import say
from archgen.leaks.search import LeakSearch
from archgen.limbs.sleeve import AskedMeasures, lay_out
from archgen.limbs.wishes import wishes_of
from archgen.outputs.sheets.sleeve_sheet import SleeveSheet, SleeveWish, make_sleeve_sheet, sleeve_sheet
from archgen.picture_facts.facts import ImageJob, Role
from archgen.picture_facts.stage import read_pictures
from archgen.pieces.overview import PieceOverview
from archgen.pieces.survey import survey
from archgen.progress import ProgressReporter
from archgen.reading.records import recall_records
from archgen.storage.cache import Cache
from archgen.values.frozen import Value


class SleeveAsked(Value, frozen=True):
    """What is asked for: measures that were taken, a new piece in mm, and whether notes are printed."""

    measures: AskedMeasures = AskedMeasures()
    new: tuple[float, float] | None = None
    notes: bool = False


class SleevePrint(Value, frozen=True):
    """The sheet as it is and what it says."""

    code: str
    sheet: SleeveSheet
    pdf: bytes


def make_sleeve(  # noqa: PLR0913, PLR0917  one call, from one place
    root: Path,
    out: Path,
    typed: str,
    asked: SleeveAsked,
    options: Options,
    progress: ProgressReporter,
) -> SleevePrint:
    """Make it; nothing is written but the picture cache of the build folder, where there is one.

    Raises:
        UsageError: Nobody has that code, or no piece names it.
        WithheldError: Somebody else is named in what would be printed.
        ArchgenError: The settings or the archive folder cannot be used.
    """
    catalogue = recall_records(root, out, options.built_on)
    person = find_person(catalogue, typed)
    if not person.pieces:
        raise UsageError(say("No piece names {code} yet, so there is nothing to lay out.", code=person.code))
    search = LeakSearch(values_of_others(catalogue, person))
    with picture_cache(out) as cache:
        pieces = _overviews(catalogue, person, cache, options, progress)
        sleeve = lay_out(pieces, asked.measures)
        wishes = wishes_of(pieces, person.client) if asked.notes else ()
        notes = tuple(one for one in wishes if not search.in_text(one.text))
        sheet = sleeve_sheet(
            pieces, sleeve, SleeveWish(person.code, asked.new, notes), catalogue.config, options.built_on
        )
        if search.in_text(msgspec.json.encode(sheet).decode()):
            raise WithheldError(
                say(
                    "A title or a place of this client names somebody else, or may. Nothing was written; put "
                    "it in other words first."
                )
            )
        blobs = {piece.drawing for limb in sheet.limbs for piece in limb.pieces if piece.drawing}
        drawings = {blob: (cache.blobs / blob).read_bytes() for blob in sorted(blobs)}
        cache.save()
    return SleevePrint(person.code, sheet, make_sleeve_sheet(sheet, drawings, options.built_on))


def _overviews(
    catalogue: Catalogue, person: ClientRecords, cache: Cache, options: Options, progress: ProgressReporter
) -> tuple[PieceOverview, ...]:
    """Work out what follows from the client's pieces, with their applied stencils alone as pictures."""
    stencils = [(piece, piece.applied_stencil) for piece in person.pieces]
    jobs = [ImageJob(f"{piece.folder}/{one.file}", Role.STENCIL) for piece, one in stencils if one]
    read = read_pictures(jobs, catalogue.config.root, cache, options.workers, progress)
    facts = {path: result.facts for path, result in read.items() if result.facts}
    surveyed = survey(replace(catalogue, pieces=person.pieces, facts=facts))
    return tuple(surveyed.overviews.values())
