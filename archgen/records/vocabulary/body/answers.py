"""What a phrase for a place means on the list of places: one place, several to choose from, or nothing.

Inner is the palm side of the forearm and the body side of the upper arm (standard anatomical position, from memory);
which places a bare word may mean: common practice, no source. Nothing that is offered is on the opposite side of what
was written.
"""

from collections.abc import Iterable
from dataclasses import replace

from archgen.records.vocabulary.body.phrases import BodyPhrase, BodyWord
from archgen.values.frozen import Value

# part: the places it may mean alone; then what it means with a word for where. One place is an answer, several are
# asked; "~" says that the word is not held by the place and kept beside it.
_RULES = """
scalp: scalp
crown: crown
temple: temple
face: face
head: scalp crown temple face; top=crown; side=scalp; behind=scalp~; front=face
ear: ear; behind=behind-ear
neck: neck-front neck-side nape; front=neck-front; side=neck-side; behind=nape
throat: neck-front
nape: nape
collarbone: collarbone
chest: chest; full=chest; between=sternum
breast: chest under-breast; bottom=under-breast; below=under-breast; between=sternum
sternum: sternum
under-breast: under-breast
ribs: ribs; side=ribs
stomach: stomach; upper=stomach-upper; lower=stomach-lower; side=flank stomach
stomach-upper: stomach-upper
stomach-lower: stomach-lower
groin: groin
flank: flank; side=flank
ribs-or-flank: ribs flank
hip-or-flank: hip flank
hip: hip; side=hip
torso: chest ribs stomach flank full-back; front=chest stomach; side=ribs flank; behind=full-back
back: full-back upper-back lower-back spine shoulder-blade; full=full-back; upper=upper-back; lower=lower-back; small=lower-back; middle=full-back upper-back lower-back spine
full-back: full-back
lower-back: lower-back
shoulder-blade: shoulder-blade; between=upper-back
spine: spine
tailbone: lower-back buttock
lat: ribs upper-back flank
trap: shoulder upper-back neck-side
buttock: buttock
shoulder: shoulder; behind=shoulder shoulder-blade
armpit: armpit
underarm: armpit forearm-inner forearm-outer forearm-side; inner=forearm-inner; outer=forearm-outer
arm: upper-arm-outer upper-arm-front upper-arm-inner upper-arm-back forearm-inner forearm-outer full-sleeve half-sleeve; inner=upper-arm-inner forearm-inner; bottom=upper-arm-inner forearm-inner; outer=upper-arm-outer forearm-outer; behind=upper-arm-back; front=upper-arm-front forearm-inner; top=upper-arm-outer forearm-outer; full=full-sleeve; half=half-sleeve
upper-arm: upper-arm-outer upper-arm-front upper-arm-inner upper-arm-back; inner=upper-arm-inner; outer=upper-arm-outer; front=upper-arm-front; behind=upper-arm-back; side=upper-arm-outer upper-arm-inner; bottom=upper-arm-inner upper-arm-back
bicep: upper-arm-front; inner=upper-arm-inner; outer=upper-arm-outer; front=upper-arm-front
tricep: upper-arm-back; inner=upper-arm-inner upper-arm-back; outer=upper-arm-outer upper-arm-back; behind=upper-arm-back
elbow: elbow; inner=elbow-ditch; outer=elbow; front=elbow-ditch; behind=elbow; above=elbow upper-arm-back; below=elbow forearm-outer
elbow-ditch: elbow-ditch
forearm: forearm-inner forearm-outer forearm-side; inner=forearm-inner; outer=forearm-outer; side=forearm-side; top=forearm-outer; bottom=forearm-inner; behind=forearm-outer; medial=forearm-side~; lateral=forearm-side~
wrist: wrist-inner wrist-outer; inner=wrist-inner; outer=wrist-outer; top=wrist-outer; bottom=wrist-inner; behind=wrist-outer
hand: hand-back palm finger; top=hand-back; behind=hand-back; inner=palm; bottom=palm; outer=hand-back; side=hand-back palm
hand-back: hand-back
palm: palm
finger: finger; side=finger; top=finger
webbing: hand-back finger
sleeve: full-sleeve half-sleeve leg-sleeve; full=full-sleeve; half=half-sleeve; quarter=shoulder upper-arm-outer upper-arm-front upper-arm-inner upper-arm-back; three-quarter=full-sleeve half-sleeve; lower=half-sleeve forearm-inner forearm-outer
arm-sleeve: full-sleeve; full=full-sleeve; half=half-sleeve
half-sleeve: half-sleeve
leg-sleeve: leg-sleeve; full=leg-sleeve; half=leg-sleeve shin calf
leg: thigh-front thigh-outer thigh-inner thigh-back shin calf calf-side leg-sleeve; inner=thigh-inner calf-side; outer=thigh-outer calf-side; front=thigh-front shin; behind=thigh-back calf; side=thigh-outer calf-side; full=leg-sleeve; half=leg-sleeve shin calf
thigh: thigh-front thigh-outer thigh-inner thigh-back; inner=thigh-inner; outer=thigh-outer; side=thigh-outer; front=thigh-front; top=thigh-front; behind=thigh-back
quad: thigh-front; front=thigh-front; outer=thigh-outer thigh-front; inner=thigh-inner thigh-front
hamstring: thigh-back; behind=thigh-back; outer=thigh-outer thigh-back; inner=thigh-inner thigh-back
knee: knee; front=knee; top=knee; behind=knee-ditch; above=thigh-front thigh-back knee; below=shin calf knee
knee-ditch: knee-ditch
lower-leg: shin calf calf-side; front=shin; behind=calf; inner=calf-side~; outer=calf-side~; side=calf-side
shin: shin; front=shin; inner=shin calf-side; outer=shin calf-side; side=shin calf-side
calf: calf; behind=calf; inner=calf-side~; outer=calf-side~; side=calf-side; front=?shin
ankle: ankle; side=ankle; behind=ankle heel
ankle-or-knuckle: ankle finger
foot: foot-top sole heel toe; top=foot-top; bottom=sole; side=foot-top sole; inner=foot-top sole; outer=foot-top sole; behind=heel
instep: foot-top
sole: sole
heel: heel
toe: toe
ditch: elbow-ditch knee-ditch
"""  # noqa: E501
# Words for where that are no answer alone.
_ASPECTS_ALONE = {
    "inner": "forearm-inner upper-arm-inner wrist-inner thigh-inner calf-side",
    "outer": "forearm-outer upper-arm-outer wrist-outer thigh-outer calf-side",
    "side": "ribs flank neck-side forearm-side calf-side",
    "top": "hand-back foot-top wrist-outer forearm-outer",
}
# Two words that are another part: "upper outer arm" is on the upper arm.
_NARROWED = {
    ("arm", "upper"): "upper-arm",
    ("arm", "lower"): "forearm",
    ("leg", "upper"): "thigh",
    ("leg", "lower"): "lower-leg",
    ("knee", "ditch"): "knee-ditch",
    ("elbow", "ditch"): "elbow-ditch",
    ("leg", "sleeve"): "leg-sleeve",
    ("arm", "sleeve"): "arm-sleeve",
}
# Which side of the body an anatomical word means, by the part it is said of; the palm faces forward.
_ANATOMY = {
    "volar": {"forearm": "inner", "wrist": "inner", "hand": "bottom", "foot": "bottom", "": "front"},
    "anterior": {"forearm": "inner", "wrist": "inner", "hand": "bottom", "": "front"},
    "dorsal": {"foot": "top", "": "behind"},
    "posterior": {"": "behind"},
    "plantar": {"": "bottom"},
    "medial": {"forearm": "medial", "wrist": "medial", "elbow": "medial", "hand": "medial", "": "inner"},
    "lateral": {"forearm": "lateral", "wrist": "lateral", "elbow": "lateral", "hand": "lateral", "": "outer"},
}
_OPPOSITES = (("inner", "outer"), ("front", "behind"), ("upper", "lower"), ("top", "bottom"))
# Places that lie on one of two opposite sides; nothing that was said to be on the other side is offered there.
_LIES = {
    "inner": "forearm-inner upper-arm-inner wrist-inner thigh-inner elbow-ditch palm",
    "outer": "forearm-outer upper-arm-outer wrist-outer thigh-outer elbow hand-back",
    "front": "thigh-front upper-arm-front neck-front shin chest sternum under-breast stomach stomach-upper "
    "stomach-lower knee face elbow-ditch",
    "behind": "thigh-back upper-arm-back nape knee-ditch calf full-back upper-back lower-back spine "
    "shoulder-blade buttock heel",
    "upper": "upper-back stomach-upper",
    "lower": "lower-back stomach-lower",
    "top": "hand-back foot-top crown",
    "bottom": "palm sole",
}


