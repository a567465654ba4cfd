"""The words and letters of the needle trade; no figures are made here.

Letters and diameter codes: trade guides; makers differ. Synonyms, usual counts and the everyday words of German,
French, Spanish, Italian, Portuguese and Swedish shops: common practice, no source. A word that may mean two things is
not in the lists: it is asked.
"""

import re
from collections.abc import Iterable
from enum import Enum

from archgen.languages.house import say_in

# Diameter codes in mm, trade guides. #13 and #14 both stand for 0.40: sources disagree, so both warn.
DIAMETERS_MM = {6: 0.20, 8: 0.25, 10: 0.30, 12: 0.35, 13: 0.40, 14: 0.40}
DISPUTED_CODES = (13, 14)
# The trade's standard when nobody says otherwise: common practice, no source.
ASSUMED_DIAMETER_MM = 0.35
# Bugpin: #10 or thinner here; trade guides disagree (others say #8).
BUGPIN_AT_MOST_MM = 0.30
# A decimal without a unit is a diameter only where such shafts are met; 0.32 is the 0.0125 inch of one trade page.
BARE_DIAMETERS_MM = (0.20, 0.25, 0.30, 0.32, 0.35, 0.40)
# With a unit anything between the finest and the coarsest shafts; 0.5 mm is no shaft but a stroke, a taper, a slip.
THINNEST_MM, THICKEST_MM = 0.15, 0.45


class Grouping(Enum):
    """How the needles stand; the value is for people."""

    ROUND_LINER = "round liner"
    ROUND_SHADER = "round shader"
    HOLLOW_LINER = "hollow round liner"
    MAGNUM = "magnum"
    STACKED_MAGNUM = "stacked magnum"
    CURVED_MAGNUM = "curved magnum"
    FLAT = "flat"


def grouping_words(grouping: Grouping) -> str:
    """Say how needles stand."""
    return say_in("needle", grouping.value)


MAGNUMS = (Grouping.MAGNUM, Grouping.STACKED_MAGNUM, Grouping.CURVED_MAGNUM)


class Taper(Enum):
    """How long the point is ground: about 1.5, 2, 3 and 5.5 mm and more; makers differ."""

    SHORT = "short taper"
    MEDIUM = "medium taper"
    LONG = "long taper"
    EXTRA_LONG = "extra long taper"
    SUPER_LONG = "super long taper"


def _longest_first(words: Iterable[str]) -> str:
    return "|".join(sorted(words, key=len, reverse=True))


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


