"""Name what is missing from a record."""

from collections.abc import Iterable

from archgen.languages.house import say, to_say
from archgen.pieces.missing import Gap, Missing

# In the order they are told. That there is no photo at all is told by the two stages; what is missing from one
# photo or stencil is told by a finding.
_WORDS = {
    Missing.DATE: to_say("the day it was finished"),
    Missing.SIZE: to_say("size on skin"),
    Missing.PLACEMENT: to_say("placement"),
    Missing.GIRTH: to_say("girth of the limb"),
    Missing.CLIENT: to_say("client"),
    Missing.SITTINGS: to_say("sittings"),
    Missing.HOURS: to_say("hours"),
    Missing.NEEDLES: to_say("needles"),
    Missing.INKS: to_say("inks"),
    Missing.INK_BATCH: to_say("ink batches"),
    Missing.FRESH_PHOTO: to_say("fresh photo"),
    Missing.HEALED_PHOTO: to_say("healed photo"),
    Missing.STENCIL: to_say("stencil"),
    Missing.APPLIED_STENCIL: to_say("the stencil that went on the skin"),
    Missing.REFERENCES: to_say("references"),
    Missing.STYLES: to_say("styles"),
}


def missing_words(gaps: Iterable[Gap]) -> tuple[str, ...]:
    """Name what a piece lacks, each once."""
    found = {gap.what for gap in gaps}
    return tuple(say(words) for what, words in _WORDS.items() if what in found)
