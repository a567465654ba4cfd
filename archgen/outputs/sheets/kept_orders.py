"""The order of work as a page of the case sheet, for pieces whose record keeps a plan."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import PIL

from archgen.languages.house import house
from archgen.outputs.artifact import Artifact, failing
from archgen.pieces.overview import PieceOverview
from archgen.pieces.prints import WantedPrint, piece_job
from archgen.pieces.survey import SurveyedCatalogue
from archgen.printing.stencil_plan import make_plan
from archgen.quoting.earlier_notes import noted_before
from archgen.records.model import PieceRecord
from archgen.render.sheet_templates import sheet_template
from archgen.render.typst_pdf import versions
from archgen.storage.files import digest_bytes
from archgen.supplies.past_use import PastUse, past_use

VERSION = 3


def order_name(piece_id: str) -> str:
    """Name the page's file in the folder of case sheets."""
    return f"{piece_id}-order-of-work.pdf"


@dataclass(frozen=True)
class KeptOrders:
    """The pages of all pieces whose record keeps a plan."""

    catalogue: SurveyedCatalogue

    def artifacts(self) -> Iterator[Artifact]:
        """List one PDF per kept plan."""
        for overview in self.catalogue.overviews.values():
            if overview.record and overview.record.values.cuts:
                path = order_name(overview.id)
                try:
                    planned = self._artifact(path, overview, overview.record)
                except Exception as error:  # told where it would be made
                    planned = failing(path, error)
                yield replace(planned, piece=overview.id, made_of=overview.piece.toml)

    def _artifact(self, path: str, overview: PieceOverview, record: PieceRecord) -> Artifact:
        past = past_use(self.catalogue, overview.piece)
        notes = noted_before(overview.piece, self.catalogue.pieces)
        made_of = (
            (VERSION, overview.title, record.values, record.stencil, record.reference),
            (past, notes, overview.finished_on),
        )
        digests = [
            facts.digest for file in self._files(record) if (facts := self.catalogue.picture(overview.piece, file))
        ]
        template = sheet_template("order-of-work.typ")
        libraries = (*versions(), f"pillow {PIL.__version__}")
        config = repr(self.catalogue.config)
        key = digest_bytes("order", repr(made_of), config, template, house().state, *digests, *libraries)
        return Artifact(path, make=lambda: self._make(overview, record, past), key=key)

    @staticmethod
    def _files(record: PieceRecord) -> tuple[str, ...]:
        """Give the stencils, and whatever may be the reference they were drawn from."""
        named = [record.values.reference, *(reference.file for reference in record.reference)]
        for stencil in record.stencil:
            named += [stencil.file, *stencil.from_, *(mark.on for mark in stencil.landmark)]
        return tuple(dict.fromkeys(filter(None, named)))

    def _make(self, overview: PieceOverview, record: PieceRecord, past: PastUse) -> bytes:
        # What lays pictures on each other is loaded for kept plans alone.
        from archgen.outputs.reprints import order_of_work, working_print  # noqa: PLC0415
        from archgen.outputs.reprints.stencil_reprint import UNDATED  # noqa: PLC0415

        root, piece = self.catalogue.config.root, overview.piece
        day = overview.finished_on or UNDATED
        plan = make_plan(piece_job(root, piece, WantedPrint(printer=self.catalogue.config.printer, day=day)))
        beside = working_print.reference_of(root, piece, (), wanted=record.values.reference)
        found = order_of_work.trusted(working_print.registered(plan, beside), record.values)
        wish = order_of_work.order_wish(order_of_work.OrderAsked(), record.values, past)
        order = order_of_work.plan_order(plan, beside, found, wish, past)
        return order_of_work.order_pdf(order, self.catalogue, piece, day, None)
