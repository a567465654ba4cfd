"""Say what a print kept ready is; knows it by its plan, and no drawing."""

from archgen.pieces.ready_prints import ReadyPrint
from archgen.units import length_words
from archgen.wording.counts import count_words
from archgen.wording.prints import hand_words

_PAPERS = {"ink-jet": "ink-jet transfer paper", "thermal": "thermal paper"}


def ready_words(ready: ReadyPrint, units: str) -> str:
    """Say what a print kept ready is: for which paper, which way round, how wide."""
    paper = _PAPERS.get(ready.printer.method, ready.printer.method)
    width = length_words(float(ready.stencil.width or 0), units)
    hand = "" if ready.problem else hand_words(mirrored=ready.mirrored) + ", "
    return f"Stencil for {paper}, {hand}{width} wide"


def short_print_words(ready: ReadyPrint, units: str) -> str:
    """Write "Print 58 mm"."""
    return f"Print {length_words(float(ready.stencil.width or 0), units)}"


def sheets_words(ready: ReadyPrint) -> str:
    """Say how many sheets it takes, and on which printer, or why it cannot be printed."""
    printer = "" if ready.printer.name == "default" else f", printer {ready.printer.name}"
    return ready.problem or f"{count_words(ready.sheets, 'sheet')} of {ready.paper}{printer}"
