"""Say how a stencil reads at its printed width, and how it sits round a limb; for pages and sheets alike."""

import math
from collections.abc import Iterator

from archgen.config import Limits
from archgen.picture_facts.gauge_facts import GaugeFigures
from archgen.pieces.materials import FinestNeedle
from archgen.records.vocabulary.limb import Limb
from archgen.stencils import cylinder, stroke_width
from archgen.units import length_words
from archgen.wording.counts import count_words

# Nobody prints a piece more than twice as large as it was drawn for: common practice, no source.
MOST_TIMES_LARGER = 2


def gauge_lines(gauge: GaugeFigures, finest: FinestNeedle | None, limits: Limits) -> Iterator[str]:
    """Say what was measured at the printed width; lengths in mm, since limits are thought of in mm."""
    yield short_words(gauge)
    if gauge.thin == gauge.tight == 0:
        yield f"Every line and gap keeps your limits of {limits.stroke_mm:g} and {limits.gap_mm:g} mm."
    if gauge.thin:
        lines = count_words(gauge.thin, "line")
        yield f"{lines} under {limits.stroke_mm:g} mm, {gauge.thin_share:.0%} of the length of all lines."
    if gauge.tight:
        closing = f"; {gauge.closing} may close up when ink spreads" if gauge.closing else ""
        gaps = count_words(gauge.tight, "gap")
        yield f"{gaps} under {limits.gap_mm:g} mm, {gauge.tight_share:.0%} of the length of all gaps{closing}."
    if gauge.thin or gauge.tight:
        yield what_to_do(gauge)
    if gauge.more > 0:
        yield f"The worst are named; {gauge.more} more are marked."
    yield from _of_the_file(gauge, limits)
    if finest and gauge.thinner_than_bundle is not None:
        assumed = ", a shaft of 0.35 mm assumed," if finest.is_assumed else ""
        yield (
            f"Finest needle {finest.code}: its shafts stand {finest.bundle_mm:.2f} mm wide at most{assumed} and "
            f"{gauge.thinner_than_bundle:.0%} of the lines are drawn thinner. An upper bound, not a prediction."
        )
    yield standing(limits)


def _of_the_file(gauge: GaugeFigures, limits: Limits) -> Iterator[str]:
    """Say what a coarse file can't tell."""
    dots = f"the file has {gauge.dots_per_inch:.0f} dots per inch"
    dots += ", ink and paper only" if gauge.is_stepped else ""
    known = (("Lines", gauge.thin, limits.stroke_mm), ("Gaps", gauge.tight, limits.gap_mm))
    for what, count, limit_mm in known:
        if count is None:
            least = math.ceil(gauge.dots_per_inch * gauge.width_mm / (gauge.judged_to_mm * limit_mm / _least(limits)))
            yield (
                f"{what} can't be judged: at this size {dots}, too coarse for your limit of {limit_mm:g} mm. "
                f"Save it with {least} or more."
            )
    finest_mm = gauge.seen_from_mm
    told = []
    if any(count is not None and finest_mm > limit_mm / 2 for _, count, limit_mm in known):
        told.append(f"what is finer than {finest_mm:.2f} mm may be missed")
    if gauge.is_stepped:
        told.append(f"widths are known to {25.4 / gauge.dots_per_inch:.2f} mm")
    if told:
        yield f"At this size {dots}: {', and '.join(told)}."


def _least(limits: Limits) -> float:
    return min(limits.stroke_mm, limits.gap_mm)


def standing(limits: Limits) -> str:
    """Say what the limits rest on."""
    return (
        f"Limits: lines {limits.stroke_mm:g} mm, gaps {limits.gap_mm:g} mm; ink is taken to spread "
        f"{stroke_width.SPREAD_MM:g} mm on each side. Common practice, no source; yours to set."
    )


def what_to_do(gauge: GaugeFigures) -> str:
    """Say how a stencil that is below the limits would keep them: drawn otherwise, or at a size that is sensible."""
    opening = (f"open {count_words(gauge.tight, 'gap')}",) if gauge.tight else ()
    thickening = (f"thicken {count_words(gauge.thin, 'line')}",) if gauge.thin else ()
    by_hand = " and ".join((*opening, *thickening)).capitalize()
    largest_mm = gauge.width_mm * MOST_TIMES_LARGER
    if gauge.readable_from_mm and gauge.readable_from_mm <= largest_mm:
        return f"{by_hand}, or print it {math.ceil(gauge.readable_from_mm)} mm wide or more."
    mostly = gauge.mostly_from_mm
    if mostly is None or mostly > largest_mm:
        return f"{by_hand}. Not at this design: even at twice the size too much of it stays below the limits."
    if mostly > gauge.judged_to_mm:
        return f"{by_hand}. Whether a larger print would do can't be told from a file this coarse."
    return f"{by_hand}. Printed {math.ceil(mostly)} mm wide or more, 95 % of it keeps the limits."


def short_words(gauge: GaugeFigures) -> str:
    """Say the finest line and the narrowest gap."""
    parts = []
    if gauge.finest_mm is not None:
        parts.append(f"finest line {gauge.finest_mm:.2f} mm")
    if gauge.narrowest_mm is not None:
        parts.append(f"narrowest gap {gauge.narrowest_mm:.2f} mm")
    words = " · ".join(parts) or "no line narrow enough to measure"
    return words[0].upper() + words[1:]


def place_words(gauge: GaugeFigures) -> tuple[tuple[str, str], ...]:
    """Name the worst places by the tags they carry in the picture."""
    return tuple(
        (
            place.tag,
            f"{'line' if place.tag.isalpha() else 'gap'} {place.mm:.2f} mm{', may close up' if place.closes else ''}",
        )
        for place in gauge.places
    )


def limb_lines(fit: cylinder.Fit, limb: Limb, units: str) -> Iterator[str]:
    """Say how far a width wraps round a limb, and whose girth that rests on."""
    yield f"Wraps {fit.angle_deg:.0f}° of a girth of {length_words(round(limb.girth_mm), units)}, {limb.source}."
    if fit.gap_mm < 0:
        yield f"Its edges overlap by {length_words(round(-fit.gap_mm), units)} round the back."
    elif fit.hidden_mm > 0:
        yield f"{length_words(round(fit.hidden_mm), units)} of it cannot be seen from straight ahead."
    else:
        yield f"Looks {length_words(round(fit.seen_mm), units)} wide from straight ahead."
    yield "The limb is taken as a cylinder, which no real limb is."
