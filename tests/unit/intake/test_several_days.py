"""Two days of photos: one drawing that took two sittings, or two works that look alike in places."""

import pytest

from archgen.intake.comparing.drawings import Drawings
from archgen.intake.propose import propose_intake
from archgen.intake.sources import gather
from tests.intake_pictures import save, skin, stencil


class ByTable(Drawings):
    """Drawings whose photos agree as a table says."""

    def __init__(self, same):
        self.same = same

    def _is_same(self, one, other):
        return (one, other) in self.same


@pytest.mark.parametrize(
    ("same", "is_one"),
    [
        ({("c", "z"), ("b", "y"), ("c", "y")}, False),
        ({("c", "z"), ("b", "y"), ("c", "y"), ("a", "x"), ("b", "z")}, True),
        ({("a", "x"), ("a", "y"), ("b", "x"), ("b", "y"), ("c", "x"), ("c", "y")}, False),
    ],
)
def test_photos_of_two_days_are_one_drawing_when_most_pairs_agree(same, is_one):
    assert ByTable(same).is_one(["a", "b", "c"], ["x", "y", "z"]) is is_one


def test_one_photo_a_day_is_one_pair():
    assert ByTable({("a", "x")}).is_one(["a"], ["x"])
    assert not ByTable({("a", "x")}).is_one([], ["x"])


def groups_of(folder, case):
    with gather([folder], case.root) as gathered:
        return propose_intake(gathered, case.tools).groups


@pytest.mark.parametrize("with_stencils", [False, True])
def test_two_days_with_a_stencil_each_stay_apart(intake_case, tmp_path, with_stencils):
    save(skin(23, seed=1), tmp_path / "IMG_5001.jpg", "2026-06-01 12:00")
    save(skin(23, turn=6, seed=2), tmp_path / "IMG_5051.jpg", "2026-06-03 12:00")
    if with_stencils:
        save(stencil(23), tmp_path / "IMG_5002.png")
        save(stencil(24), tmp_path / "IMG_5052.png")
    groups = groups_of(tmp_path, intake_case)
    assert len(groups) == 1 + with_stencils
