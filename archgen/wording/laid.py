"""What may be said of pictures laid on each other: who laid them, what is only a proposal, and no bare millimetres."""

from archgen.picture_facts.laid_facts import LaidFacts, LaidLayer

_BY_POINTS = "by the points you set, then along the lines"
_BY_LINES = "found by its lines alone. Nobody has checked it."
_EYE_ONLY = "Position checked by eye only."
_ALIKE = (
    "This drawing looks the same in several places, so the lines can’t tell which one is right. Two points tapped at "
    "the desk settle it."
)


def laid_words(laid: LaidFacts) -> tuple[str, ...]:
    """Say how the photos and the stencil lie on each other, sentence by sentence."""
    stencils = [layer for layer in laid.stencils if layer]
    said = [_fresh_words(laid.fresh)] if laid.fresh else []
    said += [_stencil_words(stencils, is_first=not said)] if stencils else []
    if any(layer.recorded and not layer.settled for layer in laid.layers):
        said.append(_EYE_ONLY)
    if not laid.is_certain:
        said.append(_ALIKE)
    if laid.no_shift_seen:
        said.append("No shift over 1 mm seen.")
    return tuple(said)


def _fresh_words(fresh: LaidLayer) -> str:
    if fresh.recorded:
        return f"The fresh photo lies on the healed one {_BY_POINTS}."
    return f"A proposal: the fresh photo laid on the healed one, {_BY_LINES}"


def _stencil_words(stencils: list[LaidLayer], *, is_first: bool) -> str:
    if all(layer.recorded for layer in stencils):
        return f"The stencil lies {_BY_POINTS}."
    if any(layer.recorded for layer in stencils):
        return "The stencil lies by the points you set on one photo; on the other its place is a proposal."
    return f"A proposal: the place of the stencil, {_BY_LINES}" if is_first else "So is the place of the stencil."
