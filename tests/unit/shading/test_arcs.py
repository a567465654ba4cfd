import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from shapely import Polygon, unary_union

from archgen.shading.arcs import loops_of, trace
from archgen.shading.bounds import Bound
from archgen.shading.cleaning import cleaned, find_parts
from tests.unit.shading.test_cleaning import LEVELS, grain


def polygon(loops):
    """Make one even-odd shape of closed curves."""
    shape = Polygon()
    for loop in loops:
        shape = shape.symmetric_difference(Polygon(loop).buffer(0))
    return shape


@settings(max_examples=150, deadline=None)
@given(arrays(np.int32, (7, 8), elements=st.integers(0, 3)))
def test_unsmoothed_edges_enclose_each_area_exactly(tones):
    parts = find_parts(tones)
    loops = loops_of(trace(parts.numbers, 1e-9, 1e-9))
    assert set(loops) == set(range(1, len(parts.sizes)))
    for number, size in enumerate(parts.sizes):
        if number:
            assert all((loop[0] == loop[-1]).all() for loop in loops[number])
            # Its own curves have an area to their left, which is a negative sum where y points down.
            assert -sum(shoelace(loop) for loop in loops[number]) == pytest.approx(size)


def shoelace(loop):
    x, y = loop.T
    return float((x[:-1] * y[1:] - x[1:] * y[:-1]).sum() / 2)


@pytest.mark.parametrize("seed", range(4))
def test_smooth_edges_are_shared_closed_and_keep_the_areas(seed):
    tones, bound = grain(seed, size=9), Bound(1.08)
    parts = find_parts(cleaned(tones, LEVELS[tones].astype(np.float32), LEVELS, bound.in_px(10)))
    arcs = trace(parts.numbers, 2.7, 0.12)
    shapes = {number: polygon(loops) for number, loops in loops_of(arcs).items()}
    whole = unary_union(list(shapes.values()))
    assert sum(shape.area for shape in shapes.values()) == pytest.approx(whole.area, rel=1e-6)
    assert whole.area == pytest.approx(parts.sizes[1:].sum(), rel=0.01)
    for number, shape in shapes.items():
        assert shape.area >= bound.least_mm2 * 100
        assert not shape.buffer(-bound.bundle_mm * 5).is_empty
        assert shape.area == pytest.approx(parts.sizes[number], rel=0.06)


def test_a_curve_is_smooth_and_ends_stay():
    numbers = np.zeros((60, 60), np.int32)
    numbers[10:50, 10:50] = 1
    numbers[:, 30:] *= 2
    arcs = trace(numbers, 2.7, 0.01)
    assert {frozenset((arc.left, arc.right)) for arc in arcs} == {frozenset(p) for p in ((0, 1), (0, 2), (1, 2))}
    assert len(arcs) == 3
    ends = {tuple(point) for arc in arcs for point in (arc.points[0], arc.points[-1])}
    assert ends == {(30.0, 10.0), (30.0, 50.0)}
    corner = min(np.hypot(*(arc.points - (10, 10)).T).min() for arc in arcs)
    assert 0.5 < corner < 3


def test_a_ring_alone_is_one_closed_curve():
    y, x = np.mgrid[:80, :80] + 0.5
    numbers = (np.hypot(x - 40, y - 40) < 25).astype(np.int32)
    (arc,) = trace(numbers, 3.0, 0.05)
    away = np.hypot(*(arc.points - 40).T)
    assert (arc.points[0] == arc.points[-1]).all()
    assert np.abs(away - 25).max() < 0.6
    assert 12 <= len(arc.points) < 80