# What each letter code says: what kind of group it is, and how it is made.
GROUPING_LETTERS = {
    "rl": ("liner", "round"), "tl": ("liner", "tight"), "rs": ("shader", "round"),
    "m": ("mag",), "m1": ("mag", "woven"), "m2": ("mag", "stacked"), "m1c": ("mag", "curved"),
    "rm": ("mag", "curved"), "cm": ("mag", "curved"), "sem": ("mag", "curved"),
    "f": ("flat",), "fl": ("flat",), "h": ("liner", "hollow"), "hl": ("liner", "hollow"), "hrl": ("liner", "hollow"),
}  # fmt: skip
# Digits behind an M: M9, M20, M115 is M1 and 15, M1015 is #10 and 15, M11015 all of it. M15 may be two things: none.
MAG_DIGITS = re.compile(
    r"(?![12][1-9]$)(?P<make>(?:[12](?=[1-9]\d$|\d{4}$))?)(?P<code>(?:\d\d(?=\d\d$))?)(?P<count>\d{1,2})"
)
# Letters that a word beside them may still turn into another group ("15M soft edge").
OPEN_LETTERS = ("m", "m1", "f")
TAPER_LETTERS = {
    "st": Taper.SHORT, "mt": Taper.MEDIUM, "lt": Taper.LONG,
    "xlt": Taper.EXTRA_LONG, "elt": Taper.EXTRA_LONG, "slt": Taper.SUPER_LONG,
}  # fmt: skip
# The same in words; tried in this order at each place of the text.
GROUPING_WORDS = (
    (r"(?:single|one)[\s-]*stack(?:ed)?", "woven"),
    (r"(?:double[\s-]*)?stack(?:ed)?", "stacked"),
    (r"wo(?:v|ven|ve)|weaved", "woven"),
    (r"soft[\s-]*edged?", "curved"),
    (r"curved?|geb(?:o|ö)gene?[rs]?|courb(?:e|é)e?s?|curvad[oa]s?|curv[oa]s?|böjda?", "curved"),
    (r"mag(?:num)?s?", "mag"),
    (r"rund[\s-]*shader|round[\s-]*shaders?", "shader"),
    (r"shaders?", "shader"),
    (r"shades?", "shade"),
    (r"round[\s-]*liners?|rund[\s-]*liner", "liner"),
    (r"hollow[\s-]*liners?|hollow|turbo|hohle?[rs]?|ihåliga?", "hollow"),
    (r"liners?|traço", "liner"),
    (r"lines?", "line"),
    (r"flats?|flach|plate|plan[oa]|piatt[oa]|platt", "flat"),
    (r"round(?:ed)?|rond|rund", "round"),
    (r"tight", "tight"),
    (r"loose", "loose"),
)  # fmt: skip
_LENGTHS = (
    (r"(?:extra|x)[\s-]*long", Taper.EXTRA_LONG),
    (r"super[\s-]*long", Taper.SUPER_LONG),
    (r"short|kurze[rn]?", Taper.SHORT),
    (r"med(?:ium)?", Taper.MEDIUM),
    (r"long|lange[rn]?", Taper.LONG),
)
TAPER_WORDS = tuple((rf"(?:{words})[\s-]*tapers?|tapers?\s*:?\s*(?:{words})", taper) for words, taper in _LENGTHS)
FEATURES = ("textured", "membrane", "disposable", "sterile")
FILLERS = _words(
    "needle needles cartridge cartridges cart carts configuration gauge size ct a the de nadel nadeln aiguille "
    "aiguilles aguja agujas ago aghi agulha agulhas nål nålar"
)
# Beside one of these nothing is claimed at all.
DENIALS = _words("not no without except nicht kein keine ohne pas sans sin senza non sem não inte utan")
DOUBTS = "?¿~≈±<>"
NUMBER_WORDS = {"three": 3, "five": 5, "seven": 7, "nine": 9, "eleven": 11, "fourteen": 14, "fifteen": 15}
# More of one needle than this on one piece is no count of needles but a diameter or a slip.
MOST_USED = 6
_TAPERS = _longest_first(TAPER_LETTERS)
LETTERS = _longest_first(GROUPING_LETTERS)
_END = r"(?![^\W_])"
# A code may be followed by digits ("RL1003"), not by further letters.
_CODE_END = r"(?![^\W\d_])"
# Behind "no" and "sem" a code is what was not used: "No 10 RL" and "SEM 9" are a number and a magnum, "no 9RL" neither.
_CODE = rf"\d{{1,4}}(?:{LETTERS}){_CODE_END}"
_GROUP_FOLLOWS = rf"(?=\s*-?\s*(?:(?:{LETTERS}){_CODE_END}|{'|'.join(words for words, _ in GROUPING_WORDS)}))"
# The name of a token's group is the name of the method that takes it.
TOKENS = re.compile(
    "|".join(
        (
            rf"(?P<mm>\d*[.,]\d+\s*mm){_END}",
            rf"(?P<inch>\d*[.,]\d+\s*(?:(?:inch(?:es)?|in){_END}|\"|″))",
            r"(?P<bare>(?<![\d.,])\d?[.,]\d+)(?![\d.,])",
            rf"(?P<code>(?:\#|№|\bn[or]\.|\bn[or]\b(?!\s*{_CODE})|\bn[°º]|\bgauge\b(?!\s*0?[.,]\d))\s*\d{{1,2}}(?!\d)"
            rf"|(?<!\d)\d{{1,2}}(?:['’]?s|\s*gauge|\s*ga\.?){_END})",
            r"(?P<digits>(?<!\d)(?:\d\d\s*[-–]\s*\d\d|\d{4})(?!\d))",
            r"(?P<used_before>(?<![\w.,])\d{1,2}\s*[x×]\s*(?=\d))",
            rf"(?P<used>[x×]\s*\d{{1,2}}(?!\d)(?!{_GROUP_FOLLOWS}))",
            rf"(?P<by>[x×](?=\s*\d{{1,2}}(?!\d){_GROUP_FOLLOWS}))",
            r"(?P<three>(?<!\d)\d{3}(?!\d))",
            rf"(?P<single>(?:single|one|(?<!\d)1)\s+needle|einzelnadel|ago\s+singolo){_END}",
            rf"(?P<number>(?<!\d)\d{{1,2}}(?!\d)(?:er{_END})?|(?:{'|'.join(NUMBER_WORDS)}){_END})",
            r"(?P<mags>(?<!\d)(?<!\d[\s-])m(?:[3-9]|\d{2,6})(?!\d))",
            *(rf"(?P<grouping{n}>{words}){_CODE_END}" for n, (words, _) in enumerate(GROUPING_WORDS)),
            rf"(?P<singly>single){_END}",
            *(rf"(?P<taper{n}>{words}){_END}" for n, (words, _) in enumerate(TAPER_WORDS)),
            rf"(?P<length>{'|'.join(words for words, _ in _LENGTHS)}){_END}",
            rf"(?P<bugpin>bug[\s-]*pins?{_END}|bp(?:{_CODE_END}|(?=(?:{LETTERS}){_CODE_END})))",
            rf"(?P<sem>sem(?=\s*{_CODE}))",
            rf"(?P<letters>(?P<group>{LETTERS})(?:[\s-]*(?P<ground>{_TAPERS}))?(?:[\s-]*(?P<bp>bp))?(?:['’]s)?){_CODE_END}",
            rf"(?P<taper>{_TAPERS}){_END}",
            r"(?P<other>[^\W\d_]+|[^\s\w]|\w+)",
        )
    ),
    re.IGNORECASE,
)
