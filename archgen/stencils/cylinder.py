"""How a flat stencil sits on a limb, taken as a cylinder: angle, visible width, a view from straight ahead.

Knows girths and pictures, not pieces. A limb isn't a cylinder; the girth used, and whether it was measured on the
client or is a population mean, belongs beside every figure.
"""

import math

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from archgen.errors import UsageError
from archgen.languages.house import say
from archgen.records.vocabulary.girths import LEAST_GIRTH_MM, MOST_GIRTH_MM, is_believable
from archgen.values.frozen import Value

HALF_TURN = 180.0


class Fit(Value, frozen=True):
    """How a design of a width sits round a girth.

    `angle_deg` is how far it wraps, `seen_mm` its width as it looks from straight ahead, `hidden_mm` how much of the
    design has turned out of sight, `gap_mm` what is left between its two edges round the back (negative: they overlap).
    """

    width_mm: float
    girth_mm: float
    angle_deg: float
    seen_mm: float
    hidden_mm: float
    gap_mm: float

    @property
    def words(self) -> str:
        """Say it in a sentence."""
        said = say(
            "{width:.0f} mm wraps {angle:.0f}° of a girth of {girth:.0f} mm",
            width=self.width_mm,
            angle=self.angle_deg,
            girth=self.girth_mm,
        )
        if self.gap_mm < 0:
            return say("{fit}: its edges overlap by {overlap:.0f} mm round the back.", fit=said, overlap=-self.gap_mm)
        if self.hidden_mm > 0:
            hidden = self.hidden_mm
            return say("{fit}: {hidden:.0f} mm of it cannot be seen from straight ahead.", fit=said, hidden=hidden)
        return say("{fit} and looks {seen:.1f} mm wide from straight ahead.", fit=said, seen=self.seen_mm)


def fit(width_mm: float, girth_mm: float) -> Fit:
    """Work out how a width sits round a girth.

    Raises:
        UsageError: The girth is none of a limb or body, or the width is not above zero.
    """
    if not is_believable(girth_mm):
        raise UsageError(
            say(
                "A girth of {girth:g} mm cannot be used. Measure round the limb: it lies between {least:.0f} mm and "
                "{most:.0f} m.",
                girth=girth_mm,
                least=LEAST_GIRTH_MM,
                most=MOST_GIRTH_MM / 1000,
            )
        )
    if width_mm <= 0:
        raise UsageError(say("The width of the stencil must be more than zero."))
    angle = 360 * width_mm / girth_mm
    half = math.radians(min(angle, HALF_TURN) / 2)
    return Fit(
        width_mm=width_mm,
        girth_mm=girth_mm,
        angle_deg=angle,
        seen_mm=girth_mm / math.pi * math.sin(half),
        hidden_mm=max(width_mm - girth_mm / 2, 0.0),
        gap_mm=girth_mm - width_mm,
    )


# Neutral: no skin colour stands beside a drawing. The limb darkens towards its sides so that its turn can be seen.
_LIMB_LIGHT, _LIMB_DARK, _PAPER, _INK = 236, 176, 255, 28


def straight_ahead(
    gray: Image.Image, box: tuple[float, float, float, float], width_mm: float, girth_mm: float, height_px: int = 600
) -> Image.Image:
    """Draw the design on an upright limb as it looks from straight ahead (mode L; long side of the limb `height_px`).

    `gray` must read as it will on skin: turn a file that is stored mirrored first.
    """
    fit(width_mm, girth_mm)
    aspect = (box[3] - box[1]) / (box[2] - box[0])
    radius_mm, height_mm = girth_mm / (2 * math.pi), width_mm * aspect
    per_mm = height_px / (height_mm * 1.3)
    across = max(round(2 * radius_mm * 1.12 * per_mm), 8)
    design_px = max(round(height_mm * per_mm), 1)
    flat_px = max(round(min(box[2] - box[0], 4 * width_mm * per_mm)), 1)
    flat = gray.resize((flat_px, design_px), Image.Resampling.LANCZOS, box=box)
    edges = ((np.arange(across + 1) - across / 2) / per_mm / radius_mm).astype(np.float64)
    view = _limb(edges, height_px)
    top = (height_px - design_px) // 2
    ink = _turned(np.asarray(flat, dtype=np.float64), edges, radius_mm, width_mm)
    view[top : top + design_px] += ink * (_INK - view[top : top + design_px])
    return Image.fromarray(np.clip(np.round(view), 0, 255).astype(np.uint8))


def _limb(edges: NDArray[np.float64], height_px: int) -> NDArray[np.float64]:
    """Give the bare limb: lightest in the middle, white beside it."""
    middle = (edges[1:] + edges[:-1]) / 2
    facing = np.sqrt(np.clip(1 - middle**2, 0, 1))
    column = np.where(np.abs(middle) <= 1, _LIMB_DARK + (_LIMB_LIGHT - _LIMB_DARK) * facing, _PAPER)
    return np.tile(column, (height_px, 1))


def _turned(
    flat: NDArray[np.float64], edges: NDArray[np.float64], radius_mm: float, width_mm: float
) -> NDArray[np.float64]:
    """Average the ink that each column of the view sees: arc = radius · arcsin(x / radius)."""
    arc = radius_mm * np.arcsin(np.clip(edges, -1, 1))
    places = np.clip((arc / width_mm + 0.5) * flat.shape[1], 0, flat.shape[1])
    summed = np.concatenate([np.zeros((flat.shape[0], 1)), np.cumsum(1 - flat / 255, axis=1)], axis=1)
    low = np.minimum(places.astype(np.int64), flat.shape[1] - 1)
    upto = summed[:, low] + (places - low) * (summed[:, low + 1] - summed[:, low])
    # A column's own stretch of arc, not only the part that the design covers, so that its rim fades as it should.
    stretch = np.maximum(np.diff(arc) / width_mm * flat.shape[1], 1e-9)
    seen: NDArray[np.float64] = np.clip(np.diff(upto, axis=1) / stretch, 0, 1)
    return seen
