"""The order of work of a piece: planned from what is recorded and asked for, set on its page, kept in its record."""

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, field

from PIL import Image

from archgen.catalogue import Catalogue
from archgen.errors import UsageError
from archgen.languages.house import say
from archgen.outputs.reprints.order_page import OrderSheet, draw_plan, order_page
from archgen.outputs.reprints.registration import Registration
from archgen.outputs.reprints.working_print import Beside, laid_reference, looked_at
from archgen.papers import sheet_paper
from archgen.printing.stencil_plan import Plan
from archgen.quoting.earlier_notes import noted_before
from archgen.records.model import Piece, Values
from archgen.records.vocabulary.needle_forms.reading import NeedleReading
from archgen.records.vocabulary.needles import read_needles
from archgen.shading.order import Start
from archgen.shading.plan import MOST_AREAS, EnclosedAnswer, PlanWish, ShadingPlan, make_plan
from archgen.shading.toning import Edges
from archgen.supplies.past_use import PastUse, needle_width_mm
from archgen.values.frozen import Value
from archgen.wording.planning.notes import note_words
from archgen.wording.planning.orders import NeedleAtHand, NeedleReason, OrderWords, order_words
from archgen.writing.record_text import Edit, RemoveKey, SetKey

# Where no record tells what is shaded with: nine needles of 0.30 mm, whose shafts stand 1.08 mm wide together.
USUAL_NEEDLE = "1009RL"
USUAL_TONES = 5
MOST_NOTES = 3
MEANINGS = ("background", "bare", "black")


class OrderAsked(Value, frozen=True):
    """What is asked for beside what is recorded; None and empty: as recorded, else as usual.

    `anew` works the cuts between tones out again although some are stored.
    """

    needle: str | None = None
    tones: int | None = None
    bare: float | None = None
    areas: int | None = None
    start: Start | None = None
    answers: tuple[EnclosedAnswer, ...] = ()
    anew: bool = False


class OrderWish(Value, frozen=True):
    """What a plan is made by, and the needle at hand."""

    plan: PlanWish
    needle: NeedleAtHand


@dataclass(frozen=True, slots=True)
class OrderOfWork:
    """A plan with what it was made from; `detail` says which version, how large, how the reference came to lie."""

    title: str
    detail: str
    plan: ShadingPlan
    wish: OrderWish
    past: PastUse
    drawing: Image.Image = field(repr=False)


def check_pictures(piece: Piece) -> None:
    """Say which picture is missing.

    Raises:
        UsageError: The piece has no stencil, no reference, or neither.
    """
    record = piece.record
    has_stencil = bool(piece.stencils or (record and record.stencil))
    has_reference = bool(piece.references or any(one.file for one in (record.reference if record else ())))
    named = {"title": piece.title, "folder": piece.folder, "record": piece.toml}
    if not has_stencil and not has_reference:
        raise UsageError(
            say(
                "{title} has neither a stencil nor a reference picture, and the order of work is made from both. Put "
                "them into {folder}/stencils and {folder}/references, and describe them in {record}.",
                **named,
            )
        )
    if not has_stencil:
        raise UsageError(
            say(
                "{title} has a reference picture but no stencil whose lines it could be under. Put the drawing into "
                "{folder}/stencils and describe it in {record}.",
                **named,
            )
        )
    if not has_reference:
        raise UsageError(
            say(
                "{title} has a stencil but no reference picture the tones could come from. Put the picture into "
                "{folder}/references and name it in {record}.",
                **named,
            )
        )


def order_wish(asked: OrderAsked, stored: Values, past: PastUse) -> OrderWish:
    """Join what is asked for with what is kept in the record and what is usual.

    Raises:
        UsageError: The needle isn't understood.
    """
    needle, reason = _at_hand(asked, stored, past)
    width_mm, reading = _read(needle)
    tones = asked.tones or stored.zones or USUAL_TONES
    keeps = stored.cuts and not asked.anew and asked.bare is None and tones == len(stored.cuts) + 1
    kept = (read_answer(text) for text in stored.enclosed)
    answers = {(one.x, one.y): one for one in (*kept, *asked.answers) if one}
    wish = PlanWish(
        bundle_mm=width_mm,
        tones=tones,
        are_tones_set=asked.tones is not None,
        bare=asked.bare,
        most_areas=asked.areas or stored.areas or MOST_AREAS,
        start=asked.start or next((start for start in Start if start.value == stored.start), Start.BOTTOM),
        cuts=tuple(sorted(stored.cuts)) if keeps else (),
        edges=next((edges for edges in Edges if keeps and edges.value == stored.edges), None),
        answers=tuple(answers.values()),
    )
    return OrderWish(wish, NeedleAtHand(needle, reading, reason))