class BodyAnswer(Value, frozen=True):
    """The places a phrase may mean, best first; it is one when it is no question; detail is what no place holds."""

    places: tuple[str, ...]
    is_sure: bool
    detail: str = ""


class _PartAnswer(Value, frozen=True):
    """The places of one part, the words they do not hold, and whether it is asked even when it is one place."""

    places: tuple[str, ...]
    rest: frozenset[str]
    is_open: bool


def answer(phrase: BodyPhrase) -> BodyAnswer:
    """Say which places a phrase may mean."""
    if phrase.is_denied or len(phrase.sides - {"both"}) > 1:
        return BodyAnswer((), is_sure=False)
    parts, aspects = _with_back(phrase)
    if not parts:
        return BodyAnswer(() if phrase.unknown else _alone(aspects), is_sure=False)
    of_each = _meanings(parts, aspects)
    parts, aspects = _narrowed(parts, aspects)
    found = [_of_part(part, aspects) for part in parts]
    said = [*(word.notion for word in aspects), *of_each]
    meant = _together(found, said)
    if not meant.places:  # what was said contradicts itself: "inner outer forearm"
        every = [_of_part(part, []) for part in parts]
        return BodyAnswer(_together(every, said).places, is_sure=False)
    is_open = bool(meant.is_open or phrase.unknown or phrase.slips or "both" in phrase.sides)
    is_sure = len(meant.places) == 1 and not is_open
    less = [part.written for part in parts if part.is_less]
    detail = " ".join(
        dict.fromkeys([*less, *phrase.closer, *(word.written for word in aspects if word.written in meant.rest)])
    )
    return BodyAnswer(meant.places, is_sure, detail if is_sure else "")


