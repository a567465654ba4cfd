"""archgen reprint."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from archgen.commands.options import (
    LengthOption,
    archive_option,
    paper_option,
    pdf_options,
    printer_option,
    settings,
)
from archgen.commands.speaking.yes_or_no import confirmed
from archgen.errors import UsageError
from archgen.languages.house import say
from archgen.outputs.result_file import write_file

if TYPE_CHECKING:
    from archgen.pieces.prints import WantedPrint
    from archgen.pieces.thickening import ThickenedPlan
    from archgen.printing.page import Rect
    from archgen.printing.reference_pdf import ReferenceJob
    from archgen.printing.stencil_plan import Plan, ReprintJob
    from archgen.records.model import Piece

PNG = b"\x89PNG"


@click.command()
@click.argument("words", nargs=-1, metavar="[PIECE]")
@archive_option
@click.option(
    "--image", type=click.Path(path_type=Path), metavar="FILE", help="A stencil outside the archive; needs a size."
)
@click.option(
    "--version",
    "versions",
    multiple=True,
    metavar="N",
    help="Stencil version; several share a sheet. Default: applied.",
)
@click.option("--width", type=LengthOption(), help='Width of the marks: 62mm, "6.2 cm", 2.5in … Default: as recorded.')
@click.option("--height", type=LengthOption(), help="Height of the marks instead of the width.")
@click.option(
    "--percent", type=float, default=100.0, metavar="P", help="Scale it: 90 is a tenth smaller, 110 a tenth larger."
)
@printer_option
@paper_option
@click.option("--mirror/--no-mirror", default=None, help="Default: as the printer's method needs it.")
@click.option("--stored-mirrored", is_flag=True, help="The file of --image is mirrored already; records say it.")
@click.option("--region", nargs=4, metavar="X Y W H", help="Only this part: left, top, width, height in mm as printed.")
@click.option("--copies", default="1", metavar="N", help='How many, with gaps to cut; "fit" fills the sheet.')
@click.option("--gang", is_flag=True, help="Each word is a piece: their stencils share sheets, named and cut apart.")
@click.option("--reference", is_flag=True, help="Also write the working print: the reference at the same scale.")
@click.option("--tones", type=int, default=5, show_default=True, metavar="N", help="Gray-wash tones of that print.")
@click.option(
    "--at-least", "least", type=LengthOption(), help="Thicken thinner lines to this, such as 0.25mm; shown first."
)
@click.option("--without-specks", is_flag=True, help="Leave out specks that lie far from the drawing, such as dust.")
@click.option("--yes", is_flag=True, help="Thickened lines, or the place found on the reference, are right: don't ask.")
@click.option("--fit", "girth", type=LengthOption(), help="Say how it sits round a limb of this girth.")
@click.option("--plan", "only_plan", is_flag=True, help="Say sizes and sheets; write nothing.")
@pdf_options
def reprint(words: tuple[str, ...], root: Path, out: Path | None, show: bool, **options: Any) -> None:
    """Print a stencil again at exactly its size, mirrored as the printer needs it.

    PIECE is a piece's id, the beginning of it, or words of its title. Without options: the version that went on the
    skin, at its recorded width, for the default printer.

    \b
    Examples:
      archgen reprint barn owl
      archgen reprint 2026-03-14-barn-owl --version 1 --version 2
      archgen reprint owl --width 55mm --copies fit --printer thermal
      archgen reprint owl --region 10 5 25 25
      archgen reprint owl --at-least 0.25mm
      archgen reprint --gang owl peony "luna moth"
      archgen reprint --image swallow.svg --width 90mm
    """
    image: Path | None = options["image"]
    if bool(words) == bool(image):
        raise UsageError(say("Name a piece, or a picture with --image and its --width; one of the two."))
    from archgen.printing.stencil_plan import make_plan
    from archgen.records.find import read_one
    from archgen.wording.prints import file_name

    wanted = _wanted(root, options)
    units = "" if image else settings(root).archive.units
    piece = None if image or options["gang"] else read_one(root, " ".join(words), units)
    gang = [read_one(root, word, units) for word in words] if options["gang"] else []
    plan = asked = make_plan(_gang_job(root, gang, wanted, options) if gang else _job(root, piece, wanted, options))
    if options["least"] is not None:
        grown = _thickened(plan, options["least"])
        plan = grown.plan
        target = out or Path("reprints", file_name(_stem(piece, gang, plan), plan))
        if not options["only_plan"] and not _looked_at(grown, options["least"], target, root, yes=options["yes"]):
            return
    said = _words(plan, options["girth"])
    beside = _working_print(root, piece, asked, wanted, {**options, "out": out}) if options["reference"] else None
    if beside:
        from archgen.printing.reference_pdf import share_words

        tones = ", ".join(f"{tone.name} {share_words(tone)}" for tone in beside.tones)
        said.append(
            say("Working print for matte paper, not a stencil: {placing}; {tones}", placing=beside.placing, tones=tones)
        )
        if not beside.is_to_scale:
            said.append(say("NOT TO SCALE: {advice}", advice=beside.advice))
    target = out or Path("reprints", file_name(_stem(piece, gang, plan), plan))
    if not options["only_plan"]:
        from archgen.outputs.reprints.print_files import print_files

        # Written before anything is said: a closed terminal must not cost the print.
        said += [str(write_file(path, content, root)) for path, content in print_files(target, plan, beside)]
        said.append(say("Check the rule on the sheet before the stencil touches skin."))
    for line in (*said, *_noted(root, piece, units)):
        click.echo(line)
    if show and not options["only_plan"]:
        click.launch(str(target))


def _noted(root: Path, piece: "Piece | None", units: str) -> list[str]:
    """Say what was noted on this piece, its place and its client before; nothing of it is on the print."""
    if piece is None:
        return []
    from archgen.quoting.earlier_notes import noted_before
    from archgen.reading.related import read_related
    from archgen.wording.planning.notes import note_words

    notes = note_words(noted_before(piece, read_related(root, piece, units)))
    return [say("Noted before:"), *(f"  {one.title}  {one.facts}" for one in notes)] if notes else []


def _thickened(plan: "Plan", least_mm: float) -> "ThickenedPlan":
    from archgen.pieces.thickening import thickened_plan
    from archgen.wording.prints import thickened_words

    grown = thickened_plan(plan, least_mm)
    for one in grown.drawings:
        for line in thickened_words(one, least_mm):
            click.echo(line)
    return grown


def _looked_at(grown: "ThickenedPlan", least_mm: float, target: Path, root: Path, *, yes: bool) -> bool:
    """Write what it would look like beside the original, and ask; without an answer it isn't taken."""
    from io import BytesIO

    from archgen.stencils.thickening.picture import draw_before_and_after

    for number, one in enumerate(grown.drawings, 1):
        if not one.lines:
            continue
        picture = BytesIO()
        draw_before_and_after(one, least_mm).save(picture, "PNG")
        name = f"{target.stem}-look{f'-{number}' if len(grown.drawings) > 1 else ''}.png"
        written = write_file(target.with_name(name), picture.getvalue(), root, PNG)
        click.echo(say("Look at it first: {file}", file=written))
    if yes or not any(one.lines for one in grown.drawings):
        return True
    if sys.stdin.isatty():
        return confirmed(say("Print it so?"))
    click.echo(say("Nothing is printed yet: look at the picture, then add --yes."))
    return False


