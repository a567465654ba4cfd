"""What is said of a client's limbs laid flat: sizes, girths and whose they are, free skin, room for a new piece."""

from collections.abc import Iterator

from archgen.limbs.free_skin import GOES_ROUND_DEG, FreeSkin, Room, RoomOnPart
from archgen.limbs.profile import From, GirthMark, Profile
from archgen.limbs.sleeve import LimbPiece, NotDrawn, NotOnLimb, UnrolledLimb
from archgen.limbs.spots import FACING_WORDS, PARTS, QUARTERS
from archgen.limbs.wishes import NotedWish
from archgen.records.vocabulary.placements import PLACES
from archgen.units import MM_PER_INCH, date_words, length_words
from archgen.values.frozen import Value

FLAT = (
    "Each height of the limb is unrolled by itself, so widths round it and heights along it are true to the scale. "
    "Between two girths the limb is taken as a cone, beyond them as a cylinder: common practice, not anatomy."
)
HATCHED = "Hatched: somewhere here. The record says which side of the limb, but not where along it."
_SURE = 0.01
_UNKNOWN = "unknown"
_REASONS = {
    NotDrawn.NO_LIMB: "not on an arm or leg",
    NotDrawn.NO_PLACE: "where it is isn’t recorded",
    NotDrawn.NO_SIDE: "left or right isn’t recorded",
    NotDrawn.NO_SIZE: "its size isn’t recorded, so it is neither drawn nor counted",
}
_ROOMS = {Room.SURE: "fits", Room.MAYBE: "may fit, by where the others really lie", Room.NONE: "no room"}


class FreeWords(Value, frozen=True):
    """What is free on a part of a limb: in all, and by the way it faces, one by one and in a line."""

    part: str
    whole: str
    quarters: tuple[tuple[str, str], ...]
    by_quarter: str


def counted_words(units: str) -> str:
    """Say what the numbers in the drawing are."""
    return (
        f"Numbers: free skin in {area_unit(units)}, without the rectangle round each piece; counted as if no piece lay "
        "on another. A range where it depends on the exact place; "
        f"“{_UNKNOWN}” where a piece may cover all of it or none."
    )


def limb_name(limb: UnrolledLimb) -> str:
    """Name a limb: "Right arm"."""
    return f"{limb.side.value.capitalize()} {limb.kind.value}"


def wrap_words(limb: UnrolledLimb, piece: LimbPiece, units: str) -> str:
    """Say how far a piece goes round, and by which girth."""
    girth = length_words(round(limb.profile.girth(piece.at_mm)), units)
    return f"wraps {piece.span_deg:.0f}° of {girth}"


def girth_words(mark: GirthMark, units: str) -> str:
    """Say a girth and whose it is."""
    return f"{length_words(mark.girth_mm, units)}, {mark.source.value}"


def basis_words(limb: UnrolledLimb, units: str) -> Iterator[str]:
    """Say what the drawing of a limb rests on."""
    marks = limb.profile.marks
    if all(mark.source is From.AVERAGE for mark in marks):
        yield "No girth of this limb was measured: all are averages of adults. Measure before you rely on a size."
    elif any(mark.source is From.AVERAGE for mark in marks):
        yield "A girth marked average was not measured on this client."
    yield from _length_words(limb.profile, units)
    for title, girth in limb.odd_girths:
        yield f"{title}: a girth of {length_words(girth, units)} can’t be one of a limb and was left out."


def _length_words(profile: Profile, units: str) -> Iterator[str]:
    parts = zip(PARTS[profile.kind], profile.lengths_mm, profile.lengths_from, strict=True)
    known = [f"{part.lower()} {length_words(length, units)}, {source.value}" for part, length, source in parts]
    yield f"Lengths: {'; '.join(known)}."


