"""What is said of an order of work: the rows of its page, what it rests on, what is to be asked."""

from collections.abc import Sequence
from dataclasses import replace
from enum import Enum

from archgen.languages.house import figures, say, say_count, say_in, to_say
from archgen.records.vocabulary.needle_forms.reading import NeedleReading
from archgen.records.vocabulary.needle_forms.words import MAGNUMS
from archgen.shading.light import gray_of
from archgen.shading.order import Start
from archgen.shading.plan import Area, ShadingPlan
from archgen.supplies.past_use import InkKind, PastInk, PastNeedle, PastUse
from archgen.units import MM_PER_INCH
from archgen.values.frozen import Value

NOT_A_STENCIL = to_say("NOT A STENCIL")
PROPOSAL = to_say(
    "A proposal from the tones of the reference; skin, healing and hand are not in it. Lay it "
    "beside the stencil and look before the first line."
)
_STARTS = {
    Start.BOTTOM: to_say("from the bottom up"),
    Start.LEFT: to_say("from the left"),
    Start.RIGHT: to_say("from the right"),
}
NINTHS = {
    ("top", "left"): "top left",
    ("top", "centre"): "top centre",
    ("top", "right"): "top right",
    ("middle", "left"): "middle left",
    ("middle", "centre"): "centre",
    ("middle", "right"): "middle right",
    ("bottom", "left"): "bottom left",
    ("bottom", "centre"): "bottom centre",
    ("bottom", "right"): "bottom right",
}
_SHAFTS = {
    False: to_say("A geometric bound from the shafts of {needle} side by side, not a prediction of the mark."),
    True: to_say(
        "A geometric bound from half the shafts, one of two rows, of {needle} side by side, not a prediction of the "
        "mark."
    ),
}
# The needle of a tone works all but the smallest of its areas, which make a tenth of it.
_NARROW_SHARE = 0.1


class NeedleReason(Enum):
    """Why a needle is the one at hand; the value is what the page says."""

    ASKED = to_say("the one asked for")
    KEPT = to_say("kept with this plan")
    OWN = to_say("the finest recorded for shading on this piece")
    PAST = to_say("the finest you have shaded other pieces with, since this one's record names none")
    USUAL = to_say("a usual one, since no record names one you shade with")


class NeedleAtHand(Value, frozen=True):
    """The needle the bound comes from: as it is written, as it was read, and why it is this one."""

    code: str
    reading: NeedleReading
    reason: NeedleReason


class OrderRow(Value, frozen=True):
    """One row.

    Attributes:
        number: Empty for what isn't worked.
        gray: Of its tone, 0 to 255; None where it has none.
        begins: Whether it is the first of its tone, where needle and ink stand.
    """

    number: str
    gray: int | None
    where: str
    size: str = ""
    share: str = ""
    needle: str = ""
    ink: str = ""
    begins: bool = True


class OrderWords(Value, frozen=True):
    """An order of work in words: rows in their order, and sentences: what it rests on, what to ask or look at."""

    rows: tuple[OrderRow, ...]
    rests_on: tuple[str, ...]
    doubts: tuple[str, ...]


def order_words(plan: ShadingPlan, past: PastUse, needle: NeedleAtHand, units: str = "mm") -> OrderWords:
    """Say a plan; `needle` is the one at hand, whose width was taken."""
    return OrderWords(
        tuple(_rows(plan, past, needle.code, units)),
        (*_rests_on(plan, needle, units), *_washes(past)),
        tuple(_doubts(plan)),
    )


def plan_words(plan: ShadingPlan) -> str:
    """Say a plan in a line."""
    areas, tones = sum(map(len, plan.steps)), len({plan.areas[step[0]].tone for step in plan.steps})
    bare = share_words(plan.bare_share)
    return say(
        "{areas} in {tones}, {bare} left bare",
        areas=say_count("{number} area", "{number} areas", areas),
        tones=say_count("{number} tone", "{number} tones", tones),
        bare=bare,
    )


def step_numbers(plan: ShadingPlan) -> dict[int, int]:
    """Give the number on the page by the index of an area: lines are the first step."""
    return {index: number + 1 for index, number in plan.step_of.items()}


