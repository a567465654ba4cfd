"""Names of files are found exactly where each of them is looked for by itself."""

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from archgen.leaks.search import LeakSearch
from archgen.leaks.values.exact import PrivateValue
from archgen.leaks.values.names import stands_as_name
from archgen.leaks.values.spellings import Way
from archgen.plain_text import without_accents

STEMS = ("owl-field", "Owl field", "fiéld_owl 2", "owl", "field.owl~2")
NAMES = tuple(PrivateValue("file name of a photo", stem, way=Way.NAME) for stem in STEMS)
SEARCH = LeakSearch(NAMES)
parts = st.sampled_from([
    "owl", "Field", "fiéld", "2", "-", "_", " ", ".", "~", "/", "\n", "(1)", "-800x600", " copy", "copy of ", ".jpg",
    ".PNG", ".guide", "<b>", '"', "barn",
])  # fmt: skip


@example("on owl-field today", False)
@given(st.lists(parts, max_size=12).map("".join), st.booleans())
def test_names_are_found_where_each_is_by_itself(text, is_path):
    plain = without_accents(text)
    alone = [name for name in NAMES if stands_as_name(plain, name.value, is_path=is_path)]
    assert SEARCH.in_text(text, is_path=is_path) == alone


def test_a_price_is_looked_for_in_texts_and_not_in_the_names_of_files():
    price = PrivateValue("price", "120", way=Way.PRICE)
    search = LeakSearch([price])
    assert search.in_text("owl 120 EUR.jpg") == [price]
    assert search.in_text("owl 120 EUR.jpg", is_path=True) == []


def test_a_long_name_between_bytes_is_what_it_reads_as():
    name = PrivateValue("client's name", "Светлана Смирнова")
    for encoding in ("utf-8", "utf-16-le"):
        assert LeakSearch([name]).in_bytes("Х".encode(encoding) + name.value.encode(encoding)) == [name]
    # Other letters whose bytes differ like large and small ones.
    assert LeakSearch([name]).in_bytes(name.value.lower().replace("с", "ѡ").encode("utf-16-le")) == []


@pytest.mark.parametrize("way", [Way.WORDS, Way.NAME, Way.FULL_NAME])
@pytest.mark.parametrize(("name", "encoding"), [("éclair-owl.jpg", "latin-1"), ("сова-осенняя.jpg", "utf-16-le")])
def test_a_name_with_other_letters_is_found_in_bytes(way, name, encoding):
    value = PrivateValue("file name of a photo", name.removesuffix(".jpg") if way is Way.NAME else name, way=way)
    assert LeakSearch([value]).in_bytes(f" {name} ".encode(encoding)) == [value]


def test_the_search_for_new_values_alone_finds_what_the_whole_search_finds():
    """A word of few letters stands in many bytes by chance; how many are looked for decides, prices too."""
    others = [PrivateValue("note", f"quixotic zebra note number {number} of many") for number in range(7)]
    new, price = PrivateValue("name", "zqmo"), PrivateValue("price", "100.00", way=Way.PRICE)
    whole, alone = LeakSearch([*others, new, price]), LeakSearch([new], len(others) + 2)
    for size in range(1000, 12_000, 37):
        content = b"\xff\xfezqmo\x81".ljust(size, b"\x9d")
        assert bool(whole.in_bytes(content)) == bool(alone.in_bytes(content))
