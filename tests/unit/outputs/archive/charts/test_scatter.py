"""Points on logarithmic scales stand where their figures say."""

import math

import pytest

from archgen.outputs.archive.charts.scatter import scatter


def test_equal_ratios_are_equal_ways():
    drawing = scatter([(10, 1, 0), (20, 2, 1), (40, 4, 2)])
    first, second, third = drawing.dots
    assert second.x - first.x == pytest.approx(third.x - second.x, abs=0.2)
    assert first.y - second.y == pytest.approx(second.y - third.y, abs=0.2)
    assert [dot.shape for dot in drawing.dots] == [0, 1, 2]


def test_a_point_on_a_line_of_the_scale_stands_on_it():
    drawing = scatter([(10, 2, 0), (500, 0.5, 0)])
    lines = {tick.words: tick.at for tick in drawing.across}
    assert list(lines) == ["10", "20", "50", "100", "200", "500"]
    assert drawing.dots[0].x == lines["10"] == drawing.left
    assert drawing.dots[1].x == lines["500"] == drawing.right
    assert [tick.words for tick in drawing.up] == ["0.5", "1", "2"]
    assert drawing.dots[1].y == drawing.up[0].at == drawing.bottom
    assert drawing.dots[0].y == drawing.up[-1].at == drawing.top


def test_every_point_is_inside_and_where_logarithms_say():
    points = [(3.7, 0.9, 0), (81.2, 5.5, 0), (12.0, 2.25, 0)]
    drawing = scatter(points)
    ends = [float(tick.words) for tick in (drawing.across[0], drawing.across[-1])]
    for (x, _, _), dot in zip(points, drawing.dots, strict=True):
        share = math.log(x / ends[0]) / math.log(ends[1] / ends[0])
        assert dot.x == pytest.approx(drawing.left + share * (drawing.right - drawing.left), abs=0.06)
        assert drawing.top <= dot.y <= drawing.bottom


@pytest.mark.parametrize("point", [(7.0, 3.0, 0), (10.0, 1.0, 0)])
def test_one_point_alone_is_drawn(point):
    (dot,) = scatter([point]).dots
    drawing = scatter([point])
    assert drawing.left <= dot.x <= drawing.right
    assert drawing.top <= dot.y <= drawing.bottom
