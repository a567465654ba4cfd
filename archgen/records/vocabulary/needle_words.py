"""The words and letters of the needle trade; no figures are made here.

Letters and diameter codes: trade guides; makers differ. Synonyms and usual counts: common practice, no source.
"""

import re
from collections.abc import Iterable
from enum import Enum

# Diameter codes in mm, trade guides. #13 and #14 both stand for 0.40: sources disagree, so both warn.
DIAMETERS_MM = {6: 0.20, 8: 0.25, 10: 0.30, 12: 0.35, 13: 0.40, 14: 0.40}
DISPUTED_CODES = (13, 14)
# The trade's standard when nobody says otherwise: common practice, no source.
ASSUMED_DIAMETER_MM = 0.35
# Bugpin: #10 or thinner here; trade guides disagree (others say #8).
BUGPIN_AT_MOST_MM = 0.30
# Shafts are between #6 and the coarsest codes met; a decimal outside is no diameter.
THINNEST_MM, THICKEST_MM = 0.1, 1.0


class Grouping(Enum):
    """How the needles stand; the value is for people."""

    ROUND_LINER = "round liner"
    ROUND_SHADER = "round shader"
    HOLLOW_LINER = "hollow round liner"
    MAGNUM = "magnum"
    STACKED_MAGNUM = "stacked magnum"
    CURVED_MAGNUM = "curved magnum"
    FLAT = "flat"


class Taper(Enum):
    """How long the point is ground: about 1.5, 2, 3 and 5.5 mm and more; makers differ."""

    SHORT = "short taper"
    MEDIUM = "medium taper"
    LONG = "long taper"
    EXTRA_LONG = "extra long taper"
    SUPER_LONG = "super long taper"


def _longest_first(words: Iterable[str]) -> str:
    return "|".join(sorted(words, key=len, reverse=True))


GROUPING_LETTERS = {
    "rl": Grouping.ROUND_LINER, "tl": Grouping.ROUND_LINER, "rs": Grouping.ROUND_SHADER,
    "m1c": Grouping.CURVED_MAGNUM, "m1": Grouping.MAGNUM, "m2": Grouping.STACKED_MAGNUM, "m": Grouping.MAGNUM,
    "rm": Grouping.CURVED_MAGNUM, "cm": Grouping.CURVED_MAGNUM, "sem": Grouping.CURVED_MAGNUM,
    "fl": Grouping.FLAT, "f": Grouping.FLAT, "hl": Grouping.HOLLOW_LINER, "h": Grouping.HOLLOW_LINER,
}  # fmt: skip
TAPER_LETTERS = {
    "st": Taper.SHORT, "mt": Taper.MEDIUM, "lt": Taper.LONG,
    "xlt": Taper.EXTRA_LONG, "elt": Taper.EXTRA_LONG, "slt": Taper.SUPER_LONG,
}  # fmt: skip
_MAG = r"(?:mag(?:num)?s?)"
# Longest first; tried in this order at each place of the text. Trade words: common practice.
GROUPING_WORDS = (
    (rf"curved\s+{_MAG}|soft[\s-]*edged?\s+{_MAG}|round\s+{_MAG}", Grouping.CURVED_MAGNUM),
    (rf"stacked\s+{_MAG}|double[\s-]*stack(?:ed)?(?:\s+{_MAG})?", Grouping.STACKED_MAGNUM),
    (rf"(?:woven|weaved|single[\s-]*stack(?:ed)?)\s+{_MAG}|single[\s-]*stack(?:ed)?|{_MAG}", Grouping.MAGNUM),
    (
        r"hollow(?:\s+round)?(?:\s+(?:liners?|lines?|rl))?|turbo(?:\s+(?:round\s+)?(?:liners?|rl))?",
        Grouping.HOLLOW_LINER,
    ),
    (r"flats?(?:\s+shaders?)?", Grouping.FLAT),
    (r"(?:round\s+)?shaders?|round\s+shades?", Grouping.ROUND_SHADER),
    (r"(?:tight\s+)?(?:round\s+)?liners?|round\s+lines?", Grouping.ROUND_LINER),
)
TAPER_WORDS = (
    (r"extra[\s-]*long\s+tapers?", Taper.EXTRA_LONG),
    (r"super[\s-]*long\s+tapers?", Taper.SUPER_LONG),
    (r"short\s+tapers?", Taper.SHORT),
    (r"medium\s+tapers?", Taper.MEDIUM),
    (r"long\s+tapers?", Taper.LONG),
)
FEATURES = ("textured", "membrane", "disposable", "sterile")
FILLERS = ("needle", "needles", "cartridge", "cartridges", "configuration", "gauge", "size", "ct", "a", "the")
_LETTER_CODE = f"(?P<group>{_longest_first(GROUPING_LETTERS)})(?:[\\s-]*(?P<ground>{_longest_first(TAPER_LETTERS)}))?"
_END = r"(?![^\W_])"
# The name of a token's group is the name of the method that takes it.
TOKENS = re.compile(
    "|".join(
        (
            rf"(?P<mm>\d*[.,]\d+\s*mm){_END}",
            rf"(?P<inch>\d*[.,]\d+\s*(?:(?:inch(?:es)?|in){_END}|\"|″))",
            r"(?P<bare>(?<![\d.,])0?[.,]\d+)(?![\d.,])",
            rf"(?P<code>\#\s*\d{{1,2}}(?!\d)|(?<!\d)\d{{1,2}}(?:['’]?s|\s*gauge){_END})",
            r"(?P<digits>(?<!\d)(?:\d\d\s*-\s*\d\d|\d{4})(?!\d))",
            r"(?P<three>(?<!\d)\d{3}(?!\d))",
            r"(?P<number>(?<!\d)\d{1,2}(?!\d))",
            rf"(?P<single>(?:single|one)\s+needle){_END}",
            *(rf"(?P<grouping{n}>{words}){_END}" for n, (words, _) in enumerate(GROUPING_WORDS)),
            *(rf"(?P<taper{n}>{words}){_END}" for n, (words, _) in enumerate(TAPER_WORDS)),
            rf"(?P<bugpin>bug[\s-]*pins?){_END}",
            rf"(?P<letters>{_LETTER_CODE}){_END}",
            rf"(?P<taper>{_longest_first(TAPER_LETTERS)}){_END}",
            r"(?P<other>[^\W\d_]+|[^\s\w]+|\w+)",
        )
    ),
    re.IGNORECASE,
)
_USUAL_ROUND = (1, 3, 5, 7, 9, 11, 14, 18)
_USUAL_MAGNUM = range(5, 50, 2)
_USUAL_FLAT = range(4, 16)


def usual_counts(grouping: Grouping) -> tuple[int, ...] | range:
    """Give the counts such groups are sold with; others are odd, not wrong."""
    if grouping is Grouping.FLAT:
        return _USUAL_FLAT
    if grouping in (Grouping.MAGNUM, Grouping.STACKED_MAGNUM, Grouping.CURVED_MAGNUM):
        return _USUAL_MAGNUM
    return _USUAL_ROUND
