"""Name what is missing from a record."""

from collections.abc import Iterable

from archgen.pieces.missing import Gap, Missing

# In the order they are told. That there is no photo at all is told by the two stages; what is missing from one
# photo or stencil is told by a finding.
_WORDS = {
    Missing.DATE: "the day it was finished",
    Missing.SIZE: "size on skin",
    Missing.PLACEMENT: "placement",
    Missing.GIRTH: "girth of the limb",
    Missing.CLIENT: "client",
    Missing.SITTINGS: "sittings",
    Missing.HOURS: "hours",
    Missing.NEEDLES: "needles",
    Missing.INKS: "inks",
    Missing.INK_BATCH: "ink batches",
    Missing.FRESH_PHOTO: "fresh photo",
    Missing.HEALED_PHOTO: "healed photo",
    Missing.STENCIL: "stencil",
    Missing.APPLIED_STENCIL: "the stencil that went on the skin",
    Missing.REFERENCES: "references",
    Missing.STYLES: "styles",
}


def missing_words(gaps: Iterable[Gap]) -> tuple[str, ...]:
    """Name what a piece lacks, each once."""
    found = {gap.what for gap in gaps}
    return tuple(words for what, words in _WORDS.items() if what in found)