def _at_hand(asked: OrderAsked, stored: Values, past: PastUse) -> tuple[str, NeedleReason]:
    if asked.needle:
        return asked.needle, NeedleReason.ASKED
    if stored.needle:
        return stored.needle, NeedleReason.KEPT
    if past.at_hand:
        is_own = any(one.is_own and one.shades for one in past.needles)
        return past.at_hand, NeedleReason.OWN if is_own else NeedleReason.PAST
    return USUAL_NEEDLE, NeedleReason.USUAL


def plan_order(print_plan: Plan, beside: Beside, found: Registration, wish: OrderWish, past: PastUse) -> OrderOfWork:
    """Plan the order in which a reference's tones are worked under the first stencil of a print.

    Raises:
        InputError: The reference cannot be read.
        UsageError: Nobody knows where it lies, or there is nothing to plan.
    """
    laid = laid_reference(print_plan, beside, found)
    drawing = print_plan.drawings[0]
    detail = " · ".join(filter(None, (drawing.stencil.label, drawing.size_words, found.placement.words)))
    plan = make_plan(laid, wish.plan)
    return OrderOfWork(print_plan.job.title, detail, plan, wish, past, laid.drawing)


def said_of(order: OrderOfWork, units: str) -> OrderWords:
    """Say an order of work in words."""
    return order_words(order.plan, order.past, order.wish.needle, units)


def order_pdf(order: OrderOfWork, catalogue: Catalogue, piece: Piece | None, day: dt.date, paper: str | None) -> bytes:
    """Set the page, with what was noted before on this place and client."""
    config = catalogue.config
    sheet = OrderSheet(
        title=order.title,
        detail=order.detail,
        words=said_of(order, config.archive.units),
        notes=note_lines(catalogue.pieces, piece),
        paper=sheet_paper(paper or config.printer.paper),
        artist=config.portfolio.artist or "",
    )
    return order_page(sheet, draw_plan(order.plan, order.drawing), day)


def note_lines(pieces: Iterable[Piece], piece: Piece | None) -> tuple[str, ...]:
    """Say what was noted before on this piece, at its place or of its client."""
    notes = noted_before(piece, pieces) if piece else ()
    return tuple(f"{note.title}, {note.facts}" for note in note_words(notes)[:MOST_NOTES])


def trusted(found: Registration, stored: Values) -> Registration:
    """Take a proposed place for the right one where the artist has agreed to a plan on it."""
    return looked_at(found) if stored.cuts else found


def values_edits(order: OrderOfWork, reference: str) -> tuple[Edit, ...]:
    """Give what keeps a plan in the record: the same is made from it again, also of a picture that was saved anew."""
    wish, plan = order.wish.plan, order.plan
    kept: dict[str, str | int | list[float]] = {
        "reference": reference,
        "zones": len(plan.cuts) + 1,
        "cuts": [round(cut, 2) for cut in plan.cuts],
        "edges": plan.edges.value,
        "needle": order.wish.needle.code,
        "areas": wish.most_areas,
        "start": wish.start.value,
    }
    enclosed = [f"{one.x:.1f} {one.y:.1f} {one.means}" for one in wish.answers]
    asked = SetKey(("values", "enclosed"), enclosed) if enclosed else RemoveKey(("values", "enclosed"))
    return (*(SetKey(("values", key), value) for key, value in kept.items()), asked)


def _read(needle: str) -> tuple[float, NeedleReading]:
    """Read the needle at hand and how wide it is; of several the narrowest."""
    known = [(width, reading) for reading in read_needles(needle) if (width := needle_width_mm(reading)) is not None]
    if not known:
        raise UsageError(
            say(
                'The needle "{needle}" doesn\'t say how many needles of which thickness it has. Write it as '
                '1009RL, or "9 round shader".',
                needle=needle,
            )
        )
    return min(known, key=lambda pair: pair[0])


def read_answer(text: str) -> EnclosedAnswer | None:
    """Read "31.0 42.5 bare": a place in mm from the upper left as it reads on skin, and what lies there."""
    parts = text.split()
    try:
        x, y, means = float(parts[0]), float(parts[1]), parts[2]
    except (ValueError, IndexError):
        return None
    return EnclosedAnswer(x, y, means) if means in MEANINGS else None
