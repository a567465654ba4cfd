"""What is measured with what pieces record: stencils gauged (limits, needles, limb, versions), photos laid by points.

Between the picture stages and the records, which do not know each other.
"""

from collections.abc import Iterator
from dataclasses import replace

from archgen.catalogue import Catalogue
from archgen.config import Limits
from archgen.findings import Finding, Place, Severity
from archgen.languages.house import say
from archgen.picture_facts.gauge_facts import GaugeJob, PairJob
from archgen.picture_facts.gauge_stage import compare_versions, gauge_stencils
from archgen.picture_facts.laid_facts import LaidFacts, LayJob, PointPair, line_picture
from archgen.picture_facts.laid_stage import lay_pictures
from archgen.pieces.from_photos import FromPhotos, from_photos
from archgen.pieces.materials import finest_needle
from archgen.pieces.photos import photos_to_lay
from archgen.progress import ProgressReporter
from archgen.records.model import Piece, Stencil
from archgen.records.vocabulary.limb import limb_at
from archgen.stencils.stroke_width import LARGEST_MM, GaugeLimits
from archgen.storage.cache import Cache


def gauge_limits(limits: Limits) -> GaugeLimits:
    """Give the limits of the settings."""
    return GaugeLimits(stroke_mm=limits.stroke_mm, gap_mm=limits.gap_mm)


def gauge_archive(catalogue: Catalogue, cache: Cache, workers: int, progress: ProgressReporter) -> Catalogue:
    """Add the gauge of every stencil with a width, and where each version lies over the one it was made from."""
    jobs = {(job.path, job.width_mm): job for piece in catalogue.pieces for job in _gauge_jobs(catalogue, piece)}
    gauged = gauge_stencils(list(jobs.values()), catalogue.config.root, cache, workers, progress)
    pairs = [(piece, pair) for piece in catalogue.pieces for pair in version_pairs(catalogue, piece)]
    compared = compare_versions([job for _, (_, _, job) in pairs], cache, workers, progress)
    found = (
        *(catalogue.of_its_piece(finding) for finding in gauged.findings),
        *(_not_compared(piece, first, second) for piece, (first, second, job) in pairs if job not in compared),
    )
    catalogue = replace(catalogue, findings=(*catalogue.findings, *found))
    known = {place: gauged.facts[job] for place, job in jobs.items() if job in gauged.facts}
    return catalogue.with_gauges(known, compared)


def _not_compared(piece: Piece, first: Stencil, second: Stencil) -> Finding:
    problem = say(
        "{file} could not be laid over {other_file}, the version it was made from.",
        file=second.file,
        other_file=first.file,
    )
    remedy = say("Both can be printed. Open both in another program and save them again as PNG to see what changed.")
    return Finding(
        "image.not-compared", Severity.NOTE, piece.id, Place(f"{piece.folder}/{second.file}"), problem, remedy
    )


def _gauge_jobs(catalogue: Catalogue, piece: Piece) -> Iterator[GaugeJob]:
    if piece.record is None:
        return
    finest, limb = finest_needle(piece.record), limb_at(piece.record.placement)
    applied = piece.applied_stencil
    for stencil in piece.record.stencil:
        facts = catalogue.picture(piece, stencil.file)
        if facts is None or facts.print_copy is None or facts.marks is None or not _is_size(stencil.width):
            continue
        yield GaugeJob(
            path=facts.path,
            digest=facts.digest,
            design=facts.print_copy.blob,
            width_mm=float(stencil.width or 0),
            stroke_mm=catalogue.config.limits.stroke_mm,
            gap_mm=catalogue.config.limits.gap_mm,
            mirrored=stencil.mirrored,
            bundle_mm=finest.bundle_mm if finest else None,
            girth_mm=limb.girth_mm if limb and limb.is_believable and stencil == applied else None,
            on_paper=stencil == applied,
        )


def _is_size(width_mm: float | None) -> bool:
    return width_mm is not None and 1 <= width_mm <= LARGEST_MM


def version_pairs(catalogue: Catalogue, piece: Piece) -> Iterator[tuple[Stencil, Stencil, PairJob]]:
    """List each version with the one it was made from, when both can be seen; without widths both count as equal."""
    versions = piece.record.stencil if piece.record else ()
    by_number = {stencil.version: stencil for stencil in versions if stencil.version is not None}
    for child in versions:
        parent = by_number.get(child.parent) if child.parent is not None else None
        if parent is None or parent is child:
            continue
        copies = [facts.print_copy if (facts := catalogue.picture(piece, s.file)) else None for s in (parent, child)]
        if copies[0] is None or copies[1] is None:
            continue
        known = parent.width and child.width
        first_mm, second_mm = (float(parent.width or 0), float(child.width or 0)) if known else (100.0, 100.0)
        yield (
            parent,
            child,
            PairJob(copies[0].blob, copies[1].blob, first_mm, second_mm, parent.mirrored, child.mirrored),
        )


def lay_archive(catalogue: Catalogue, cache: Cache, workers: int, progress: ProgressReporter) -> Catalogue:
    """Add how the photos of every piece lie on each other."""
    jobs = (lay_job(piece, catalogue, from_photos(piece, catalogue)) for piece in catalogue.pieces)
    wanted = list(dict.fromkeys(job for job in jobs if job))
    return replace(catalogue, laid=lay_pictures(wanted, cache, workers, progress))


def laid_of(piece: Piece, catalogue: Catalogue, proposed: FromPhotos) -> LaidFacts | None:
    """Give how the photos of a piece lie on each other; None where nothing is known, or nothing was laid."""
    job = lay_job(piece, catalogue, proposed) if catalogue.laid else None
    return catalogue.laid.get(job) if job else None


def lay_job(piece: Piece, catalogue: Catalogue, proposed: FromPhotos) -> LayJob | None:
    """Give what there is to lay: a fresh photo on a healed one, or a stencil on a photo at least."""
    photos = [(one.photo.file, one.facts) for one in photos_to_lay(piece, catalogue, proposed)]
    seen = [(file, line_picture(facts)) for file, facts in photos if facts and facts.screen]
    stencil = piece.applied_stencil
    drawn = catalogue.picture(piece, stencil.file) if stencil else None
    is_drawn = stencil is not None and drawn is not None and bool(drawn.screen)
    if not seen or (len(seen) < 2 and not is_drawn):
        return None
    if stencil is None or drawn is None or not is_drawn:
        return LayJob(tuple(one for _, one in seen), None, None, tuple(() for _ in seen))
    left, _, right, _ = drawn.marks or (0, 0, drawn.width, drawn.height)
    return LayJob(
        photos=tuple(one for _, one in seen),
        drawing=line_picture(drawn, mirrored=stencil.mirrored),
        drawing_px_per_mm=(right - left) / stencil.width if stencil.width else None,
        on_photos=tuple(tuple(_points(stencil, file)) for file, _ in seen),
    )


def _points(stencil: Stencil, file: str) -> Iterator[PointPair]:
    for mark in stencil.landmark:
        if mark.on == file:
            yield (float(mark.stencil[0]), float(mark.stencil[1]), float(mark.at[0]), float(mark.at[1]))
