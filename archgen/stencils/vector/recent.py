"""The last drawings of SVG and PDF stencils: the gauge and every printer ask for the same one after the other."""

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from typing import Protocol, TypeVar

from PIL import Image

# One A4 sheet at 600 dots per inch, or several stencils of usual size; a byte each.
MOST_PIXELS = 36_000_000


class HasGray(Protocol):
    """Something with a picture."""

    @property
    def gray(self) -> Image.Image: ...  # noqa: D102


T = TypeVar("T", bound=HasGray)


class RecentDrawings:
    """So many pixels of drawings, the last asked for."""

    def __init__(self, most_pixels: int = MOST_PIXELS) -> None:
        self._most = most_pixels
        self._kept: OrderedDict[Hashable, HasGray] = OrderedDict()
        self._lock = threading.Lock()

    def get(self, key: Hashable, draw: Callable[[], T]) -> T:
        """Give a drawing, made where it isn't kept; nobody may change it."""
        with self._lock:
            found = self._kept.get(key)
            if found is not None:
                self._kept.move_to_end(key)
                return found  # type: ignore[return-value]  # what was kept under the key
        made = draw()
        with self._lock:
            self._kept[key] = made
            while sum(one.gray.width * one.gray.height for one in self._kept.values()) > self._most:
                self._kept.popitem(last=False)
        return made
