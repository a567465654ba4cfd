"""Which girth to reckon with at a place: the one measured on the client, else an average, always saying which."""

from archgen.languages.house import say
from archgen.records.model import Placement
from archgen.records.vocabulary.girths import POPULATION_GIRTHS, is_believable
from archgen.records.vocabulary.placements import PLACES
from archgen.values.frozen import Value


class Limb(Value, frozen=True):
    """A girth and whether it was measured on this client."""

    girth_mm: float
    measured: bool

    @property
    def is_believable(self) -> bool:
        """Say whether anything on a body is so far round."""
        return is_believable(self.girth_mm)

    @property
    def source(self) -> str:
        """Say whose girth it is."""
        return say("measured") if self.measured else say("average, not measured")


def limb_at(placement: Placement) -> Limb | None:
    """Give the girth at a place; None where neither a measurement nor an average is known."""
    if placement.girth is not None:
        return Limb(float(placement.girth), measured=True)
    place = PLACES.get(placement.region or "")
    if place is None or place.girth is None:
        return None
    return Limb(float(round(POPULATION_GIRTHS[place.girth].mean_mm)), measured=False)
