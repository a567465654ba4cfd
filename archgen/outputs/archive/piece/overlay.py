"""Two pictures laid over each other: the second moved, turned and scaled onto the first."""

from collections.abc import Iterable, Mapping, Sequence

import numpy as np
import numpy.typing as npt

from archgen.picture_facts.facts import Derivative, ImageFacts
from archgen.twins.model import Pair
from archgen.values.frozen import Value

# Wide enough for a stage of half a page at double density.
_COPY_PX = 900

_Matrix = npt.NDArray[np.float64]


class OverlayLayer(Value, frozen=True):
    """One picture: its copy in pixels, and as an SVG transform the place it has on the first one's copy."""

    href: str
    width: int
    height: int
    transform: str


class PictureOverlay(Value, frozen=True):
    """Two layers, and the SVG view box that holds both."""

    second: str
    file: str
    view_box: str
    base: tuple[float, float, float, float]
    layers: tuple[OverlayLayer, OverlayLayer]


class Aligner:
    """Lays the pictures of one group on its first one, if need be by way of a third."""

    def __init__(self, pairs: Iterable[Pair]) -> None:
        self._ways: dict[str, dict[str, _Matrix]] = {}
        for pair in pairs:
            forward = np.vstack([np.reshape(pair.transform, (2, 3)), [0.0, 0.0, 1.0]])
            if abs(np.linalg.det(forward)) > 1e-6:
                self._ways.setdefault(pair.a, {})[pair.b] = forward
                self._ways.setdefault(pair.b, {})[pair.a] = np.linalg.inv(forward)

    def between(self, first: str, second: str) -> _Matrix | None:
        """Give the transform that sends points of the second to the first, both in fractions; None when unknown."""
        ways = self._ways.get(first, {})
        if second in ways:
            return ways[second]
        middle = next((key for key in ways if second in self._ways[key]), None)
        return None if middle is None else ways[middle] @ self._ways[middle][second]


def overlays(
    paths: Sequence[str], names: Sequence[str], pairs: Iterable[Pair], facts: Mapping[str, ImageFacts]
) -> tuple[PictureOverlay, ...]:
    """Lay each further picture of a group on the first."""
    aligner = Aligner(pairs)
    first = _copy(facts.get(paths[0]))
    made = []
    for path, name in zip(paths[1:], names[1:], strict=True):
        second = _copy(facts.get(path))
        transform = aligner.between(paths[0], path)
        if first and second and transform is not None:
            made.append(_overlay(first, second, transform, name, path.rpartition("/")[2]))
    return tuple(made)


def _copy(facts: ImageFacts | None) -> Derivative | None:
    copies = sorted(facts.screen, key=lambda copy: copy.width) if facts else []
    return next((copy for copy in copies if copy.width >= _COPY_PX), copies[-1] if copies else None)


def _overlay(first: Derivative, second: Derivative, transform: _Matrix, name: str, file: str) -> PictureOverlay:
    to_first = np.diag([first.width, first.height, 1.0]) @ transform @ np.diag([1 / second.width, 1 / second.height, 1])
    across, down = (side.ravel() for side in np.meshgrid([0, second.width], [0, second.height]))
    corners = to_first @ np.stack([across, down, np.ones(4)])
    left, top = (min(0.0, float(corners[axis].min())) for axis in (0, 1))
    right = max(float(first.width), float(corners[0].max()))
    bottom = max(float(first.height), float(corners[1].max()))
    base = (round(left, 1), round(top, 1), round(right - left, 1), round(bottom - top, 1))
    numbers = " ".join(f"{value:.5f}" for value in to_first[:2].T.ravel())
    return PictureOverlay(
        second=name,
        file=file,
        view_box=" ".join(f"{value:g}" for value in base),
        base=base,
        layers=(
            OverlayLayer(f"img/{first.blob}", first.width, first.height, ""),
            OverlayLayer(f"img/{second.blob}", second.width, second.height, f"matrix({numbers})"),
        ),
    )
