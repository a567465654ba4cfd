"""The answer to a recall as a PDF to work through and write on."""

import msgspec

from archgen.catalogue import Catalogue
from archgen.outputs.sheets.recall_list import TraceList
from archgen.papers import sheet_paper
from archgen.render.sheet_templates import sheet_template
from archgen.render.typst_pdf import make_pdf


def trace_pdf(listed: TraceList, catalogue: Catalogue) -> bytes:
    """Set the list on paper, with room to write down when, how and by whom each client was told."""
    template = sheet_template("trace-list.typ")
    paper = sheet_paper(catalogue.config.printer.paper)
    data = {**msgspec.to_builtins(listed), "paper": msgspec.to_builtins(paper)}
    return make_pdf(template, data, {}, catalogue.built_on)