def _rules() -> dict[str, dict[str, tuple[str, ...]]]:
    rules = {}
    for line in _RULES.strip().splitlines():
        part, _, cells = line.partition(":")
        bare, *others = (cell.strip() for cell in cells.split(";"))
        rules[part] = {"": tuple(bare.split())}
        rules[part] |= {aspect: tuple(places.split()) for aspect, _, places in (cell.partition("=") for cell in others)}
    return rules


_PARTS = _rules()


def _with_back(phrase: BodyPhrase) -> tuple[list[BodyWord], list[BodyWord]]:
    """Take "back" for where ("back of the thigh") when another part is named, and "pit" likewise."""
    parts, aspects = list(phrase.parts), list(phrase.aspects)
    for part, aspect in (("back", "behind"), ("ditch", "ditch")):
        said = [word for word in parts if word.notion == part]
        others = [word for word in parts if word.notion not in (part, "spine", "full-back", "shoulder-blade")]
        if others:
            parts = [word for word in parts if word.notion != part]
            aspects += [BodyWord(aspect, word.written) for word in said]
    return parts, aspects


def _meanings(parts: list[BodyWord], aspects: list[BodyWord]) -> list[str]:
    """Give what words of anatomy mean on each of the parts: "ventral" is the front of a thigh, the inner of a wrist."""
    tables = [_ANATOMY[word.notion] for word in aspects if word.notion in _ANATOMY]
    return [table[part.notion] for table in tables for part in parts if part.notion in table]


def _narrowed(parts: list[BodyWord], aspects: list[BodyWord]) -> tuple[list[BodyWord], list[BodyWord]]:
    """Make one part of two words ("arm", "upper"), and words of anatomy plain ones."""
    for (part, other), whole in _NARROWED.items():
        if {part, other} <= {word.notion for word in (*parts, *aspects)}:
            parts = [BodyWord(whole, word.written) if word.notion == part else word for word in parts]
            parts = [word for word in parts if word.notion != other]
            aspects = [word for word in aspects if word.notion != other]
    kind = next((word.notion for word in parts), "")
    plain = []
    for word in aspects:
        meanings = _ANATOMY.get(word.notion, {})
        plain.append(BodyWord(meanings.get(kind, meanings.get("", word.notion)), word.written))
    # "outer side of the forearm": the side is no second answer.
    if any(word.notion in ("inner", "outer", "front", "behind", "top", "bottom") for word in plain):
        plain = [word for word in plain if word.notion != "side"]
    return parts, plain


def _of_part(part: BodyWord, aspects: list[BodyWord]) -> _PartAnswer:
    rules = _PARTS[part.notion]
    places, rest = rules[""], set()
    decided = is_open = False
    for word in aspects:
        meant = rules.get(word.notion)
        if meant is None:
            rest.add(word.written)
            continue
        if any(place.endswith("~") for place in meant):
            rest.add(word.written)
        is_open |= any(place.startswith("?") for place in meant)
        meant = tuple(place.strip("?~") for place in meant)
        both = tuple(place for place in meant if place in places) if decided else meant
        places, decided = both or (*places, *meant), True
    return _PartAnswer(tuple(dict.fromkeys(places)), frozenset(rest), is_open)


def _together(found: list[_PartAnswer], aspects: Iterable[str]) -> _PartAnswer:
    """Put the places of several parts together: of "palm" and "hand" the palm, of "forearm" and "wrist" all."""
    for one in sorted(found, key=lambda part: len(part.places)):
        if all(set(one.places) <= set(other.places) for other in found):
            left = _without_opposites(one.places, aspects)
            # What is left over is no answer: "outer ditch" does not say the knee.
            return replace(one, places=left, is_open=one.is_open or left != one.places)
    every = tuple(dict.fromkeys(place for part in found for place in part.places))
    return _PartAnswer(_without_opposites(every, aspects), frozenset(), is_open=True)


def _alone(aspects: list[BodyWord]) -> tuple[str, ...]:
    notions = {word.notion for word in aspects}
    return tuple(_ASPECTS_ALONE.get(notions.pop(), "").split()) if len(notions) == 1 else ()


def _without_opposites(places: tuple[str, ...], aspects: Iterable[str]) -> tuple[str, ...]:
    said = set(aspects)
    wrong = {
        place
        for one, other in (*_OPPOSITES, *((b, a) for a, b in _OPPOSITES))
        if one in said
        for place in _LIES[other].split()
        if place not in _LIES[one].split()
    }
    return tuple(place for place in places if place not in wrong)
