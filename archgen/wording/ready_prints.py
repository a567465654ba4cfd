"""Say what a print kept ready is; knows it by its plan, and no drawing."""

from archgen.languages.house import say, say_count, to_say
from archgen.pieces.ready_prints import ReadyPrint
from archgen.units import length_words
from archgen.wording.prints import hand_words

_PAPERS = {"ink-jet": to_say("ink-jet transfer paper"), "thermal": to_say("thermal paper")}


def ready_words(ready: ReadyPrint, units: str) -> str:
    """Say what a print kept ready is: for which paper, which way round, how wide."""
    paper = say(_PAPERS.get(ready.printer.method, ready.printer.method))
    width = length_words(float(ready.stencil.width or 0), units)
    if ready.problem:
        return say("Stencil for {paper}, {width} wide", paper=paper, width=width)
    hand = hand_words(mirrored=ready.mirrored)
    return say("Stencil for {paper}, {hand}, {width} wide", paper=paper, hand=hand, width=width)


def short_print_words(ready: ReadyPrint, units: str) -> str:
    """Write "Print 58 mm"."""
    return say("Print {width}", width=length_words(float(ready.stencil.width or 0), units))


def sheets_words(ready: ReadyPrint) -> str:
    """Say how many sheets it takes, and on which printer, or why it cannot be printed."""
    if ready.problem:
        return ready.problem
    sheets = say_count("{number} sheet of {paper}", "{number} sheets of {paper}", ready.sheets, paper=ready.paper)
    if ready.printer.name == "default":
        return sheets
    return say("{sheets}, printer {printer}", sheets=sheets, printer=ready.printer.name)
