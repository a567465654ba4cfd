"""A fern frond with few, broad side branches, for places where it must be small."""

from tests.demo.design import Design
from tests.demo.motifs.fern import frond


def draw(seed: int = 6) -> Design:
    """About 58 x 110 mm."""
    return frond(seed, 13)
