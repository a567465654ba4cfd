"""Turn a piece's record, or a picture with its width, and the settings into a print job; draws and writes nothing."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TypedDict, Unpack

from archgen.config import Config, PrinterSettings
from archgen.errors import UsageError, no_such_file
from archgen.languages.house import say
from archgen.papers import parse_paper
from archgen.printing import stencil_plan
from archgen.printing.page import LARGEST_MM, Rect
from archgen.printing.stencil_plan import ReprintJob, printed_pixels
from archgen.records.model import Piece, Stencil
from archgen.stencils.marks import Marks, read_marks, without_specks
from archgen.toml.problem import hint, nearest
from archgen.units import length_words
from archgen.values.frozen import Value

# How wide a drawing of lines is drawn to see how high it is: within a quarter of a per cent, and 40 times quicker than
# at the size that is drawn where nothing is asked for.
_LOOK_PX = 400
# What stencils are gauged at, too: the same drawing serves both.
_FINE_DPI = 600


class WantedPrint(Value, frozen=True):
    """What is asked for beside the defaults.

    Attributes:
        versions: Version numbers or file names; empty: the one that went on the skin.
        width_mm: None, like `height_mm`: the recorded width.
        copies: None: as many as fit on a sheet.
        mirror: None: as the printer's method wants it.
        dated: What stands for the date on the sheet; None: the day.
        without_specks: Leave out what lies far from a drawing.
    """

    printer: PrinterSettings
    day: dt.date
    versions: tuple[str, ...] = ()
    width_mm: float | None = None
    height_mm: float | None = None
    percent: float = 100.0
    region: Rect | None = None
    copies: int | None = 1
    mirror: bool | None = None
    paper: str | None = None
    dated: str | None = None
    without_specks: bool = False


class PrintWishes(TypedDict, total=False):
    """What of a print may be asked for; the fields of WantedPrint with their defaults."""

    versions: tuple[str, ...]
    width_mm: float | None
    height_mm: float | None
    percent: float
    region: Rect | None
    copies: int | None
    mirror: bool | None
    without_specks: bool


def wanted_print(
    config: Config, day: dt.date, printer: str | None = None, paper: str | None = None, **wishes: Unpack[PrintWishes]
) -> WantedPrint:
    """Give what is asked for, on a printer of the settings and on a paper by its name.

    Raises:
        UsageError: There is no such printer, or no such paper.
    """
    return WantedPrint(printer_named(config, printer), day, paper=check_paper(paper), **wishes)


def printer_named(config: Config, name: str | None) -> PrinterSettings:
    """Give a printer of the settings; None is the default one.

    Raises:
        UsageError: There is none of that name.
    """
    if name is None:
        return config.printer
    names = [printer.name for printer in config.printers]
    if name not in names:
        allowed = hint(nearest(name, names)) + say("archive.toml has: {names}.", names=", ".join(names))
        raise UsageError(say('There is no printer "{name}". {allowed}', name=name, allowed=allowed))
    return config.printers[names.index(name)]


def check_paper(name: str | None) -> str | None:
    """Refuse a paper that is typed wrongly on the command line.

    Raises:
        UsageError: The paper is not known.
    """
    try:
        return name and parse_paper(name).name
    except ValueError as error:
        raise UsageError(say('The paper "{name}" cannot be used: {error}.', name=name, error=error)) from error


def piece_job(root: Path, piece: Piece, wanted: WantedPrint) -> ReprintJob:
    """Make the job for the chosen versions of a piece.

    Raises:
        UsageError: It is not clear which version is meant, or how large it shall be.
        InputError: A stencil's file cannot be used.
    """
    chosen = choose(piece, wanted.versions)
    return _job(piece.title, [_of_record(root, piece, stencil, wanted) for stencil in chosen], wanted)


def gang_job(root: Path, pieces: Sequence[Piece], wanted: WantedPrint) -> ReprintJob:
    """Make the job for the stencils of several pieces on common sheets, each named: those that went on the skin.

    Raises:
        UsageError: It is not clear which version is meant, or how large it shall be.
        InputError: A stencil's file cannot be used.
    """
    stencils = [
        replace(_of_record(root, piece, stencil, wanted), label=f"{piece.title}, {_version_within(stencil)}")
        for piece in pieces
        for stencil in choose(piece)
    ]
    return _job(", ".join(dict.fromkeys(piece.title for piece in pieces)), stencils, wanted)


def stencil_job(root: Path, piece: Piece, stencil: Stencil, wanted: WantedPrint) -> ReprintJob:
    """Make the job for one version.

    Raises:
        UsageError: No width is recorded or asked for.
        InputError: The stencil's file cannot be used.
    """
    return _job(piece.title, [_of_record(root, piece, stencil, wanted)], wanted)


def image_job(file: Path, wanted: WantedPrint, *, stored_mirrored: bool = False) -> ReprintJob:
    """Make the job for a picture outside the archive.

    Raises:
        UsageError: No size is given.
        InputError: The file cannot be used.
    """
    if wanted.width_mm is None and wanted.height_mm is None:
        raise UsageError(say("How wide shall {name} be printed? Add --width 62mm, or --height.", name=file.name))
    return _job(file.stem, [_stencil(file, wanted, "", stored_mirrored=stored_mirrored)], wanted)


def choose(piece: Piece, versions: Sequence[str] = ()) -> tuple[Stencil, ...]:
    """Give the versions asked for, or the one that went on the skin, or the only one whose file is there.

    Raises:
        UsageError: There is no such version, or several could be meant.
    """
    known = piece.record.stencil if piece.record else ()
    if not known:
        raise UsageError(_none_described(piece))
    if versions:
        return tuple(_one_of(piece, known, text) for text in versions)
    if found := piece.applied_stencil:
        return (found,)
    applied = [stencil for stencil in known if stencil.applied]
    said = say("{title}: no stencil says applied = true.", title=piece.title)
    if applied:
        said = say("{title}: {number} stencils say applied = true.", title=piece.title, number=len(applied))
    choose_one = say(
        "Which one went on the skin? Choose with --version: {versions}. Then write applied = true with that one alone "
        "in {file}.",
        versions=_listed(applied or piece.drawings or known),
        file=piece.toml,
    )
    raise UsageError(f"{said} {choose_one}")


def version_words(stencil: Stencil) -> str:
    """Name a version."""
    if stencil.version is None:
        return stencil.file.rpartition("/")[2]
    return say("Version {version}", version=stencil.version)


def _version_within(stencil: Stencil) -> str:
    """Name a version within a sentence."""
    return version_words(stencil) if stencil.version is None else say("version {version}", version=stencil.version)


def _none_described(piece: Piece) -> str:
    if not piece.stencils:
        return say(
            "{title} has no stencil: the folder {folder}/stencils is empty.", title=piece.title, folder=piece.folder
        )
    return say(
        '{title}: no stencil is described in {file}. Add [[stencil]] with file = "{stencil}" and its width, or '
        "print it with --image.",
        title=piece.title,
        file=piece.toml,
        stencil=piece.stencils[0].removeprefix(piece.folder + "/"),
    )


def _one_of(piece: Piece, known: Sequence[Stencil], text: str) -> Stencil:
    name = text.removeprefix("v")
    for stencil in known:
        file = stencil.file.rpartition("/")[2]
        if name == str(stencil.version) or text in (stencil.file, file, file.rpartition(".")[0]):
            return stencil
    raise UsageError(
        say("{title} has no version {text}. There is {known}.", title=piece.title, text=text, known=_listed(known))
    )


def _listed(stencils: Sequence[Stencil]) -> str:
    words = []
    for stencil in stencils:
        width = say("{length} wide", length=length_words(stencil.width)) if stencil.width else say("no width recorded")
        name = stencil.version if stencil.version is not None else stencil.file.rpartition("/")[2]
        words.append(f"{name} ({width})")
    return ", ".join(words)


def _of_record(root: Path, piece: Piece, stencil: Stencil, wanted: WantedPrint) -> stencil_plan.StencilPrint:
    file = root / piece.folder / stencil.file
    _check_there(file)
    if wanted.width_mm is None and wanted.height_mm is None:
        if stencil.width is None:
            raise UsageError(_no_width(piece, stencil))
        wanted = replace(wanted, width_mm=float(stencil.width))
    return _stencil(file, wanted, version_words(stencil), stored_mirrored=stencil.mirrored)


def _no_width(piece: Piece, stencil: Stencil) -> str:
    others = [other for other in (piece.record.stencil if piece.record else ()) if other.width]
    have = " " + say("A width is recorded for {others}.", others=_listed(others)) if others else ""
    return say(
        "{title}: no width is recorded for {stencil}. Say how wide its marks were, such as --width 62mm, and note "
        "it in {file}.{have}",
        title=piece.title,
        stencil=_version_within(stencil),
        file=piece.toml,
        have=have,
    )


def _stencil(file: Path, wanted: WantedPrint, label: str, *, stored_mirrored: bool) -> stencil_plan.StencilPrint:
    marks = read_for(file, wanted.printer.dpi, _scaled(wanted.width_mm, wanted), _scaled(wanted.height_mm, wanted))
    return stencil_plan.StencilPrint(
        marks=without_specks(marks) if wanted.without_specks else _offering(marks, wanted),
        width_mm=wanted.width_mm,
        height_mm=wanted.height_mm,
        percent=wanted.percent,
        region=wanted.region,
        copies=wanted.copies,
        stored_mirrored=stored_mirrored,
        label=label,
        is_stretched=marks.is_stretched,
        specks_left_out=len(marks.specks.boxes) if marks.specks and wanted.without_specks else 0,
    )


def _offering(marks: Marks, wanted: WantedPrint) -> Marks:
    """Say with the specks that they can be left out, and how wide the drawing itself then is."""
    found = marks.specks
    if found is None:
        return marks
    width = _scaled(wanted.width_mm, wanted)
    offer = say("With --without-specks the drawing is printed alone.")
    if width and found.share:
        offer = say(
            "With --without-specks the drawing itself is {width:.1f} mm wide instead of {without:.1f}.",
            width=width,
            without=width - width * found.share,
        )
    offer = f"{found.sentence} {offer}"
    return replace(marks, warnings=tuple(offer if one == found.sentence else one for one in marks.warnings))


def _scaled(side_mm: float | None, wanted: WantedPrint) -> float | None:
    return None if side_mm is None else side_mm * wanted.percent / 100


def read_for(file: Path, dpi: int, width_mm: float | None, height_mm: float | None = None) -> Marks:
    """Read a stencil's marks; SVG and PDF are drawn at the printer's own resolution, a coarse one's as for a fine one.

    Raises:
        InputError: The file cannot be used.
    """
    _check_there(file)
    by_height = width_mm is None and height_mm is not None
    marks = read_marks(file, pixels_across=_LOOK_PX if by_height else _dots(width_mm, max(dpi, _FINE_DPI)))
    if not marks.is_vector or height_mm is None or not by_height:
        return marks
    return read_marks(file, pixels_across=_dots(height_mm * marks.width_px / marks.height_px, max(dpi, _FINE_DPI)))


def _check_there(file: Path) -> None:
    if not file.is_file():
        raise no_such_file(file)


def _dots(width_mm: float | None, dpi: int) -> int | None:
    """Give the dots across; a size that the plan will refuse is drawn small."""
    return printed_pixels(min(max(width_mm, 1.0), LARGEST_MM), dpi) if width_mm else None


def _job(title: str, stencils: Sequence[stencil_plan.StencilPrint], wanted: WantedPrint) -> ReprintJob:
    return ReprintJob(
        title=title,
        stencils=tuple(stencils),
        printer=wanted.printer,
        day=wanted.day,
        paper=wanted.paper,
        mirror=wanted.mirror,
        dated=wanted.dated,
    )
