"""What is said of a client's limbs laid flat: sizes, girths and whose they are, free skin, room for a new piece."""

from collections.abc import Iterator

from archgen.languages.house import figures, say, say_in, to_say, within
from archgen.limbs.free_skin import GOES_ROUND_DEG, FreeSkin, Room, RoomOnPart
from archgen.limbs.profile import From, GirthMark, Profile
from archgen.limbs.sleeve import LimbPiece, NotDrawn, NotOnLimb, UnrolledLimb
from archgen.limbs.spots import FACING_WORDS, PARTS, QUARTERS, LimbKind
from archgen.limbs.wishes import NotedWish
from archgen.records.model import Side
from archgen.records.vocabulary.placements import PLACES
from archgen.units import MM_PER_INCH, date_words, length_words
from archgen.values.frozen import Value

FLAT = to_say(
    "Each height of the limb is unrolled by itself, so widths round it and heights along it are "
    "true to the scale. Between two girths the limb is taken as a cone, beyond them as a "
    "cylinder: common practice, not anatomy."
)
HATCHED = to_say("Hatched: somewhere here. The record says which side of the limb, but not where along it.")
_SURE = 0.01
_UNKNOWN = to_say("unknown")
_LIMBS = {
    (Side.LEFT, LimbKind.ARM): to_say("Left arm"),
    (Side.RIGHT, LimbKind.ARM): to_say("Right arm"),
    (Side.LEFT, LimbKind.LEG): to_say("Left leg"),
    (Side.RIGHT, LimbKind.LEG): to_say("Right leg"),
}
_REASONS = {
    NotDrawn.NO_LIMB: to_say("not on an arm or leg"),
    NotDrawn.NO_PLACE: to_say("where it is isn’t recorded"),
    NotDrawn.NO_SIDE: to_say("left or right isn’t recorded"),
    NotDrawn.NO_SIZE: to_say("its size isn’t recorded, so it is neither drawn nor counted"),
}
_ROOMS = {
    Room.SURE: to_say("fits"),
    Room.MAYBE: to_say("may fit, by where the others really lie"),
    Room.NONE: to_say("no room"),
}


class FreeWords(Value, frozen=True):
    """What is free on a part of a limb: in all, and by the way it faces, one by one and in a line."""

    part: str
    whole: str
    quarters: tuple[tuple[str, str], ...]
    by_quarter: str


def counted_words(units: str) -> str:
    """Say what the numbers in the drawing are."""
    return say(
        "Numbers: free skin in {unit}, without the rectangle round each piece; counted as if no "
        "piece lay on another. A range where it depends on the exact place; “{unknown}” where a piece may "
        "cover all of it or none.",
        unknown=say(_UNKNOWN),
        unit=area_unit(units),
    )


def limb_name(limb: UnrolledLimb) -> str:
    """Name a limb: "Right arm"."""
    return say(_LIMBS[limb.side, limb.kind])


def wrap_words(limb: UnrolledLimb, piece: LimbPiece, units: str) -> str:
    """Say how far a piece goes round, and by which girth."""
    girth = length_words(round(limb.profile.girth(piece.at_mm)), units)
    return say("wraps {span_deg:.0f}° of {girth}", span_deg=piece.span_deg, girth=girth)


def girth_words(mark: GirthMark, units: str) -> str:
    """Say a girth and whose it is."""
    return f"{length_words(mark.girth_mm, units)}, {say(mark.source.value)}"


def basis_words(limb: UnrolledLimb, units: str) -> Iterator[str]:
    """Say what the drawing of a limb rests on."""
    marks = limb.profile.marks
    if all(mark.source is From.AVERAGE for mark in marks):
        yield say("No girth of this limb was measured: all are averages of adults. Measure before you rely on a size.")
    elif any(mark.source is From.AVERAGE for mark in marks):
        yield say("A girth marked average was not measured on this client.")
    yield from _length_words(limb.profile, units)
    for title, girth in limb.odd_girths:
        yield say(
            "{title}: a girth of {length} can’t be one of a limb and was left out.",
            title=title,
            length=length_words(girth, units),
        )


def _length_words(profile: Profile, units: str) -> Iterator[str]:
    parts = zip(PARTS[profile.kind], profile.lengths_mm, profile.lengths_from, strict=True)
    known = [
        f"{within(say(part))} {length_words(length, units)}, {say(source.value)}" for part, length, source in parts
    ]
    yield say("Lengths: {lengths}.", lengths="; ".join(known))