def _rows(plan: ShadingPlan, past: PastUse, at_hand: str, units: str) -> list[OrderRow]:
    rows = [OrderRow("1", None, say("all lines, lightly"), needle=_needle(past.lining), ink=_ink(past, InkKind.BLACK))]
    worked = sorted({plan.areas[step[0]].tone for step in plan.steps})
    for number, step in enumerate(plan.steps, 2):
        tone, areas = plan.areas[step[0]].tone, [plan.areas[index] for index in step]
        row = replace(
            _row(plan, step, str(number), _where(areas, plan.size_mm), units),
            ink=_tone_ink(worked.index(tone), len(worked), past),
            begins=tone != plan.areas[plan.steps[number - 3][0]].tone or number == 2,
        )
        needle = _needles(plan, step, _Kit(past, at_hand), begins=row.begins)
        rows.append(replace(row, needle=needle, ink=row.ink if row.begins else ""))
    if bare := [index for index, area in enumerate(plan.areas) if area.tone == plan.bare_tone]:
        rows.append(replace(_row(plan, bare, "", say("bare skin, or one lightest wash"), units), gray=255))
    if plan.lights:
        where = say_count(
            "whites last: {number} light left open", "whites last: {number} lights left open", len(plan.lights)
        )
        white = _ink(past, InkKind.WHITE) or say_in("ink", "white")
        rows.append(OrderRow(str(len(plan.steps) + 2), None, where, needle=say("fresh needle"), ink=white))
    return rows


class _Kit(Value, frozen=True):
    """What may be shaded with: by the records, else with the needle at hand."""

    past: PastUse
    at_hand: str

    def code(self, areas: Sequence[Area]) -> str:
        """Give the needle for all of some areas."""
        needle = self.past.shading(map(_worked_size, areas))
        return needle.code if needle else self.at_hand

    def words(self, code: str) -> str:
        """Say a needle as it was used."""
        return _needle(next((one for one in self.past.needles if one.shades and one.code == code), None)) or code


def _needles(plan: ShadingPlan, step: Sequence[int], kit: _Kit, *, begins: bool) -> str:
    """Say the needle of a tone where it begins, and in each step another for what is too small for it."""
    areas = [plan.areas[index] for index in step]
    usual = kit.code(_all_but_small(plan, areas[0].tone))
    words = [kit.words(usual)] if begins else []
    small = [area for area in areas if kit.code([area, *_all_but_small(plan, area.tone)]) != usual]
    if small and (finer := kit.code(small)) != usual:
        if len(small) == len(areas):
            words.append(say("all here: {needle}", needle=finer))
        else:
            words.append(
                say_count("{number} small one: {needle}", "{number} small ones: {needle}", len(small), needle=finer)
            )
    return "; ".join(words)


def _worked_size(area: Area) -> tuple[float, float]:
    return 2 * area.depth_mm, area.size_mm2


def _row(plan: ShadingPlan, step: Sequence[int], number: str, where: str, units: str) -> OrderRow:
    areas = [plan.areas[index] for index in step]
    size = area_words(sum(area.size_mm2 for area in areas), units)
    share = share_words(sum(area.share for area in areas))
    return OrderRow(number, gray_of(plan.levels[areas[0].tone]), where, size, share)


def share_words(share: float) -> str:
    """Say a share in whole per cent."""
    return figures(f"{share:.0%}" if share >= 0.01 else "<1%")


def area_words(area_mm2: float, units: str) -> str:
    """Say an area."""
    if units == "in":
        return say("{area:.2f} sq in", area=area_mm2 / MM_PER_INCH**2)
    return figures(f"{area_mm2 / 100:.2f} cm²")


def _where(areas: Sequence[Area], size_mm: tuple[float, float]) -> str:
    """Name the ninths of the drawing in which areas lie, the largest first, at most two."""
    sizes: dict[tuple[str, str], float] = {}
    for area in areas:
        name = _ninth(area.x / size_mm[0], area.y / size_mm[1])
        sizes[name] = sizes.get(name, 0) + area.size_mm2
    names = sorted(sizes, key=lambda name: -sizes[name])[:2]
    said = ", ".join(_ninth_words(name) for name in names)
    if len(areas) < 2:
        return said
    return say_count("{where} · {number} area", "{where} · {number} areas", len(areas), where=said)


