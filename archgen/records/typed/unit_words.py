"""Names of units as people write them, in seven languages and with a slip in a long name; knows no numbers.

From memory; names stand here without accents.
"""

import re
from collections.abc import Iterable, Mapping

from archgen.plain_text import without_accents
from archgen.toml.slips import one_slip_away

_LENGTHS = {
    "mm": "millimeter millimeters millimetre millimetres millimetern millimetri millimetro milimetro milimetros mils "
    "milli millis",
    "cm": "centimeter centimeters centimetre centimetres zentimeter zentimetern centimetro centimetros centimetri",
    "in": "zoll pouce pouces pulgada pulgadas pollice pollici polegada polegadas tum ins",
}
_TIMES = {
    "h": "h hr hrs hour hours std stunde stunden heure heures hora horas ora ore timme timmar tim",
    "min": "m min mins minute minutes minuten minuti minutos minuter",
}
# A shorter name is one letter away from other words, a longer one can only be itself: "milimeters", "horus".
_SHORTEST_WITH_A_SLIP = 5
_WORD = re.compile(r"[^\W\d_]+")


def _by_name(units: Mapping[str, str]) -> dict[str, str]:
    return {name: unit for unit, names in units.items() for name in names.split()}


_LENGTH_OF, _TIME_OF = _by_name(_LENGTHS) | {"inch": "in", "inches": "in"}, _by_name(_TIMES)


def with_short_lengths(text: str) -> str:
    """Write the names of units of length in a text as mm, cm and in."""
    return _shortened(text, _LENGTH_OF)


def with_short_times(text: str) -> str:
    """Write the names of hours and minutes in a text as h and min."""
    return _shortened(text, _TIME_OF)


def _shortened(text: str, units: Mapping[str, str]) -> str:
    return _WORD.sub(lambda match: _unit_of(match[0], units) or match[0], text)


def _unit_of(word: str, units: Mapping[str, str]) -> str | None:
    plain = without_accents(word)
    if plain in units:
        return units[plain]
    near = {units[name] for name in _near(plain, units)}
    return near.pop() if len(near) == 1 else None


def _near(plain: str, names: Iterable[str]) -> tuple[str, ...]:
    if len(plain) < _SHORTEST_WITH_A_SLIP:
        return ()
    return one_slip_away(plain, [name for name in names if len(name) >= _SHORTEST_WITH_A_SLIP])