def free_words(limb: UnrolledLimb, free: tuple[FreeSkin, ...], units: str) -> tuple[FreeWords, ...]:
    """Say what is free on both parts."""
    found = []
    for number, part in enumerate(PARTS[limb.kind]):
        of_part = {one.facing: one for one in free if one.part == number}
        whole = of_part[None]
        words = FACING_WORDS[limb.kind][number]
        quarters = tuple(
            (word, area_range(of_part[facing], units)) for facing, word in zip(QUARTERS, words, strict=True)
        )
        about = "about " if From.AVERAGE in limb.profile.lengths_from else ""
        skin = f"{about}{_area(whole.skin, units)} {area_unit(units)}"
        free_of = "all" if whole.least >= (1 - _SURE) * whole.skin else f"{area_range(whole, units)} of"
        said = (
            f"up to {_area(whole.most, units)} of {skin} free"
            if free_of.startswith(_UNKNOWN)
            else f"{free_of} {skin} free"
        )
        found.append(FreeWords(part, said, quarters, _in_a_line(quarters)))
    return tuple(found)


def _in_a_line(quarters: tuple[tuple[str, str], ...]) -> str:
    known = ", ".join(f"{facing} {area}" for facing, area in quarters if area != _UNKNOWN)
    unknown = ", ".join(facing for facing, area in quarters if area == _UNKNOWN)
    said = f"{unknown}: can’t be said, a piece lies somewhere here" if unknown else ""
    return "; ".join(part for part in (known, said) if part)


def area_range(free: FreeSkin, units: str) -> str:
    """Write what is free: one number where both ends are nearly the same, none where it may be nothing."""
    if free.most - free.least <= _SURE * free.skin:
        return _area((free.least + free.most) / 2, units)
    return _UNKNOWN if free.least <= _SURE * free.skin else f"{_area(free.least, units)} to {_area(free.most, units)}"


def _area(area_mm2: float, units: str) -> str:
    return f"{area_mm2 / MM_PER_INCH**2:,.0f}" if units == "in" else f"{area_mm2 / 100:,.0f}"


def area_unit(units: str) -> str:
    """Name the unit free skin is counted in."""
    return "sq in" if units == "in" else "cm²"


def new_piece_words(limb: UnrolledLimb, fits: tuple[RoomOnPart, ...]) -> Iterator[str]:
    """Say of a new piece how far it would wrap on each part, and where it finds room."""
    for one in fits:
        part, words = PARTS[limb.kind][one.part], FACING_WORDS[limb.kind][one.part]
        rooms = {room: [words[QUARTERS.index(facing)] for facing, found in one.rooms if found is room] for room in Room}
        said = "; ".join(f"{', '.join(where)}: {_ROOMS[room]}" for room, where in rooms.items() if where)
        wraps = f"{part}: wraps {wrap_range(one.wraps_deg)}{_round_words(one.wraps_deg)}."
        if min(one.wraps_deg) >= GOES_ROUND_DEG:
            yield f"{wraps} With its middle on {said}."
        else:
            yield f"{wraps} {said[:1].upper()}{said[1:]}."


def _round_words(wraps_deg: tuple[float, float]) -> str:
    if max(wraps_deg) < GOES_ROUND_DEG:
        return ""
    where = "" if min(wraps_deg) >= GOES_ROUND_DEG else " where the limb is thin"
    return f": it would go round{where}, and no side shows all of it"


def wrap_range(wraps_deg: tuple[float, float]) -> str:
    """Write how far round: "65 to 71°", or more than once."""
    least, most = (round(one) for one in wraps_deg)
    words = f"{least}°" if least == most else f"{least} to {most}°"
    return f"{words}, further than once round" if most > 360 else words


def left_out_words(one: NotOnLimb) -> str:
    """Say which piece isn't drawn, and why."""
    return f"{one.number} {one.title}: {_REASONS[one.reason]}"


def noted_words(wish: NotedWish) -> str:
    """Say what a client wants, where it was noted, and what was made there since."""
    day = f", {date_words(wish.day)}" if wish.day else ""
    noted = f"noted on {wish.noted}{day}" if wish.noted else "in your register"
    place = PLACES[wish.place].words.lower() if wish.place else ""
    since = f"; made there since: {wish.since}" if wish.since else ""
    where = f" ({place})" if place and place not in wish.text.lower() else ""
    return f"{wish.text}{where} – {noted}{since}"
