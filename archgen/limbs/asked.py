"""Measures of a limb as they are typed: "wrist=165mm", "upper arm=310mm"."""

from collections.abc import Mapping, Sequence

from archgen.errors import UsageError
from archgen.languages.house import say
from archgen.limbs.profile import LEAST_PART_MM, MOST_PART_MM, is_of_limb, people_have
from archgen.limbs.sleeve import AskedMeasures
from archgen.limbs.spots import PARTS, LimbKind
from archgen.units import parse_length

# Where a girth is taken, by what it is called: 0 to 1 along the first part, 1 to 2 along the second.
_GIRTHS = {
    "shoulder": (LimbKind.ARM, 0.0),
    "upper arm": (LimbKind.ARM, 0.5),
    "elbow": (LimbKind.ARM, 1.0),
    "forearm": (LimbKind.ARM, 1.25),
    "wrist": (LimbKind.ARM, 2.0),
    "thigh": (LimbKind.LEG, 0.5),
    "knee": (LimbKind.LEG, 1.0),
    "calf": (LimbKind.LEG, 1.3),
    "ankle": (LimbKind.LEG, 2.0),
}
_LENGTHS = {
    part.casefold(): (kind, float(number)) for kind, parts in PARTS.items() for number, part in enumerate(parts)
}


def read_measures(girths: Sequence[str], lengths: Sequence[str]) -> AskedMeasures:
    """Read what was measured.

    Raises:
        UsageError: A name is none of a limb, or a measure cannot be one.
    """
    round_it: dict[LimbKind, list[tuple[float, float]]] = {}
    for typed in girths:
        (kind, along), girth = _read(typed, _GIRTHS, "--girth")
        if not is_of_limb(kind, along, girth):
            least, most = people_have(kind, along)
            raise UsageError(
                say(
                    "{typed}: nobody is that far round there; nine in ten adults have {least:g} to {most:g} "
                    "mm. Measure round the limb once more.",
                    typed=typed,
                    least=least,
                    most=most,
                )
            )
        round_it.setdefault(kind, []).append((along, girth))
    along_it: dict[LimbKind, list[float | None]] = {}
    for typed in lengths:
        (kind, part), length = _read(typed, _LENGTHS, "--length")
        if not LEAST_PART_MM <= length <= MOST_PART_MM:
            raise UsageError(
                say(
                    "{typed}: no such part of a limb is that long. Measure from joint to joint: {least:g} to "
                    "{most:g} mm.",
                    typed=typed,
                    least=LEAST_PART_MM,
                    most=MOST_PART_MM,
                )
            )
        along_it.setdefault(kind, [None, None])[int(part)] = length
    return AskedMeasures(
        {kind: tuple(found) for kind, found in round_it.items()},
        {kind: (first, second) for kind, (first, second) in along_it.items()},
    )


def _read(typed: str, known: Mapping[str, tuple[LimbKind, float]], option: str) -> tuple[tuple[LimbKind, float], float]:
    name, equals, length = typed.partition("=")
    place = known.get(" ".join(name.casefold().replace("-", " ").split()))
    if place is None or not equals:
        raise UsageError(
            say(
                "{option} {typed}: say which and how much, such as forearm=250mm; {known}.",
                option=option,
                typed=typed,
                known=", ".join(known),
            )
        )
    try:
        return place, parse_length(length)
    except ValueError as error:
        raise UsageError(f"{option} {typed}: {error}.") from error