def _ninth(x: float, y: float) -> tuple[str, str]:
    across = ("left", "centre", "right")[min(int(x * 3), 2)]
    return ("top", "middle", "bottom")[min(int(y * 3), 2)], across


def _ninth_words(ninth: tuple[str, str]) -> str:
    return say_in("ninth", NINTHS[ninth])


def _all_but_small(plan: ShadingPlan, tone: int) -> list[Area]:
    """Give the areas of a tone but the smallest, which together are a tenth of it."""
    areas = sorted((area for area in plan.areas if area.tone == tone), key=lambda area: area.size_mm2)
    left = _NARROW_SHARE * sum(area.size_mm2 for area in areas)
    while len(areas) > 1 and (left := left - areas[0].size_mm2) > 0:
        areas = areas[1:]
    return areas


def _needle(past: PastNeedle | None) -> str:
    """Say a needle as the artist has used it: "9RL bugpin: soft shade, 14 pieces"."""
    if past is None:
        return ""
    pieces = say_count("{number} piece", "{number} pieces", past.pieces)
    return f"{past.code}: {', '.join(filter(None, (past.use, pieces)))}"


def _ink(past: PastUse, kind: InkKind) -> str:
    return next((_bottle(ink) for ink in past.inks_of(kind)), "")


def _bottle(ink: PastInk) -> str:
    return f"{ink.name}: {say_count('{number} piece', '{number} pieces', ink.pieces)}"


def _tone_ink(place: int, count: int, past: PastUse) -> str:
    """Say the ink of a tone by its place among those that are worked, the darkest first."""
    if place == 0:
        return _ink(past, InkKind.BLACK) or say_in("ink", "black")
    return say("grey wash, {place} of {count}", place=place, count=count - 1)


def _washes(past: PastUse) -> list[str]:
    """Say which washes the artist has: how strong they are no record tells."""
    names = [_bottle(ink) for ink in sorted(past.inks_of(InkKind.WASH), key=lambda ink: ink.name)]
    if not names:
        return []
    return [
        say(
            "Your grey washes: {names}. Which is the stronger no record says: write it beside the tones.",
            names=", ".join(names),
        )
    ]


def _rests_on(plan: ShadingPlan, needle: NeedleAtHand, units: str) -> list[str]:
    bound, in_inches = plan.bound, units == "in"
    least = (
        say("{area:.4f} sq in", area=bound.least_mm2 / MM_PER_INCH**2) if in_inches else f"{bound.least_mm2:.1f} mm²"
    )
    disc = f"{bound.bundle_mm / MM_PER_INCH:.3f} in" if in_inches else f"{bound.bundle_mm:.2f} mm"
    said = [
        say(
            "No area is smaller than {least} or too narrow for a disc of {disc}.",
            least=figures(least),
            disc=figures(disc),
        ),
        say("That is the bound of {needle}, {reason}.", needle=needle.code, reason=say(needle.reason.value)),
        say(_SHAFTS[needle.reading.grouping in MAGNUMS], needle=needle.reading.words()),
        say("A wider needle of your records stands where the areas keep its own bound."),
    ]
    if plan.gap_mm > 1:
        said.append(say("Gaps in the stencil's lines up to {gap:g} mm are taken for closed.", gap=plan.gap_mm))
    order = say(
        "Dark to light; within a tone {starts}, in bands of {band:.0f} mm, so that the stencil isn't wiped away; "
        "whites last: common practice, no source.",
        starts=say(_STARTS[plan.start]),
        band=plan.band_mm,
    )
    return [order, " ".join(said)]


def _doubts(plan: ShadingPlan) -> list[str]:
    doubts = []
    if plan.doubts:
        where = ", ".join(_ninth_words(_ninth(one.x / plan.size_mm[0], one.y / plan.size_mm[1])) for one in plan.doubts)
        doubts.append(
            say("Marked ?: {where}. It looks like the background. Is it background, bare skin or black?", where=where)
        )
    if plan.is_bare_lost:
        doubts.append(say("No skin large enough for the needle stays bare. Leave more bare, or take a finer needle."))
    if plan.is_dark_behind:
        doubts.append(say("The background is much darker than the skin: soften behind the drawing, if wanted."))
    return doubts
