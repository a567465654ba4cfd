"""A search that remembers the last one finds what a search of everything finds, and opens only what it must."""

import pytest

from archgen.leaks import find
from archgen.leaks.find import find_leaks
from archgen.leaks.heard import Heard
from archgen.leaks.memory import LeakMemory
from archgen.leaks.values.exact import PrivateValue
from archgen.leaks.values.spellings import Way

ANNA, BATCH, LINA = (
    PrivateValue("name", "Anna Sample"),
    PrivateValue("batch", "GW-2231"),
    PrivateValue("name", "Lina Other"),
)
FILES = {"a.html": "<p>Anna Sample</p>", "b.txt": "a fern", "sub/c.txt": "batch GW-2231 of Lina Other"}


@pytest.fixture
def place(tmp_path):
    for name, text in FILES.items():
        (tmp_path / "site" / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / "site" / name).write_text(text, "utf-8")
    return tmp_path / "site"


@pytest.fixture
def opened(monkeypatch):
    """Note which files are opened, and for how many values."""
    seen = []
    disclose = find.disclose
    monkeypatch.setattr(find, "disclose", lambda name, content: seen.append(name) or disclose(name, content))
    return seen


def search(place, values):
    memory = LeakMemory(place.with_name("kept.json"), values)
    heard = Heard(place.with_name("heard.bin") if memory.fresh else None)
    found = list(find._PlaceSearch(values, None, memory, heard).leaks_in(place))
    memory.save()
    heard.save()
    return found


@pytest.mark.parametrize("before", [(), (ANNA,), (ANNA, BATCH, LINA)])
@pytest.mark.parametrize("after", [(), (ANNA,), (BATCH,), (LINA, ANNA), (ANNA, BATCH, LINA)])
@pytest.mark.parametrize("text", [None, "a fern", "Lina Other", "GW-2231 and Anna Sample"])
def test_it_finds_what_a_search_of_everything_finds(place, before, after, text):
    search(place, before)
    if text is not None:
        (place / "b.txt").write_text(text, "utf-8")
    assert search(place, after) == find_leaks(place, after)
    assert search(place, after) == find_leaks(place, after)


def test_nothing_is_opened_when_nothing_is_new(place, opened):
    search(place, (ANNA, BATCH))
    assert sorted(opened) == sorted(FILES)
    opened.clear()
    search(place, (ANNA, BATCH))
    assert not opened


MORE = tuple(PrivateValue("note", f"note of the day number {number}") for number in range(9))


@pytest.mark.parametrize("written", ["she was late again", "SHE was&nbsp;late again", "c2hlIHdhcyBsYXRlIGFnYWlu"])
def test_files_that_were_searched_for_new_values_once_are_opened_only_for_values_that_may_be_there(
    place, opened, written
):
    (place / "d.html").write_text(f"<p>{written}</p>", "utf-8")
    search(place, (ANNA, *MORE))
    search(place, (ANNA, BATCH, *MORE))
    opened.clear()
    found = search(place, (BATCH, PrivateValue("note", "the left arm swelled"), *MORE))
    assert set(opened) <= {"a.html", "sub/c.txt"}  # what was found there may not be private any more
    assert found == find_leaks(place, (BATCH,))
    late = PrivateValue("note", "she was late again")
    assert search(place, (BATCH, late, *MORE)) == find_leaks(place, (BATCH, late))
    assert late.value in [leak.value for leak in search(place, (BATCH, late, *MORE))]


def test_a_short_value_and_a_price_are_looked_for_too(place):
    (place / "d.html").write_text("<p>Zq9 paid 1,234 €</p>", "utf-8")
    search(place, (ANNA, *MORE))
    search(place, (ANNA, BATCH, *MORE))
    short, price = PrivateValue("code", "Zq9"), PrivateValue("price", "1234", sure=False, way=Way.PRICE)
    for value in (short, price):
        assert value.value in [leak.value for leak in search(place, (ANNA, value, *MORE))]


def test_only_a_changed_file_is_opened(place, opened):
    search(place, (ANNA, BATCH))
    opened.clear()
    (place / "b.txt").write_text("a moth", "utf-8")
    (place / "a.html").rename(place / "d.html")
    search(place, (ANNA, BATCH))
    assert sorted(opened) == ["b.txt", "d.html"]


def test_how_sure_a_find_in_bytes_must_be_follows_the_number_of_values(place, opened):
    search(place, (ANNA, BATCH))
    opened.clear()
    search(place, (ANNA, BATCH, LINA))  # more than a power of two
    assert sorted(opened) == sorted(FILES)
