"""The calibration page of a printer: rules, a square, its diagonals, line and gap stairs, letters; knows mm only.

The page is printed uncorrected. What its two 100 mm rules measure on paper goes into the settings as measured_x and
measured_y; `page.correction` turns them into factors and refuses what no printer is off by.
"""

import datetime as dt
from dataclasses import replace
from io import BytesIO

import pikepdf

from archgen.errors import ConfigError
from archgen.languages.house import figures, say
from archgen.printing import drawing, furniture, print_ready
from archgen.printing.page import Method, Printer, Rect, Sheet, make_sheet
from archgen.printing.typesetting import SetWord, set_words
from archgen.units import date_words
from archgen.values.frozen import Value

STAIRS_MM = (0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.6, 0.8, 1.0)
SQUARE_MM = 60.0
_STEP_MM = 6.0
_LINE_MM = 36.0
# Two lines of this weight stand on both sides of a gap.
_BESIDE_GAP_MM = 0.5
_COLUMN_MM = 76.0


class _Part(Value, frozen=True):
    operators: list[str]
    words: list[SetWord]


def write_ruler(printer: Printer, day: dt.date, paper: str | None = None) -> bytes:
    """Give the calibration page.

    Raises:
        ConfigError: The paper is too small for rules of 100 mm.
    """
    made = make_sheet(printer, paper)
    sheet = replace(made, factor_x=1.0, factor_y=1.0)
    if round(sheet.rule_mm) < 100 or sheet.drawing.width < _COLUMN_MM + _LINE_MM + 12:
        raise ConfigError(
            say("{paper} is too small for the ruler page. Use A5, A4, Letter or larger.", paper=sheet.paper.name)
        )
    heading = furniture.Heading(
        title=say("Ruler"),
        detail=say(
            "printer {printer} · {paper} · {dpi} dpi · {day}",
            printer=printer.name,
            paper=sheet.paper.name,
            dpi=printer.dpi,
            day=date_words(day),
        ),
        hand=say("NOT CORRECTED"),
        reason=say("shows what the printer does by itself"),
        caution=say("Measure both rules to a tenth of a millimetre."),
    )
    around = furniture.furnish(sheet, heading, mirrored_letters=None, machine=say("Across is x, along the side is y."))
    parts = [_steps(sheet, printer), _square(sheet), _lines(sheet), _gaps(sheet), _letters(sheet)]
    words = [*around.words, *(word for part in parts for word in part.words)]
    operators = [*around.operators, *(line for part in parts for line in part.operators)]
    set_page = set_words(
        [words], *sheet.true_mm, title=say("Ruler for printer {printer}", printer=printer.name), day=day
    )
    with pikepdf.open(BytesIO(set_page)) as pdf:
        return print_ready.finish(pdf, sheet, [print_ready.PrintLayer(tuple(operators))])


def _steps(sheet: Sheet, printer: Printer) -> _Part:
    said = (
        say("1. Print this page at actual size, 100 %, with nothing fitted to the page."),
        say("2. Measure the rule across and the rule along the left side, from the 0 line to the 100 line."),
        say("3. Type what you measured, across first:"),
    )
    left, top = sheet.drawing.left, sheet.drawing.top
    words = [SetWord(line, left, top + 4 + 5 * index, 9, width=sheet.drawing.width) for index, line in enumerate(said)]
    chosen = "" if printer.name == "default" else f' --printer "{printer.name}"'
    typed = SetWord(
        f"archgen ruler --measured 99.4 100.2{chosen}", left, top + 19, 8, width=sheet.drawing.width, mono=True
    )
    return _Part([], [*words, typed])


def _square(sheet: Sheet) -> _Part:
    """Diagonals of equal length prove right angles; their length proves both factors at once."""
    box = Rect(sheet.drawing.left + 4, sheet.drawing.top + 24, SQUARE_MM, SQUARE_MM)
    diagonals = [(box.left, box.top, box.right, box.bottom), (box.left, box.bottom, box.right, box.top)]
    operators = [*drawing.frame(box, drawing.HAIR_MM), *drawing.lines(diagonals, drawing.HAIR_MM)]
    said = say(
        "sides {side:.1f} mm, both diagonals {diagonal:.1f} mm",
        side=SQUARE_MM,
        diagonal=SQUARE_MM * 2**0.5,
    )
    return _Part(operators, [SetWord(said, box.left + SQUARE_MM / 2, box.bottom + 4.5, 8, "centre")])


def _lines(sheet: Sheet) -> _Part:
    left, top = sheet.drawing.left + _COLUMN_MM, sheet.drawing.top + 24
    words, operators = [SetWord(say("Lines"), left, top, 11, style="italic")], []
    for index, weight in enumerate(STAIRS_MM):
        y = top + _STEP_MM * (index + 1)
        operators += drawing.filled(Rect(left + 10, y - weight / 2, _LINE_MM, weight))
        words.append(SetWord(figures(f"{weight:g}"), left + 8, y + 1, 8, "right"))
    return _Part(operators, words)


def _gaps(sheet: Sheet) -> _Part:
    left = sheet.drawing.left + _COLUMN_MM
    top = sheet.drawing.top + 24 + _STEP_MM * (len(STAIRS_MM) + 2)
    words, operators = [SetWord(say("Gaps"), left, top, 11, style="italic")], []
    for index, gap in enumerate(STAIRS_MM):
        y = top + _STEP_MM * (index + 1)
        for edge in (y - gap / 2 - _BESIDE_GAP_MM, y + gap / 2):
            operators += drawing.filled(Rect(left + 10, edge, _LINE_MM, _BESIDE_GAP_MM))
        words.append(SetWord(figures(f"{gap:g}"), left + 8, y + 1, 8, "right"))
    return _Part(operators, words)


def _method_words(method: Method) -> str:
    return say('if this one reads right on skin: method = "{method}"', method=method.value)


def _letters(sheet: Sheet) -> _Part:
    """Print both hands: whichever reads right on skin names the method."""
    left, top = sheet.drawing.left + 4, sheet.drawing.top + 24 + SQUARE_MM + 24
    words = [SetWord(say("Which way round?"), left, top - 6, 11, style="italic")]
    for index, (mirrored, method) in enumerate(((True, Method.INK_JET), (False, Method.THERMAL))):
        y = top + 10 + index * 20
        words += [
            SetWord(furniture.TEST_LETTERS, left + 30, y, 32, "centre", mirrored=mirrored),
            SetWord(_method_words(method), left, y + 5.5, 8, width=66),
        ]
    return _Part([], words)
