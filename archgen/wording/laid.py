"""What may be said of pictures laid on each other: who laid them, what is only a proposal, and no bare millimetres."""

from archgen.languages.house import say
from archgen.picture_facts.laid_facts import LaidFacts, LaidLayer


def laid_words(laid: LaidFacts) -> tuple[str, ...]:
    """Say how the photos and the stencil lie on each other, sentence by sentence."""
    stencils = [layer for layer in laid.stencils if layer]
    said = [_fresh_words(laid.fresh)] if laid.fresh else []
    said += [_stencil_words(stencils, is_first=not said)] if stencils else []
    if any(layer.recorded and not layer.settled for layer in laid.layers):
        said.append(say("Position checked by eye only."))
    if not laid.is_certain:
        said.append(
            say(
                "This drawing looks the same in several places, so the lines can’t tell which one is right. Two points "
                "tapped at the desk settle it."
            )
        )
    if laid.no_shift_seen:
        said.append(say("No shift over 1 mm seen."))
    return tuple(said)


def _fresh_words(fresh: LaidLayer) -> str:
    if fresh.recorded:
        return say("The fresh photo lies on the healed one by the points you set, then along the lines.")
    return say("A proposal: the fresh photo laid on the healed one, found by its lines alone. Nobody has checked it.")


def _stencil_words(stencils: list[LaidLayer], *, is_first: bool) -> str:
    if all(layer.recorded for layer in stencils):
        return say("The stencil lies by the points you set, then along the lines.")
    if any(layer.recorded for layer in stencils):
        return say("The stencil lies by the points you set on one photo; on the other its place is a proposal.")
    if is_first:
        return say("A proposal: the place of the stencil, found by its lines alone. Nobody has checked it.")
    return say("So is the place of the stencil.")
