"""Take from the Unicode CLDR what each language writes: days, months, lengths, times, currencies, their own names.

    .venv/bin/pip install '.[test]' && .venv/bin/python release/take_cldr.py

Writes archgen/languages/cldr.json, through Babel, which carries the CLDR whole. The same Babel gives the same bytes.
"""

import datetime as dt
import json
from pathlib import Path
from typing import Any

from babel import Locale, localedata
from babel.dates import format_skeleton
from babel.numbers import get_territory_currencies

ROOM = Path(__file__).resolve().parent.parent / "archgen/languages"
YEAR, DAY = 2345, 17
UNITS = {"mm": "length-millimeter", "cm": "length-centimeter", "in": "length-inch"}
TIMES = {"h": "duration-hour", "min": "duration-minute"}


def main() -> None:
    """Write the file."""
    spoken = ("en", *sorted(path.stem for path in ROOM.glob("words/*.po")))
    named = [locale for name in localedata.locale_identifiers() if "_" not in name and (locale := Locale(name))]
    data = {
        "names": {str(locale): locale.get_display_name() for locale in named if locale.get_display_name()},
        "rtl": [str(locale) for locale in named if locale.text_direction == "rtl"],
        "languages": {tag: facts_of(Locale(tag)) for tag in spoken},
    }
    text = json.dumps(data, ensure_ascii=False, indent=1, sort_keys=True)
    (ROOM / "cldr.json").write_text(f"{text}\n", encoding="utf-8")


def facts_of(locale: Locale) -> dict[str, Any]:
    """Give what is said in one language."""
    return {
        "months": [written("yMMMM", month, locale).replace(str(YEAR), "{}") for month in range(1, 13)],
        "short_months": [written("yMMM", month, locale).replace(str(YEAR), "{}") for month in range(1, 13)],
        "dates": [
            written("yMMMd", month, locale).replace(str(YEAR), "{year}").replace(str(DAY), "{day}")
            for month in range(1, 13)
        ],
        "decimal": locale.number_symbols["latn"]["decimal"],
        "group": locale.number_symbols["latn"]["group"],
        "percent": locale.percent_formats[None].pattern.partition("0")[2],
        "units": {unit: locale._data["unit_patterns"][name]["short"]["other"] for unit, name in UNITS.items()},
        "times": {unit: locale._data["unit_patterns"][name]["short"]["other"] for unit, name in TIMES.items()},
        "currencies": {code: plural_name(locale, code) for code in currencies()},
    }


def written(skeleton: str, month: int, locale: Locale) -> str:
    """Write the day of a month of the year."""
    return format_skeleton(skeleton, dt.date(YEAR, month, DAY), locale=locale)


def plural_name(locale: Locale, code: str) -> str:
    """Give the name of a currency as prices are in it: "euros", "Swiss francs"."""
    return locale._data["currency_names_plural"].get(code, {}).get("other") or locale.currencies.get(code, code)


def currencies() -> list[str]:
    """Give the currencies that are legal tender somewhere today."""
    territories = [code for code in Locale("en").territories if len(code) == 2]
    return sorted({code for territory in territories for code in get_territory_currencies(territory)})


if __name__ == "__main__":
    main()
