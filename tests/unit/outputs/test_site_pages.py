import pytest

from archgen.outputs.site_pages import file_name, file_names, in_pages, picture
from archgen.picture_facts.facts import Derivative

COPIES = (Derivative(1600, 2000, "c.jpg"), Derivative(800, 1000, "b.jpg"), Derivative(400, 500, "a.jpg"))


def test_a_picture_takes_the_smallest_copy_that_is_wide_enough():
    assert picture(COPIES, "", wanted_px=700).src == "img/b.jpg"


def test_a_picture_takes_the_largest_copy_when_all_are_small():
    assert picture(COPIES, "", wanted_px=5000).src == "img/c.jpg"


def test_a_picture_lists_its_copies_smallest_first():
    assert picture(COPIES, "").srcset == (("img/a.jpg", 400), ("img/b.jpg", 800), ("img/c.jpg", 1600))


def test_no_copies_no_picture():
    assert picture((), "") is None


def test_a_plain_text_is_its_own_file_name():
    assert file_name("GW2-2231") == "GW2-2231"


def test_other_texts_get_a_plain_name_that_tells_them_apart():
    names = {file_name(text) for text in ("../x", "a b", "a/b", "墨", "", "x" * 300, 'a"b', ".")}
    assert len(names) == 8
    assert all(name.replace("-", "").isalnum() and name.isascii() and len(name) <= 80 for name in names)


def test_names_differ_in_more_than_upper_and_lower_case():
    names = file_names(["Lot-1", "LOT-1", "lot-1"])
    assert len({name.casefold() for name in names.values()}) == 3


@pytest.mark.parametrize(
    ("number", "of", "shown"),
    [
        (1, 1, "1"),
        (1, 3, "1 2 3"),
        (3, 5, "1 2 3 4 5"),
        (5, 9, "1 … 4 5 6 … 9"),
        (1, 9, "1 2 … 9"),
        (1, 4, "1 2 3 4"),
        (4, 9, "1 2 3 4 5 … 9"),
        (9, 9, "1 … 8 9"),
    ],
)
def test_a_long_list_names_its_ends_and_the_pages_near(number, of, shown):
    turns = [turns for _, turns in in_pages(range(of), 1, "p/1", "p/{}")][number - 1]
    assert " ".join(str(n) if path else "…" for n, path in turns.shown) == shown
    assert all(path is None or path == f"p/{n}" for n, path in turns.shown)
    assert turns.before == (f"p/{number - 1}" if number > 1 else None)
    assert turns.after == (f"p/{number + 1}" if number < of else None)


def test_a_list_of_nothing_has_one_page():
    assert [(list(items), turns.paths) for items, turns in in_pages([], 5, "a", "a-{}")] == [([], ("a",))]