def _gang_job(root: Path, gang: "list[Piece]", wanted: "WantedPrint", options: dict[str, Any]) -> "ReprintJob":
    from archgen.pieces.prints import gang_job

    if options["versions"] or options["region"] or options["reference"]:
        raise UsageError(
            say("With --gang the applied versions are printed whole: leave out --version, --region, --reference.")
        )
    return gang_job(root, gang, wanted)


def _stem(piece: "Piece | None", gang: "list[Piece]", plan: "Plan") -> str:
    if gang:
        return "gang-" + "-".join(one.id for one in gang[:3]) + ("-and-more" if len(gang) > 3 else "")
    return piece.id if piece else plan.job.title


def _job(root: Path, piece: "Piece | None", wanted: "WantedPrint", options: dict[str, Any]) -> "ReprintJob":
    from archgen.pieces.prints import image_job, piece_job

    if piece:
        return piece_job(root, piece, wanted)
    return image_job(options["image"], wanted, stored_mirrored=options["stored_mirrored"])


def _words(plan: "Plan", girth: float | None) -> list[str]:
    from archgen.wording.prints import plan_words

    said = list(plan_words(plan))
    if girth is not None:
        from archgen.stencils.cylinder import fit

        said += [say("Round the limb: {fit}", fit=fit(drawing.width_mm, girth).words) for drawing in plan.drawings]
    return said + [say("Take care: {warning}", warning=warning) for warning in plan.warnings]


def _working_print(
    root: Path, piece: "Piece | None", plan: "Plan", wanted: "WantedPrint", options: dict[str, Any]
) -> "ReferenceJob":
    from archgen.commands.planning.proposed_place import agreed
    from archgen.outputs.reprints.working_print import reference_of, registered, working_print

    if piece is None:
        raise UsageError(say("A working print needs a piece with its references; a picture alone has none."))
    beside = reference_of(root, piece, wanted.versions, options["tones"])
    found = registered(plan, beside)
    if not options["only_plan"]:
        target = options["out"] or Path("reprints", f"{piece.id}.pdf")
        found = agreed(found, beside.file, target, root, yes=options["yes"])
    return working_print(plan, beside, found)


def _wanted(root: Path, options: dict[str, Any]) -> "WantedPrint":
    from archgen.clock import build_day
    from archgen.pieces.prints import wanted_print

    return wanted_print(
        settings(root, is_theirs=not options["image"]),
        build_day(),
        options["printer"],
        options["paper"],
        versions=options["versions"],
        width_mm=options["width"],
        height_mm=options["height"],
        percent=options["percent"],
        region=_region(options["region"]),
        copies=_copies(options["copies"]),
        mirror=options["mirror"],
        without_specks=options["without_specks"],
    )


def _region(typed: tuple[str, ...] | None) -> "Rect | None":
    if not typed:
        return None
    from archgen.printing.page import Rect

    try:
        return Rect(*(float(side.removesuffix("mm").replace(",", ".")) for side in typed))
    except ValueError as error:
        example = say("--region 10 5 25 25")
        raise UsageError(
            say("A region is left, top, width and height in mm, such as {example}.", example=example)
        ) from error


def _copies(typed: str) -> int | None:
    if typed == "fit":
        return None
    if not typed.isdecimal():
        raise UsageError(
            say("{typed} isn't a number of copies. Use --copies 3, or --copies fit to fill the sheet.", typed=typed)
        )
    return int(typed)
