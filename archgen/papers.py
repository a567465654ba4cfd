"""Papers by name or by their two sides, always upright; knows millimetres, not printers."""

import re
from functools import lru_cache

from archgen.languages.house import say
from archgen.units import parse_length
from archgen.values.frozen import Value

# ISO 216 for the A series; US sizes as 8.5 x 11, 8.5 x 14 and 11 x 17 in. Always upright: only then do the factors
# for across and along the paper's way through the printer stay on their axes.
PAPERS = {
    "A0": (841.0, 1189.0),
    "A1": (594.0, 841.0),
    "A2": (420.0, 594.0),
    "A3": (297.0, 420.0),
    "A4": (210.0, 297.0),
    "A5": (148.0, 210.0),
    "A6": (105.0, 148.0),
    "Letter": (215.9, 279.4),
    "Legal": (215.9, 355.6),
    "Tabloid": (279.4, 431.8),
}
# The shorter check rule must fit; the longest roll that a stencil is tiled on.
SHORTEST_SIDE_MM, LONGEST_SIDE_MM = 50.0, 2000.0
# What a case sheet or a list is set on: smaller paper has no room for the tables beside the drawing, and what is
# larger than A3 and Tabloid does not lie beside a chair.
_LEAST_SHEET_MM, _MOST_SHEET_MM = (200.0, 260.0), (300.0, 440.0)
# US sizes are whole eighths of an inch; no size of ISO 216 comes this close to one.
_EIGHTH_INCH_MM, _NEAR_MM = 25.4 / 8, 0.05
_SIDE, _UNIT = r"(\d+(?:[.,]\d+| \d+/\d+)?)", r'(mm|cm|in|")'
_SIDES = re.compile(f"{_SIDE} ?{_UNIT}? ?[x×*] ?{_SIDE} ?{_UNIT}", re.IGNORECASE)


class Paper(Value, frozen=True):
    """An upright sheet; its name is one of PAPERS, or its two sides, and can be read again."""

    name: str
    width_mm: float
    height_mm: float


@lru_cache(maxsize=64)
def parse_paper(text: str) -> Paper:
    """Read a paper's name or two sides such as "210 x 297 mm".

    Raises:
        ValueError: The paper is not known or not a size to print on; the message says what is allowed.
    """
    plain = " ".join(text.split())
    for name, (width, height) in PAPERS.items():
        if name.casefold() == plain.casefold():
            return Paper(name, width, height)
    match = _SIDES.fullmatch(plain)
    if match is None:
        raise ValueError(say('a paper is one of {names}, or a size such as "210 x 297 mm"', names=", ".join(PAPERS)))
    short, long = sorted(round(parse_length(f"{side} {match[2] or match[4]}"), 3) for side in (match[1], match[3]))
    if short < SHORTEST_SIDE_MM or long > LONGEST_SIDE_MM:
        raise ValueError(
            say(
                "the sides of a paper lie between {least:g} mm and {most:g} mm",
                least=SHORTEST_SIDE_MM,
                most=LONGEST_SIDE_MM,
            )
        )
    return Paper(f"{short:g} × {long:g} mm", short, long)


def sheet_paper(name: str) -> Paper:
    """Give the paper that sheets to read are set on: the printer's own, where they fit, else A4 or Letter.

    Raises:
        ValueError: The printer's paper is not known.
    """
    own = parse_paper(name)
    sides = own.width_mm, own.height_mm
    if all(least <= side <= most for least, side, most in zip(_LEAST_SHEET_MM, sides, _MOST_SHEET_MM, strict=True)):
        return own
    return parse_paper("Letter" if all(map(_is_in_eighths, sides)) else "A4")


def _is_in_eighths(side_mm: float) -> bool:
    return abs(side_mm - round(side_mm / _EIGHTH_INCH_MM) * _EIGHTH_INCH_MM) <= _NEAR_MM
