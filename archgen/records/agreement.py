"""Whether the parts of one sound record agree, and its words of vocabularies in their canonical spelling.

What is found here is told and the record is kept: these values can be shown, only not relied on. Knows one record at
a time, neither files nor registers.
"""

import math
import re
from collections import Counter
from collections.abc import Iterator

import msgspec

from archgen.findings import Severity
from archgen.languages.house import say
from archgen.records.model import PieceRecord, Placement, Reference, Release, Stencil
from archgen.records.vocabulary.licences import PLAIN_WORDS, known_license, license_words, nearest_license
from archgen.records.vocabulary.needles import read_needles
from archgen.records.vocabulary.placements import PLACES, find_placement, place_within, side_words
from archgen.records.vocabulary.release_uses import RELEASE_USES, is_limit, known_use, nearest_use, use_question
from archgen.toml.problem import Problem, either, hint, listed, nearest, shown

# IPTC NewsCodes "digitalsourcetype", http://cv.iptc.org/newscodes/digitalsourcetype/; the last three are retired
# but still met in files.
DIGITAL_SOURCES = (
    "digitalCapture", "computationalCapture", "negativeFilm", "positiveFilm", "print", "humanEdits",
    "algorithmicallyEnhanced", "digitalCreation", "dataDrivenMedia", "screenCapture", "virtualRecording",
    "composite", "compositeCapture", "trainedAlgorithmicMedia", "compositeWithTrainedAlgorithmicMedia",
    "compositeSynthetic", "algorithmicMedia", "minorHumanEdits", "digitalArt", "softwareImage",
)  # fmt: skip


def settle(record: PieceRecord) -> tuple[PieceRecord, list[Problem]]:
    """Give the record with canonical words, and what does not agree in it; lines are still to be filled in."""
    problems: list[Problem] = []
    placement = _placement(record.placement, problems)
    references = tuple(_reference(item, n, problems) for n, item in enumerate(record.reference))
    release = _release(record.release, problems)
    problems += [*_needles(record), *_stencils(record.stencil), *_photos(record), *_landmarks(record)]
    is_same = placement is record.placement and release is record.release
    if is_same and all(a is b for a, b in zip(references, record.reference, strict=True)):
        return record, problems
    return msgspec.structs.replace(record, placement=placement, reference=references, release=release), problems


def _placement(placement: Placement, problems: list[Problem]) -> Placement:
    if placement.region is None or placement.region in PLACES:
        return placement
    key, found = "placement.region", find_placement(placement.region)
    region, side = shown(placement.region), placement.side or found.side
    if found.choices:
        places = either(place_within(place) for place in found.choices)
        text = say("Placement {region} can be {places}.", region=region, places=places)
        choices = listed(place.id for place in found.choices)
        problems.append(
            Problem(
                "ambiguous-place", key, None, text, say("Write one of: {choices}.", choices=choices), Severity.WARNING
            )
        )
    elif found.place is None:
        text = say("I can't tell where on the body {region} is.", region=region)
        remedy = hint(found.nearest) + say("Any word of the trade will do, such as outer forearm.")
        problems.append(Problem("unknown-word", key, None, text, remedy, Severity.WARNING))
    if found.side and placement.side and found.side is not placement.side:
        text = say(
            "The place {region} says {side}, the side recorded is {recorded}.",
            region=region,
            side=side_words(found.side),
            recorded=side_words(placement.side),
        )
        problems.append(Problem("two-sides", "placement.side", None, text, say("Keep the right one.")))
    return msgspec.structs.replace(placement, region=found.place.id if found.place else None, side=side)


def _reference(reference: Reference, number: int, problems: list[Problem]) -> Reference:
    changes = {}
    if reference.license is not None:
        known = known_license(reference.license)
        if known is None:
            near = nearest_license(reference.license)
            offered = list(dict.fromkeys([*([near] if near else []), *PLAIN_WORDS]))
            words = [license_words(word).partition(",")[0] for word in offered]
            text = say("Licence {license}: {words}?", license=shown(reference.license), words=either(words))
            remedy = say(
                "Write {offered}, an SPDX id such as CC-BY-4.0, or a rightsstatements.org id such as InC.",
                offered=listed(offered),
            )
            key = f"reference.{number}.license"
            problems.append(Problem("unknown-license", key, None, text, remedy))
        elif known.id != reference.license:
            changes["license"] = known.id
    if reference.digital_source is not None:
        word = reference.digital_source.rstrip("/").rpartition("/")[2]
        if word not in DIGITAL_SOURCES:
            near = nearest(word, DIGITAL_SOURCES)
            meant = say("is that {near}?", near=_spaced(near)) if near else say("what was done to the picture?")
            text = say("Digital source {word}: {meant}", word=shown(reference.digital_source), meant=meant)
            remedy = say(
                "Write {near} or another word of IPTC's list of digital source types.",
                near=near or "humanEdits, digitalArt",
            )
            problems.append(Problem("unknown-word", f"reference.{number}.digital_source", None, text, remedy))
        elif word != reference.digital_source:
            changes["digital_source"] = word
    return msgspec.structs.replace(reference, **changes) if changes else reference


