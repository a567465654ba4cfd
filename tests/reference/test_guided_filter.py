"""The guided filter against its closed form: K. He, J. Sun, X. Tang, "Guided Image Filtering", ECCV 2010, eqs. 5, 6, 8.

In each window a line is fitted by least squares with a penalty of eps on its slope; a pixel gets the mean of the lines
of all windows it lies in.
"""

import numpy as np
import pytest

from archgen.images.filters import guided


@pytest.mark.parametrize(("radius", "edge"), [(1, 6.0), (2, 3.0), (4, 20.0)])
def test_it_is_the_mean_of_the_lines_fitted_in_all_windows_of_a_pixel(radius, edge):
    rng = np.random.default_rng(radius)
    values = (rng.random((24, 21)) * 20 + (np.arange(21) > 10) * 60).astype(np.float32)
    high, wide = values.shape
    lines = np.empty((high, wide, 2))
    for row in range(radius, high - radius):
        for column in range(radius, wide - radius):
            window = values[row - radius : row + radius + 1, column - radius : column + radius + 1].astype(float)
            design = np.column_stack([window.ravel(), np.ones(window.size)])
            penalty = np.diag([edge**2 * window.size, 0.0])
            lines[row, column] = np.linalg.solve(design.T @ design + penalty, design.T @ window.ravel())
    found = guided(values, radius, edge)
    for row in range(2 * radius, high - 2 * radius):
        for column in range(2 * radius, wide - 2 * radius):
            around = lines[row - radius : row + radius + 1, column - radius : column + radius + 1].reshape(-1, 2)
            slope, offset = around.mean(axis=0)
            assert found[row, column] == pytest.approx(slope * values[row, column] + offset, abs=2e-3)