def free_words(limb: UnrolledLimb, free: tuple[FreeSkin, ...], units: str) -> tuple[FreeWords, ...]:
    """Say what is free on both parts."""
    found = []
    for number, part in enumerate(PARTS[limb.kind]):
        of_part = {one.facing: one for one in free if one.part == number}
        whole = of_part[None]
        words = [say_in("limb", word) for word in FACING_WORDS[limb.kind][number]]
        quarters = tuple(
            (word, area_range(of_part[facing], units)) for facing, word in zip(QUARTERS, words, strict=True)
        )
        said = _free_words(whole, units, is_about=From.AVERAGE in limb.profile.lengths_from)
        found.append(FreeWords(say(part), said, quarters, _in_a_line(quarters)))
    return tuple(found)


def _free_words(free: FreeSkin, units: str, *, is_about: bool) -> str:
    values = {"skin": _area(free.skin, units), "unit": area_unit(units)}
    if free.least >= (1 - _SURE) * free.skin:
        return say("all about {skin} {unit} free", **values) if is_about else say("all {skin} {unit} free", **values)
    if free.least <= _SURE * free.skin:
        values["most"] = _area(free.most, units)
        if is_about:
            return say("up to {most} of about {skin} {unit} free", **values)
        return say("up to {most} of {skin} {unit} free", **values)
    values["free"] = area_range(free, units)
    if is_about:
        return say("{free} of about {skin} {unit} free", **values)
    return say("{free} of {skin} {unit} free", **values)


def _in_a_line(quarters: tuple[tuple[str, str], ...]) -> str:
    nothing = say(_UNKNOWN)
    said = [", ".join(f"{facing} {area}" for facing, area in quarters if area != nothing)]
    if unknown := ", ".join(facing for facing, area in quarters if area == nothing):
        said.append(say("{where}: can’t be said, a piece lies somewhere here", where=unknown))
    return "; ".join(filter(None, said))


def area_range(free: FreeSkin, units: str) -> str:
    """Write what is free: one number where both ends are nearly the same, none where it may be nothing."""
    if free.most - free.least <= _SURE * free.skin:
        return _area((free.least + free.most) / 2, units)
    if free.least <= _SURE * free.skin:
        return say(_UNKNOWN)
    return say("{least} to {most}", least=_area(free.least, units), most=_area(free.most, units))


def _area(area_mm2: float, units: str) -> str:
    return figures(f"{area_mm2 / MM_PER_INCH**2:,.0f}" if units == "in" else f"{area_mm2 / 100:,.0f}")


def area_unit(units: str) -> str:
    """Name the unit free skin is counted in."""
    return say("sq in") if units == "in" else "cm²"


def new_piece_words(limb: UnrolledLimb, fits: tuple[RoomOnPart, ...]) -> Iterator[str]:
    """Say of a new piece how far it would wrap on each part, and where it finds room."""
    for one in fits:
        part = say(PARTS[limb.kind][one.part])
        words = [say_in("limb", word) for word in FACING_WORDS[limb.kind][one.part]]
        rooms = {room: [words[QUARTERS.index(facing)] for facing, found in one.rooms if found is room] for room in Room}
        said = "; ".join(f"{', '.join(where)}: {say(_ROOMS[room])}" for room, where in rooms.items() if where)
        values = {"part": part, "degrees": wrap_range(one.wraps_deg)}
        if min(one.wraps_deg) >= GOES_ROUND_DEG:
            yield say(
                "{part}: wraps {degrees}: it would go round, and no side shows all of it. With its middle on {rooms}.",
                rooms=said,
                **values,
            )
            continue
        values["rooms"] = said[:1].upper() + said[1:]
        if max(one.wraps_deg) >= GOES_ROUND_DEG:
            yield say(
                "{part}: wraps {degrees}: it would go round where the limb is thin, and no side shows all of it. "
                "{rooms}.",
                **values,
            )
        else:
            yield say("{part}: wraps {degrees}. {rooms}.", **values)


def wrap_range(wraps_deg: tuple[float, float]) -> str:
    """Write how far round: "65 to 71°", or more than once."""
    least, most = (round(one) for one in wraps_deg)
    words = f"{least}°" if least == most else say("{least} to {most}°", least=least, most=most)
    return say("{words}, further than once round", words=words) if most > 360 else words


def left_out_words(one: NotOnLimb) -> str:
    """Say which piece isn't drawn, and why."""
    return f"{one.number} {one.title}: {say(_REASONS[one.reason])}"


def noted_words(wish: NotedWish) -> str:
    """Say what a client wants, where it was noted, and what was made there since."""
    noted = ", ".join(filter(None, (wish.noted, date_words(wish.day) if wish.day else None)))
    said = say("noted on {where}", where=noted) if wish.noted else say("in your register")
    place = within(say_in("place", PLACES[wish.place].words)) if wish.place else ""
    where = f" ({place})" if place and place.lower() not in wish.text.lower() else ""
    since = say("made there since: {what}", what=wish.since) if wish.since else ""
    return f"{wish.text}{where} – {'; '.join(filter(None, (said, since)))}"
