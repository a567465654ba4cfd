"""Where to part the light of a picture into tones: least squares over the histogram, exactly.

Fisher's classes by dynamic programming (W. D. Fisher, JASA 53, 1958) are the thresholds of N. Otsu (IEEE SMC 9, 1979)
for more than two classes, and what k-means run to its end would find on one axis.
"""

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float32]
Doubles = npt.NDArray[np.float64]

# Half a step of lightness (CIE L*, 0 to 100) a bin.
BINS, LIGHTEST = 200, 100.0


def find_cuts(light: Floats, tones: int) -> tuple[float, ...]:
    """Give the cuts between so many tones, dark to light; fewer where there are fewer levels of light."""
    counts, edges = np.histogram(light, BINS, (0, LIGHTEST))
    return tuple(float(cut) for cut in _parted(counts.astype(np.float64), edges, tones))


def cuts_leaving_bare(light: Floats, tones: int, bare: float) -> tuple[float, ...]:
    """Give cuts of which the last leaves a share of the whole lighter than all tones that are worked."""
    top = float(np.quantile(light, 1 - bare))
    below = light[light < top]
    if not below.size:
        return (top,)
    return (*(cut for cut in find_cuts(below, tones - 1) if cut < top), top)


def tone_numbers(light: Floats, cuts: tuple[float, ...]) -> npt.NDArray[np.int32]:
    """Number each pixel's tone, 0 the darkest; a cut itself belongs to the lighter one."""
    return np.searchsorted(np.array(cuts, np.float32), light, side="right").astype(np.int32)


def _parted(counts: Doubles, edges: Doubles, classes: int) -> list[float]:
    """Give the cuts with the least sum of squares inside classes, each in the middle of the empty bins it lies in."""
    held = np.flatnonzero(counts)
    classes = min(classes, len(held))
    if classes < 2:
        return []
    cost = _costs(counts[held], (edges[held] + edges[held + 1]) / 2)
    least, came_from = cost[0], []
    for _ in range(classes - 1):
        # Column j: the best way to part the first j bins; the last class starts at the row.
        ways = least[:, None] + cost
        came_from.append(ways.argmin(axis=0))
        least = ways.min(axis=0)
    starts, end = [], len(held)
    for choice in reversed(came_from):
        end = int(choice[end])
        starts.append(end)
    return [float(edges[held[start - 1] + 1] + edges[held[start]]) / 2 for start in reversed(starts)]


def _costs(counts: Doubles, middles: Doubles) -> Doubles:
    """Give the sum of squares of bins i to j - 1 about their mean; infinite where there is none of them."""
    size, total, squares = (np.concatenate([[0.0], np.cumsum(counts * middles**power)]) for power in range(3))
    weight, sums = size[None, :] - size[:, None], total[None, :] - total[:, None]
    with np.errstate(divide="ignore", invalid="ignore"):
        cost = squares[None, :] - squares[:, None] - sums**2 / weight
    return np.asarray(np.where(weight > 0, np.maximum(cost, 0), np.inf))
