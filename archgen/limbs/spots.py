"""Where along a limb and which way round it a recorded place lies, as far as its words say; angles, no millimetres.

Angles go round the limb from its front, the palm turned forward: 90° is the side towards the body, 180° the back.
"""

import re
from enum import Enum

import msgspec

from archgen.languages.house import to_say
from archgen.records.model import Piece
from archgen.records.vocabulary.placements import find_placement
from archgen.values.frozen import Value


class LimbKind(Enum):
    """An arm or a leg."""

    ARM = "arm"
    LEG = "leg"


PARTS = {
    LimbKind.ARM: (to_say("Upper arm"), to_say("Forearm")),
    LimbKind.LEG: (to_say("Thigh"), to_say("Lower leg")),
}
JOINTS = {LimbKind.ARM: ("shoulder", "elbow", "wrist"), LimbKind.LEG: ("hip", "knee", "ankle")}
QUARTERS = (0, 90, 180, 270)
# What the quarters are called, in their order, on each of the two parts.
FACING_WORDS = {
    LimbKind.ARM: (("front", "inner", "back", "outer"), ("inner", "little finger", "outer", "thumb")),
    LimbKind.LEG: (("front", "inner", "back", "outer"), ("shin", "inner", "calf", "outer")),
}


class LimbSpot(Value, frozen=True):
    """Where a piece may lie.

    Attributes:
        along: From where to where its middle part of the limb goes: 0 to 1 is the first part, 1 to 2 the second.
        facing: Middles in degrees; several where the words leave open which.
        spread: How many degrees to each side of a middle are still called so.
        is_loose: Whether no words say where along the part.
    """

    kind: LimbKind
    along: tuple[float, float]
    facing: tuple[int, ...]
    spread: float
    is_loose: bool


# place | limb | from | to | middles; ends of the joints and the wrist by eye, common practice without a source
_LIST = """
shoulder | arm | 0 | 0.3 | 270
armpit | arm | 0 | 0.2 | 90
upper-arm-outer | arm | 0 | 1 | 270
upper-arm-front | arm | 0 | 1 | 0
upper-arm-inner | arm | 0 | 1 | 90
upper-arm-back | arm | 0 | 1 | 180
elbow | arm | 0.85 | 1.2 | 180
elbow-ditch | arm | 0.85 | 1.2 | 0
forearm-inner | arm | 1 | 2 | 0
forearm-outer | arm | 1 | 2 | 180
forearm-side | arm | 1 | 2 | 270 90
wrist-inner | arm | 1.75 | 2 | 0
wrist-outer | arm | 1.75 | 2 | 180
full-sleeve | arm | 0 | 2 | round
half-sleeve | arm | 0 | 2 | round
thigh-front | leg | 0 | 1 | 0
thigh-outer | leg | 0 | 1 | 270
thigh-inner | leg | 0 | 1 | 90
thigh-back | leg | 0 | 1 | 180
knee | leg | 0.85 | 1.15 | 0
knee-ditch | leg | 0.85 | 1.15 | 180
shin | leg | 1 | 2 | 0
calf | leg | 1 | 2 | 180
calf-side | leg | 1 | 2 | 270 90
ankle | leg | 1.85 | 2 | 270 90
leg-sleeve | leg | 0 | 2 | round
"""
# Words that say which of two sides is meant.
_SIDE_WORDS = {"outer": 270, "outside": 270, "lateral": 270, "thumb": 270, "inner": 90, "inside": 90, "medial": 90}
_THIRD, _HALF = 1 / 3, 1 / 2
_PART = r"(?: of the (?:arm|forearm|upper arm|thigh|shin|calf|lower leg|leg|limb))?"
_POSITION = re.compile(
    rf"(?:on |at |in )?(?:the )?(upper|top|middle|mid|lower|bottom)(?: (half|third|part|end))?{_PART}", re.IGNORECASE
)
_BESIDE = re.compile(
    r"(?:just |right |close |directly )?(above|below|under|at|near|next to|to|by) (?:the )?"
    r"(shoulder|elbow|wrist|hip|knee|ankle)",
    re.IGNORECASE,
)
_CENTRED = re.compile(r"(.*\s)?cent(?:red|ered) on (?:the )?(?:(?:point|tip) of the )?([\w ]+)", re.IGNORECASE)


