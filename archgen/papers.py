"""Papers by name or by their two sides, always upright; knows millimetres, not printers."""

import re
from dataclasses import dataclass

from archgen.units import parse_length

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
_SIDES = re.compile(r"(\d+(?:[.,]\d+)?) ?(mm|cm|in)? ?[x×*] ?(\d+(?:[.,]\d+)?) ?(mm|cm|in)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Paper:
    """An upright sheet; its name is one of PAPERS, or its two sides, and can be read again."""

    name: str
    width_mm: float
    height_mm: float


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
        raise ValueError(f'a paper is one of {", ".join(PAPERS)}, or a size such as "210 x 297 mm"')
    short, long = sorted(round(parse_length(f"{side} {match[2] or match[4]}"), 3) for side in (match[1], match[3]))
    if short < SHORTEST_SIDE_MM or long > LONGEST_SIDE_MM:
        raise ValueError(f"the sides of a paper lie between {SHORTEST_SIDE_MM:g} mm and {LONGEST_SIDE_MM:g} mm")
    return Paper(f"{short:g} × {long:g} mm", short, long)
