"""Say how a stencil reads at its printed width, and how it sits round a limb; for pages and sheets alike."""

import math
from collections.abc import Iterator

from archgen.config import Limits
from archgen.languages.house import say, say_all, say_count
from archgen.picture_facts.gauge_facts import GaugeFigures, PlaceFacts
from archgen.pieces.materials import FinestNeedle
from archgen.records.vocabulary.limb import Limb
from archgen.stencils import cylinder, stroke_width
from archgen.units import length_words

# Nobody prints a piece more than twice as large as it was drawn for: common practice, no source.
MOST_TIMES_LARGER = 2


def gauge_lines(gauge: GaugeFigures, finest: FinestNeedle | None, limits: Limits) -> Iterator[str]:
    """Say what was measured at the printed width; lengths in mm, since limits are thought of in mm."""
    yield short_words(gauge)
    if gauge.thin == gauge.tight == 0:
        yield say(
            "Every line and gap keeps your limits of {stroke_mm:g} and {gap_mm:g} mm.",
            stroke_mm=limits.stroke_mm,
            gap_mm=limits.gap_mm,
        )
    if gauge.thin:
        yield say_count(
            "{number} line under {limit:g} mm, {share:.0%} of the length of all lines.",
            "{number} lines under {limit:g} mm, {share:.0%} of the length of all lines.",
            gauge.thin,
            limit=limits.stroke_mm,
            share=gauge.thin_share,
        )
    if gauge.tight:
        said = say_count(
            "{number} gap under {limit:g} mm, {share:.0%} of the length of all gaps",
            "{number} gaps under {limit:g} mm, {share:.0%} of the length of all gaps",
            gauge.tight,
            limit=limits.gap_mm,
            share=gauge.tight_share,
        )
        closing = say("{number} may close up when ink spreads", number=gauge.closing) if gauge.closing else ""
        yield f"{'; '.join(filter(None, (said, closing)))}."
    if gauge.thin or gauge.tight:
        yield what_to_do(gauge)
    if gauge.more > 0:
        yield say("The worst are named; {more} more are marked.", more=gauge.more)
    yield from _of_the_file(gauge, limits)
    if finest and gauge.thinner_than_bundle is not None:
        values = {"code": finest.code, "bundle": finest.bundle_mm, "share": gauge.thinner_than_bundle}
        yield (
            say(
                "Finest needle {code}: its shafts stand {bundle:.2f} mm wide at most, a shaft of 0.35 mm assumed, and "
                "{share:.0%} of the lines are drawn thinner. An upper bound, not a prediction.",
                **values,
            )
            if finest.is_assumed
            else say(
                "Finest needle {code}: its shafts stand {bundle:.2f} mm wide at most and {share:.0%} of the lines are "
                "drawn thinner. An upper bound, not a prediction.",
                **values,
            )
        )
    yield standing(limits)


def _of_the_file(gauge: GaugeFigures, limits: Limits) -> Iterator[str]:
    """Say what a coarse file can't tell."""
    dots = say("the file has {number:.0f} dots per inch", number=gauge.dots_per_inch)
    if gauge.is_stepped:
        dots = say("the file has {number:.0f} dots per inch, ink and paper only", number=gauge.dots_per_inch)
    known = ((gauge.thin, limits.stroke_mm), (gauge.tight, limits.gap_mm))
    for count, limit_mm in known:
        if count is None:
            least = math.ceil(gauge.dots_per_inch * gauge.width_mm / (gauge.judged_to_mm * limit_mm / _least(limits)))
            values = {"dots": dots, "limit": limit_mm, "least": least}
            yield (
                say(
                    "Lines can't be judged: at this size {dots}, too coarse for your limit of {limit:g} mm. "
                    "Save it with {least} or more.",
                    **values,
                )
                if limit_mm is limits.stroke_mm
                else say(
                    "Gaps can't be judged: at this size {dots}, too coarse for your limit of {limit:g} mm. "
                    "Save it with {least} or more.",
                    **values,
                )
            )
    finest_mm = gauge.seen_from_mm
    is_blind = any(count is not None and finest_mm > limit_mm / 2 for count, limit_mm in known)
    values = {"dots": dots, "finest": finest_mm, "step": 25.4 / gauge.dots_per_inch}
    if is_blind and gauge.is_stepped:
        yield say(
            "At this size {dots}: what is finer than {finest:.2f} mm may be missed, and widths are known to "
            "{step:.2f} mm.",
            **values,
        )
    elif is_blind:
        yield say("At this size {dots}: what is finer than {finest:.2f} mm may be missed.", **values)
    elif gauge.is_stepped:
        yield say("At this size {dots}: widths are known to {step:.2f} mm.", **values)