def _spaced(word: str) -> str:
    """Write "human edits" for "humanEdits"."""
    return re.sub(r"(?<!^)[A-Z]", lambda letter: f" {letter[0]}", word).lower()


def _release(release: Release, problems: list[Problem]) -> Release:
    """Give the release with its uses in canonical words; what is not known stays as it was written."""
    scope = tuple(known_use(word) or word for word in release.scope)
    for number, word in enumerate(release.scope):
        if known_use(word) is None:
            near_use = nearest_use(word)
            remedy = say("Write one or more of {uses}.", uses=listed(RELEASE_USES))
            if near_use:
                remedy = say("Write {near}, if that is it.", near=near_use)
            text = say("Release for {word}: {question}", word=shown(word), question=use_question(word))
            severity = Severity.ERROR if is_limit(word) else Severity.WARNING
            problems.append(Problem("unknown-scope", f"release.scope.{number}", None, text, remedy, severity))
    return release if scope == release.scope else msgspec.structs.replace(release, scope=scope)


def _needles(record: PieceRecord) -> Iterator[Problem]:
    for number, needle in enumerate(record.needle):
        for reading in read_needles(needle.code):
            for warning in reading.warnings:
                severity = Severity.WARNING if warning.is_unread else Severity.NOTE
                remedy = say("Check the label.")
                if warning.is_unread:
                    remedy = say('Codes look like "1209RL", words like "9 round liner".')
                text = say("Needle {code}: {warning}", code=shown(reading.text), warning=warning.text)
                yield Problem(f"needle.{warning.code}", f"needle.{number}.code", None, text, remedy, severity)


def _stencils(stencils: tuple[Stencil, ...]) -> Iterator[Problem]:
    versions = Counter(stencil.version for stencil in stencils if stencil.version is not None)
    seen: set[int] = set()
    for number, stencil in enumerate(stencils):
        key, version = f"stencil.{number}", stencil.version
        if version is not None and version in seen:
            free = max(versions) + 1
            text = say("Version {version} stands twice among the stencils.", version=version)
            yield Problem(
                "version-twice",
                f"{key}.version",
                None,
                text,
                say("Give one of them another number, such as {free}.", free=free),
            )
        if version is not None:
            seen.add(version)
        if stencil.parent is None:
            continue
        if stencil.parent not in versions:
            known = listed(str(v) for v in sorted(versions)) or say("none is numbered")
            text = say(
                "It is recorded as made from version {parent}, and no stencil here has that number.",
                parent=stencil.parent,
            )
            yield Problem("no-such-parent", f"{key}.parent", None, text, say("Versions here: {known}.", known=known))
        elif _descends_from_itself(stencil, stencils):
            text = say("Version {version} is its own ancestor.", version=version)
            yield Problem(
                "circular-parent",
                f"{key}.parent",
                None,
                text,
                say("Name the version it was made from, or leave parent out."),
            )
    applied = [number for number, stencil in enumerate(stencils) if stencil.applied]
    for number in applied[1:]:
        text = say("Two stencils are recorded as the one on the skin.")
        yield Problem(
            "two-applied",
            f"stencil.{number}.applied",
            None,
            text,
            say("Keep applied = true at the version that went on the skin."),
        )


def _descends_from_itself(stencil: Stencil, stencils: tuple[Stencil, ...]) -> bool:
    parents = {item.version: item.parent for item in stencils if item.version is not None}
    ancestor, steps = stencil.parent, 0
    while ancestor is not None and steps <= len(stencils):
        if ancestor == stencil.version:
            return True
        ancestor, steps = parents.get(ancestor), steps + 1
    return False


def _photos(record: PieceRecord) -> Iterator[Problem]:
    covers = [number for number, photo in enumerate(record.photo) if photo.cover]
    for number in covers[1:]:
        text = say("Two photos are marked as the cover.")
        yield Problem(
            "two-covers",
            f"photo.{number}.cover",
            None,
            text,
            say("Keep cover = true at the one the piece is to be known by."),
        )
    seen: set[str] = set()
    described = [(f"photo.{n}.file", photo.file) for n, photo in enumerate(record.photo)]
    described += [(f"stencil.{n}.file", stencil.file) for n, stencil in enumerate(record.stencil)]
    for key, file in described:
        if file in seen:
            text = say("{file} is described twice.", file=shown(file))
            yield Problem("file-twice", key, None, text, say("Keep one of the two."), Severity.WARNING)
        seen.add(file)


def _landmarks(record: PieceRecord) -> Iterator[Problem]:
    for number, stencil in enumerate(record.stencil):
        for index, landmark in enumerate(stencil.landmark):
            if not all(math.isfinite(value) and value >= 0 for value in (*landmark.stencil, *landmark.at)):
                text = say("A landmark lies outside the picture.")
                remedy = say("Count pixels from the upper left corner: both numbers are zero or more.")
                yield Problem("bad-landmark", f"stencil.{number}.landmark.{index}", None, text, remedy)
