import re

from archgen.render.body_figure import for_paper

FIGURE = (
    '<svg><g id="calf" class="region"><path data-side="left" data-view="back" d="M1"/>'
    '<path data-side="right" data-view="back" d="M2"/></g>'
    '<g id="nape" class="region"><path data-side="centre" data-view="back" d="M3"/></g></svg>'
)


def hatched(region, side):
    return re.findall(r'<path d="(M\d)"/>', for_paper(FIGURE, region, side))


def test_the_clients_own_side_is_hatched():
    assert hatched("calf", "left") == ["M1"]


def test_without_a_side_both_are_hatched():
    assert hatched("calf", None) == ["M1", "M2"]


def test_a_region_of_the_middle_is_hatched_whatever_side_is_given():
    assert hatched("nape", "right") == ["M3"]


def test_an_unknown_region_hatches_nothing():
    assert hatched("wing", None) == []
    assert hatched(None, None) == []
