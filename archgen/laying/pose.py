"""A map from one picture's pixels to another's: affine, with a little bending on top where skin is curved."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Doubles = npt.NDArray[np.float64]
_STEPS_BACK = 8


@dataclass(frozen=True, slots=True, eq=False)
class Pose:
    """x' = matrix x + shift + bend (x^2, xy, y^2) / reach, with x measured from `middle`.

    `reach` is half the diagonal of the first picture.
    """

    matrix: Doubles  # 2 x 2
    shift: Doubles  # 2
    middle: Doubles  # 2
    bend: Doubles  # 2 x 3
    reach: float

    @property
    def scale(self) -> float:
        """Give how much larger things are in the second picture."""
        return float(np.sqrt(abs(np.linalg.det(self.matrix))))

    @property
    def turned(self) -> float:
        """Give by how many degrees the first picture is turned clockwise, as seen, from -180 to 180."""
        u, _, v = np.linalg.svd(self.matrix)
        turn = u @ v
        return float(np.degrees(np.arctan2(turn[1, 0], turn[0, 0])))

    @property
    def stretch(self) -> float:
        """Give the longer axis over the shorter one of what a circle becomes."""
        long, short = np.linalg.svd(self.matrix, compute_uv=False)
        return float(long / max(short, 1e-9))

    @property
    def is_mirrored(self) -> bool:
        """Say whether left and right are exchanged."""
        return bool(np.linalg.det(self.matrix) < 0)

    def places(self, points: npt.NDArray[np.floating]) -> Doubles:
        """Give where points of the first picture lie in the second."""
        off = np.asarray(points, np.float64) - self.middle
        return np.asarray(off @ self.matrix.T + self.shift + _squares(off, self.reach) @ self.bend.T)

    def origins(self, places: npt.NDArray[np.floating]) -> Doubles:
        """Give the points of the first picture that lie at places of the second; bending is undone in steps."""
        back = np.linalg.inv(self.matrix).T
        points = (np.asarray(places, np.float64) - self.shift) @ back + self.middle
        for _ in range(_STEPS_BACK):
            points = points + (places - self.places(points)) @ back
        return np.asarray(points)

    def directions(self, points: npt.NDArray[np.floating], angles: npt.NDArray[np.floating]) -> Doubles:
        """Give the angles that lines of the first picture have in the second."""
        step = np.stack([np.cos(angles), np.sin(angles)], axis=1)
        turned = self.places(points + step) - self.places(points - step)
        return np.asarray(np.mod(np.arctan2(turned[:, 1], turned[:, 0]), np.pi))


def similar(scale: float, degrees: float, start: tuple[float, float], end: tuple[float, float], reach: float) -> Pose:
    """Make the pose that turns and enlarges, and takes one point to another."""
    turn = np.radians(degrees)
    matrix = scale * np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    return Pose(matrix, np.array(end, np.float64), np.array(start, np.float64), np.zeros((2, 3)), reach)


def affine(matrix: Doubles, shift: Doubles, middle: Doubles, reach: float) -> Pose:
    """Make a pose of x' = matrix x + shift, with its middle moved where it belongs."""
    return Pose(matrix, matrix @ middle + shift, middle, np.zeros((2, 3)), reach)


def through(firsts: Doubles, seconds: Doubles, reach: float) -> Pose:
    """Make the pose that turns and enlarges so that points come to lie nearest to others: two taps or more."""
    a, b = firsts.mean(0), seconds.mean(0)
    one, two = firsts - a, seconds - b
    square = float((one**2).sum()) or 1.0
    cosine = float((one * two).sum()) / square
    sine = float((one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0]).sum()) / square
    return Pose(np.array([[cosine, -sine], [sine, cosine]]), b, a, np.zeros((2, 3)), reach)


def _squares(off: Doubles, reach: float) -> Doubles:
    return np.stack([off[:, 0] ** 2, off[:, 0] * off[:, 1], off[:, 1] ** 2], axis=1) / reach
