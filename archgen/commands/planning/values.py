"""archgen values."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from archgen.commands.options import LengthOption, archive_option, paper_option, pdf_options, printer_option
from archgen.commands.speaking.yes_or_no import confirm_or_stop
from archgen.errors import UsageError
from archgen.languages.house import say, to_say
from archgen.outputs.result_file import write_file

_SET_POINTS = to_say(
    "Name two points or more that both show, far apart, in pixels from the upper left, those of the stencil first: "
    '--at "120,640=310,900" --at "440,30=820,95".'
)

if TYPE_CHECKING:
    from archgen.catalogue import Catalogue
    from archgen.outputs.reprints.order_of_work import OrderAsked, OrderOfWork
    from archgen.outputs.reprints.registration import Registration
    from archgen.outputs.reprints.working_print import Beside
    from archgen.printing.reference_pdf import PrintedLandmark
    from archgen.printing.stencil_plan import Plan
    from archgen.records.model import Piece


@click.command()
@click.argument("words", nargs=-1, metavar="[PIECE]")
@archive_option
@click.option("--image", type=click.Path(path_type=Path), metavar="FILE", help="A reference outside the archive.")
@click.option(
    "--stencil", type=click.Path(path_type=Path), metavar="FILE", help="The drawing made from it; needs --width."
)
@click.option("--width", type=LengthOption(), help="Width of the marks: 62mm, 2.5in … Default: as recorded.")
@click.option(
    "--at",
    multiple=True,
    metavar='"X,Y=X,Y"',
    help="A point both show, in pixels: on the stencil, then on --image. Two or more.",
)
@click.option("--version", metavar="N", help="Stencil version. Default: applied.")
@click.option(
    "--needle", metavar="NEEDLE", help="The needle to shade with, such as 1009RL. Default: the finest of yours."
)
@click.option("--tones", type=int, metavar="N", help="3 to 7, with bare skin. Default: as kept, else 5.")
@click.option("--bare", type=click.IntRange(0, 90), metavar="%", help="How much of the drawing to leave bare.")
@click.option(
    "--areas", type=click.IntRange(min=3), metavar="N", help="No more areas than this. Default: as kept, else 40."
)
@click.option("--start", type=click.Choice(["bottom", "left", "right"]), help="Where a tone is begun. Default: bottom.")
@click.option(
    "--enclosed",
    multiple=True,
    metavar='"X Y WORD"',
    help="What an area marked ? is: its place in mm, then background, bare or black.",
)
@click.option("--anew", is_flag=True, help="Work the tones out again although some are kept.")
@click.option(
    "--keep", is_flag=True, help="Keep the plan in the record, so that the same comes out later; asked first."
)
@click.option("--yes", is_flag=True, help="The place found on the reference is right, and keep what --keep shows.")
@printer_option
@paper_option
@pdf_options
def values(words: tuple[str, ...], root: Path, out: Path | None, show: bool, **options: Any) -> None:
    """Plan the order of work: the reference's tones as areas your needle can shade, dark to light, on one page.

    PIECE is a piece's id, the beginning of it, or words of its title. The page lies beside the skin: the stencil with
    numbered areas at its size, the same in tones, what to use from your own records. It's a proposal, not a stencil.

    \b
    Examples:
      archgen values barn owl
      archgen values owl --needle 1009RL --bare 40 --areas 25
      archgen values owl --keep
      archgen values --image owl.jpg --stencil owl.png --width 62mm
      archgen values --image owl.jpg --stencil owl.png --width 62mm --at "120,640=310,900" --at "440,30=820,95"
    """
    if options["stencil"] and not options["image"]:
        raise UsageError(say("Which reference was this drawing made from? Add --image FILE: the tones come from it."))
    if words and options["at"]:
        raise UsageError(say("--at is for --image. Set a piece's points at the desk (archgen desk), which keeps them."))
    if bool(words) == bool(options["image"]):
        raise UsageError(say("Name a piece, or a reference with --image, its --stencil and --width; one of the two."))
    from archgen.clock import build_day
    from archgen.commands.planning.values_text import print_order
    from archgen.outputs.reprints.order_of_work import order_pdf, order_wish, plan_order, said_of
    from archgen.records.model import Values
    from archgen.supplies.past_use import past_use

    catalogue, piece = _catalogue(root, words)
    plan, beside = _print_plan(root, piece, catalogue, options)
    target = out or Path("reprints", f"{piece.id if piece else options['image'].stem}-order-of-work.pdf")
    found = _registered(plan, beside, piece, target, root, yes=options["yes"])
    stored = piece.record.values if piece and piece.record else Values()
    past = past_use(catalogue, piece)
    order = plan_order(plan, beside, found, order_wish(_asked(options), stored, past), past)
    content = order_pdf(order, catalogue, piece, build_day(), options["paper"])
    written = write_file(target, content, root)
    print_order(order, said_of(order, catalogue.config.archive.units))
    click.echo(written)
    if options["keep"]:
        _keep(root, piece, beside, order, yes=options["yes"])
    if show:
        click.launch(str(target))


def _catalogue(root: Path, words: tuple[str, ...]) -> "tuple[Catalogue, Piece | None]":
    from archgen.clock import build_day
    from archgen.reading.records import recall_records
    from archgen.records.find import find_piece
    from archgen.records.which_archive import results_folder

    catalogue = recall_records(root, results_folder(root), build_day())
    if not words:
        return catalogue, None
    wanted = find_piece(root, " ".join(words))
    return catalogue, next(one for one in catalogue.pieces if one.id == wanted)


def _print_plan(
    root: Path, piece: "Piece | None", catalogue: "Catalogue", options: dict[str, Any]
) -> "tuple[Plan, Beside]":
    from archgen.clock import build_day
    from archgen.outputs.reprints.order_of_work import check_pictures
    from archgen.outputs.reprints.working_print import Beside, reference_of
    from archgen.pieces.prints import image_job, piece_job, wanted_print
    from archgen.printing.stencil_plan import make_plan

    versions = (options["version"],) if options["version"] else ()
    wanted = wanted_print(
        catalogue.config,
        build_day(),
        options["printer"],
        options["paper"],
        versions=versions,
        width_mm=options["width"],
    )
    if piece is None:
        if options["stencil"] is None:
            raise UsageError(say("Which drawing was made from this reference? Add --stencil FILE and its --width."))
        beside = Beside(options["image"], _points(options["at"]))
        return make_plan(image_job(options["stencil"], wanted)), beside
    check_pictures(piece)
    kept = piece.record.values.reference if piece.record else None
    return make_plan(piece_job(root, piece, wanted)), reference_of(root, piece, versions, wanted=kept)


def _registered(
    plan: "Plan", beside: "Beside", piece: "Piece | None", target: Path, root: Path, *, yes: bool
) -> "Registration":
    """Find where the reference lies; a place that is only proposed is shown and asked about."""
    from archgen.commands.planning.proposed_place import agreed
    from archgen.outputs.reprints.order_of_work import trusted
    from archgen.outputs.reprints.working_print import registered

    try:
        found = registered(plan, beside)
    except UsageError as error:
        if piece or beside.landmarks:
            raise
        raise _points_wanted(say("The stencil's lines aren't found on the reference.")) from error
    if piece and piece.record:
        found = trusted(found, piece.record.values)
    placed = agreed(found, beside.file, target, root, yes=yes)
    if piece is None and not placed.placement.is_to_scale:
        raise _points_wanted(say("The place of the stencil on the reference isn't sure, so no tones are planned."))
    return placed


def _points_wanted(why: str) -> UsageError:
    return UsageError(f"{why} {say(_SET_POINTS)}")


def _points(texts: tuple[str, ...]) -> "tuple[PrintedLandmark, ...]":
    from archgen.printing.reference_pdf import PrintedLandmark

    found = []
    for text in texts:
        try:
            (x, y), (to_x, to_y) = ([float(number) for number in side.split(",")] for side in text.split("="))
        except ValueError:
            raise _points_wanted(say("--at {text} isn't understood.", text=text)) from None
        found.append(PrintedLandmark((x, y), (to_x, to_y)))
    if len(found) == 1:
        raise _points_wanted(say("One point tells no size."))
    return tuple(found)


def _asked(options: dict[str, Any]) -> "OrderAsked":
    from archgen.outputs.reprints.order_of_work import OrderAsked, read_answer
    from archgen.shading.order import Start

    answers = []
    for text in options["enclosed"]:
        answer = read_answer(text)
        if answer is None:
            raise UsageError(say('--enclosed "{text}": write a place and a word, such as "31 42.5 bare".', text=text))
        answers.append(answer)
    return OrderAsked(
        needle=options["needle"],
        tones=options["tones"],
        bare=None if options["bare"] is None else options["bare"] / 100,
        areas=options["areas"],
        start=Start(options["start"]) if options["start"] else None,
        answers=tuple(answers),
        anew=options["anew"],
    )


def _keep(root: Path, piece: "Piece | None", beside: "Beside", order: "OrderOfWork", *, yes: bool) -> None:
    """Show what would be written into the record, and write it after a yes."""
    from archgen.outputs.reprints.order_of_work import values_edits
    from archgen.records.which_archive import results_folder
    from archgen.writing.change import Change, edited_file
    from archgen.writing.changes import KEPT, carry_out

    if piece is None:
        raise UsageError(say("A plan is kept in the record of a piece; a picture alone has none."))
    reference = beside.file.relative_to(root / piece.folder).as_posix()
    edited = edited_file(root, piece.toml, values_edits(order, reference))
    if edited.after == edited.before:
        click.echo(say("The record keeps this plan already."))
        return
    click.echo(say("Kept in {place}:", place=edited.place(root)))
    for line in edited.written:
        click.echo(f"  {line.text}")
    if not yes:
        if not sys.stdin.isatty():
            click.echo(say("Nothing is written yet: look at the page, then add --yes."))
            return
        confirm_or_stop(say("Write this?"))
    carry_out(
        root, results_folder(root) / KEPT, Change(say("{title}: tones planned", title=piece.title), edited=(edited,))
    )
    click.echo(say("Written. archgen undo takes it back."))