def _least(limits: Limits) -> float:
    return min(limits.stroke_mm, limits.gap_mm)


def standing(limits: Limits) -> str:
    """Say what the limits rest on."""
    return say(
        "Limits: lines {stroke_mm:g} mm, gaps {gap_mm:g} mm; ink is taken to spread {spread:g} mm "
        "on each side. Common practice, no source; yours to set.",
        stroke_mm=limits.stroke_mm,
        gap_mm=limits.gap_mm,
        spread=stroke_width.SPREAD_MM,
    )


def what_to_do(gauge: GaugeFigures) -> str:
    """Say how a stencil that is below the limits would keep them: drawn otherwise, or at a size that is sensible."""
    opening = [say_count("open {number} gap", "open {number} gaps", gauge.tight)] if gauge.tight else []
    thickening = [say_count("thicken {number} line", "thicken {number} lines", gauge.thin)] if gauge.thin else []
    by_hand = _capital(say_all([*opening, *thickening]))
    largest_mm = gauge.width_mm * MOST_TIMES_LARGER
    if gauge.readable_from_mm and gauge.readable_from_mm <= largest_mm:
        return say(
            "{by_hand}, or print it {width} mm wide or more.",
            by_hand=by_hand,
            width=math.ceil(gauge.readable_from_mm),
        )
    mostly = gauge.mostly_from_mm
    if mostly is None or mostly > largest_mm:
        return say(
            "{by_hand}. Not at this design: even at twice the size too much of it stays below the limits.",
            by_hand=by_hand,
        )
    if mostly > gauge.judged_to_mm:
        return say("{by_hand}. Whether a larger print would do can't be told from a file this coarse.", by_hand=by_hand)
    return say(
        "{by_hand}. Printed {width} mm wide or more, 95 % of it keeps the limits.",
        by_hand=by_hand,
        width=math.ceil(mostly),
    )


def short_words(gauge: GaugeFigures) -> str:
    """Say the finest line and the narrowest gap."""
    parts = []
    if gauge.finest_mm is not None:
        parts.append(say("finest line {finest_mm:.2f} mm", finest_mm=gauge.finest_mm))
    if gauge.narrowest_mm is not None:
        parts.append(say("narrowest gap {narrowest_mm:.2f} mm", narrowest_mm=gauge.narrowest_mm))
    words = " · ".join(parts) or say("no line narrow enough to measure")
    return _capital(words)


def place_words(gauge: GaugeFigures) -> tuple[tuple[str, str], ...]:
    """Name the worst places by the tags they carry in the picture."""
    return tuple(
        (
            place.tag,
            _place_words(place),
        )
        for place in gauge.places
    )


def _place_words(place: PlaceFacts) -> str:
    if place.tag.isalpha():
        return say("line {width:.2f} mm", width=place.mm)
    if place.closes:
        return say("gap {width:.2f} mm, may close up", width=place.mm)
    return say("gap {width:.2f} mm", width=place.mm)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def limb_lines(fit: cylinder.Fit, limb: Limb, units: str) -> Iterator[str]:
    """Say how far a width wraps round a limb, and whose girth that rests on."""
    yield say(
        "Wraps {angle_deg:.0f}° of a girth of {length}, {source}.",
        angle_deg=fit.angle_deg,
        length=length_words(round(limb.girth_mm), units),
        source=say(limb.source),
    )
    if fit.gap_mm < 0:
        yield say("Its edges overlap by {length} round the back.", length=length_words(round(-fit.gap_mm), units))
    elif fit.hidden_mm > 0:
        yield say(
            "{length} of it cannot be seen from straight ahead.", length=length_words(round(fit.hidden_mm), units)
        )
    else:
        yield say("Looks {length} wide from straight ahead.", length=length_words(round(fit.seen_mm), units))
    yield say("The limb is taken as a cylinder, which no real limb is.")
