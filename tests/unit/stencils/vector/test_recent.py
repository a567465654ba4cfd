"""Drawings are kept up to so many pixels, the last asked for longest."""

from types import SimpleNamespace

from PIL import Image

from archgen.stencils.vector.recent import RecentDrawings


def test_the_drawings_asked_for_last_are_kept():
    made = []

    def draw(name):
        def make():
            made.append(name)
            return SimpleNamespace(gray=Image.new("L", (10, 10)))

        return make

    recent = RecentDrawings(most_pixels=250)
    for name in "abacab":
        recent.get(name, draw(name))
    assert made == ["a", "b", "c", "b"]


def test_a_drawing_too_large_to_keep_is_given_all_the_same():
    large = SimpleNamespace(gray=Image.new("L", (10, 10)))
    assert RecentDrawings(most_pixels=50).get("large", lambda: large) is large
