"""Where a photograph looks and how a drawing lies on a limb; knows geometry, not colour.

A limb is a bent tube along its axis. `u` runs along it in mm, `v` across; the drawing is laid on by arc length, so it
narrows towards the sides.
"""

from dataclasses import dataclass

import numpy as np

from tests.demo.geom import Array
from tests.demo.skin import PLACES, F, Place, smooth_table

FULL = (3024, 4032)


@dataclass(frozen=True, slots=True)
class Scene:
    """How a photo is taken."""

    place: str = "forearm"
    tone: str = "light"
    stage: str = "fresh"  # fresh or healed
    backdrop: str = "charcoal"
    seed: int = 1
    fill: float = 0.60  # share of the picture's height (or width) that the design takes
    tilt: float = 6.0  # degrees
    portrait: bool = True
    key: tuple[float, float, float] = (-0.62, -0.42, 0.66)  # direction of the light
    shift: tuple[float, float] = (0.0, 0.0)  # camera, mm
    exposure: float = 1.0
    warmth: float = 0.0
    grain: float = 1.0
    frame: int = 0  # number in a burst
    cloth: str = ""  # a sleeve or hem at the top: black, navy, grey, cream, or none


@dataclass(frozen=True, slots=True)
class View:
    """The camera's frame over a drawing of a given size: pixels, and pixels a millimetre."""

    scene: Scene
    size: tuple[int, int]
    width_mm: float
    height_mm: float

    @property
    def seen_mm(self) -> float:
        """Height of what the picture shows."""
        width, height = self.size
        return max(self.height_mm / self.scene.fill, self.width_mm / self.scene.fill * height / width * 0.92)

    @property
    def ppm(self) -> float:
        return self.size[1] / self.seen_mm

    @property
    def axis(self) -> tuple[float, float]:
        """Give the limb's radius at the drawing's middle, and where across the drawing's middle lies."""
        place = PLACES[self.scene.place]
        zero = np.zeros(1, F)
        radius = float(sides(place, zero, np.sign(np.array([place.at or 1.0], F)))[0])
        return radius, float(smooth_table(zero, place.u, place.c)[0]) + radius * float(np.sin(place.at))

    def project(self, points: Array) -> Array:
        """Say where points of the drawing (mm from its upper left corner) are seen, in pixels."""
        place, (radius, centre) = PLACES[self.scene.place], self.axis
        u = points[:, 1] - self.height_mm / 2
        around = points[:, 0] - self.width_mm / 2 + radius * place.at
        r, c = sides(place, u, np.sign(around)), smooth_table(u, place.u, place.c)
        v = c + r * np.sin(around / r) - centre
        turn = np.radians(self.scene.tilt)
        x = v * np.cos(turn) - u * np.sin(turn) - self.scene.shift[0]
        y = v * np.sin(turn) + u * np.cos(turn) - self.scene.shift[1]
        return np.stack([x, y], axis=1) * self.ppm + np.array(self.size) / 2


def sides(place: Place, u: Array, side: Array) -> Array:
    """Give the limb's half width at places along it, on the side whose sign is given."""
    return np.where(side < 0, smooth_table(u, place.u, place.left), smooth_table(u, place.u, place.right))


@dataclass(frozen=True, slots=True)
class Surface:
    """The limb under every pixel."""

    x: Array  # mm from the picture's middle
    y: Array
    u: Array  # along the limb
    around: Array  # arc length round the limb
    s: Array  # across, -1..1 of the radius
    r: Array
    slope: Array  # how the outline widens along the limb, towards the picture's lower edge
    cos: Array
    mask: Array  # 1 on the limb
    dx: Array  # place in the drawing, mm
    dy: Array


def surface(view: View) -> Surface:
    """Lay the limb under the picture."""
    (width, height), scene, place = view.size, view.scene, PLACES[view.scene.place]
    radius, centre = view.axis
    yy, xx = np.mgrid[0:height, 0:width].astype(F)
    x = (xx - width / 2) / F(view.ppm) + F(scene.shift[0])
    y = (yy - height / 2) / F(view.ppm) + F(scene.shift[1])
    turn = np.radians(scene.tilt)
    ct, st = F(np.cos(turn)), F(np.sin(turn))
    u, v = y * ct - x * st, x * ct + y * st + F(centre)
    c = smooth_table(u, place.u, place.c)
    r = sides(place, u, np.sign(v - c)).astype(F)
    to_right = F(0.5) + F(0.5) * np.tanh((v - c) / F(14))
    left, right = (smooth_table(u, place.u, outline) for outline in (place.left, place.right))
    s = (v - c) / r
    inner = np.clip(s, -0.9995, 0.9995)
    around = r * np.arcsin(inner)
    return Surface(
        x=x,
        y=y,
        u=u,
        around=around,
        s=s,
        r=r,
        slope=np.gradient(left + (right - left) * to_right, axis=0) * F(view.ppm),
        cos=np.sqrt(1 - inner * inner),
        mask=np.clip((1 - np.abs(s)) * r * F(view.ppm) / 2.2 + 0.2, 0, 1),
        dx=around - F(radius * place.at) + F(view.width_mm / 2),
        dy=u + F(view.height_mm / 2),
    )