def spot_of(piece: Piece) -> LimbSpot | None:
    """Say where a piece lies; None where its place is on no arm or leg, or is not recorded."""
    record = piece.record
    spot = _SPOTS.get(record.placement.region or "") if record else None
    if spot is None or record is None:
        return None
    said = [words for text in (piece.place_as_written, record.placement.note) if text for words in _phrases(text)]
    if spot.spread == _ROUND:  # a whole sleeve
        spot = next((turned for words in said if (turned := _centred(spot, words))), spot)
    facing = spot.facing
    if len(facing) > 1 and spot.spread < _ROUND:
        meant = {_SIDE_WORDS[word] for word in _words(piece.place_as_written) if word in _SIDE_WORDS}
        facing = tuple(meant) if len(meant) == 1 else facing
    along = next((found for words in said if (found := _narrowed(spot, words))), None)
    if along is None and (word := next((one for one in _words(piece.place_as_written) if one in _ALONE), None)):
        along = _part_of(spot.along, word, _HALF)
    return LimbSpot(spot.kind, along or spot.along, facing, spot.spread, spot.is_loose and along is None)


_QUARTER, _ROUND = 45.0, 180.0
_ALONE = frozenset({"upper", "middle", "mid", "lower"})


def _spots() -> dict[str, LimbSpot]:
    found = {}
    for row in _LIST.strip().splitlines():
        place, kind, first, last, middles = (cell.strip() for cell in row.split("|"))
        is_round = middles == "round"
        facing = (0,) if is_round else tuple(int(one) for one in middles.split())
        along = (float(first), float(last))
        found[place] = LimbSpot(LimbKind(kind), along, facing, _ROUND if is_round else _QUARTER, is_loose=True)
    return found


_SPOTS = _spots()


def _phrases(text: str) -> list[str]:
    return [part.strip() for part in re.split(r"[,.;\n]", text) if part.strip()]


def _words(text: str | None) -> list[str]:
    """Give the words of a place; those of its name, as "upper arm", say nothing of where on it."""
    plain = re.sub(r"\b(upper|lower) (arm|leg)\b", r"\2", (text or "").casefold())
    return re.findall(r"\w+", plain)


def _narrowed(spot: LimbSpot, words: str) -> tuple[float, float] | None:
    """Read a phrase that says nothing but where along the limb: "upper third", "just above the wrist"."""
    if position := _POSITION.fullmatch(words):
        return _part_of(spot.along, position[1].casefold(), _THIRD if position[2] == "third" else _HALF)
    if beside := _BESIDE.fullmatch(words):
        joint = JOINTS[spot.kind].index(beside[2].casefold()) if beside[2].casefold() in JOINTS[spot.kind] else None
        ends = (spot.along[0], spot.along[1])
        if joint in ends:
            return _part_of(spot.along, "upper" if joint == ends[0] else "lower", _THIRD)
    return None


def _centred(spot: LimbSpot, words: str) -> LimbSpot | None:
    """Turn what goes all round to the place it is centred on; a part of it, "ornament centred on", says no more."""
    match = _CENTRED.fullmatch(words)
    place = find_placement(match[2]).place if match else None
    centre = _SPOTS.get(place.id) if place else None
    if match is None or centre is None or centre.kind is not spot.kind or centre.spread == _ROUND:
        return None
    if match[1]:
        return msgspec.structs.replace(centre, along=spot.along)
    return msgspec.structs.replace(centre, is_loose=False)


def _part_of(along: tuple[float, float], word: str, share: float) -> tuple[float, float]:
    first, last = along
    length = last - first
    if word in {"upper", "top"}:
        return first, first + share * length
    if word in {"lower", "bottom"}:
        return last - share * length, last
    return first + _THIRD * length, last - _THIRD * length
