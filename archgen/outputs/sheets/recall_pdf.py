"""The answer to a recall as a PDF to work through and write on."""

import msgspec

from archgen.catalogue import Catalogue
from archgen.outputs.sheets.recall_list import TraceList
from archgen.papers import sheet_paper
from archgen.render.html import load_theme
from archgen.render.typst_pdf import make_pdf


def trace_pdf(listed: TraceList, catalogue: Catalogue) -> bytes:
    """Set the list on paper, with room to write down when, how and by whom each client was told."""
    template = load_theme("sheet").files["trace-list.typ"].read_text(encoding="utf-8")
    paper = sheet_paper(catalogue.config.printer.paper)
    data = {**msgspec.to_builtins(listed), "paper": msgspec.to_builtins(paper)}
    return make_pdf(template, data, {}, catalogue.built_on)
