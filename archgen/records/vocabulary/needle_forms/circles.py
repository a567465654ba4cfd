"""How wide n equal circles are when packed into the smallest circle, or set in a ring; pure geometry.

Ratios of the enclosing radius to one circle's radius. 1 to 20: published table "Circle packing in a circle" with the
proofs cited there (Pirl, Graham, Melissen, Fodor, Ekanayake and LaFountain); 15 to 18 and 20 are the best known.
21 to 25: found numerically (SLSQP from many starts), so upper bounds.
"""

import math

_PACKED = (
    1.000000, 2.000000, 2.154701, 2.414214, 2.701302, 3.000000, 3.000000, 3.304765, 3.613126, 3.813026,
    3.923804, 4.029602, 4.236068, 4.328429, 4.521357, 4.615426, 4.792034, 4.863703, 4.863703, 5.122321,
    5.252317, 5.439719, 5.545204, 5.651661, 5.752824,
)  # fmt: skip


def packing_ratio(count: int) -> float | None:
    """Give the ratio for circles packed as tightly as known; None beyond the table."""
    return _PACKED[count - 1] if 1 <= count <= len(_PACKED) else None


def ring_ratio(count: int) -> float:
    """Give the ratio for circles that touch in a ring with none in the middle."""
    return float(count) if count < 3 else 1 + 1 / math.sin(math.pi / count)
