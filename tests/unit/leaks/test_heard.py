"""What was searched of a file is kept, and answers for it whether a text may stand there."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from archgen.leaks.heard import Heard
from archgen.leaks.search import LeakSearch, SearchedBytes
from archgen.leaks.values.exact import PrivateValue
from archgen.leaks.values.spellings import Way

VALUES = (
    PrivateValue("note", "Koi"),
    PrivateValue("note", "left arm healed well"),
    PrivateValue("client's name", "Éva Tóth"),
    PrivateValue("telephone", "+36 30 555 0123", way=Way.NUMBER),
    PrivateValue("file name of a photo", "owl-field", way=Way.NAME),
    PrivateValue("file name of a photo", "сова.jpg", way=Way.FULL_NAME),
    PrivateValue("price", "1200", way=Way.PRICE),
    PrivateValue("price", "80.50", way=Way.PRICE),
)
WRITTEN = st.lists(
    st.sampled_from([
        *(value.value for value in VALUES), *(value.value.upper() for value in VALUES), "left", "arm", "owl", "field",
        "ko", "i", "36305550123", "(0)30 / 555-0123", "1.200,00 EUR", "price: 1,200", "€ 80,50", "EVA TOTH", " ", "-",
        "_", "/", ".", "<b>", "\n", "ß", "é",
    ]), max_size=9,
).map(" ".join)  # fmt: skip


def heard_and_found(search, text, way):
    heard: SearchedBytes = {}
    if way in ("text", "path"):
        found = search.in_text(text, heard, is_path=way == "path")
    else:
        found = search.in_bytes(text.encode(way, errors="ignore"), heard)
    return b"\0".join(heard), found


@given(WRITTEN, st.sampled_from(["text", "path", "utf-8", "latin-1", "utf-16-le"]))
def test_whatever_is_found_may_stand_in_what_was_searched(text, way):
    for value in VALUES:
        search = LeakSearch([value])
        heard, found = heard_and_found(search, text, way)
        assert search.may_stand_in(heard) or not found


@pytest.mark.parametrize(("value", "text"), [(0, "a koi carp"), (4, "owl-field"), (6, "EUR 1 200"), (7, "80.50 eur")])
def test_a_text_that_stands_there_is_met_and_no_other(value, text):
    heard, found = heard_and_found(LeakSearch([VALUES[value]]), text, "text")
    assert found
    others = [number for number, one in enumerate(VALUES) if LeakSearch([one]).may_stand_in(heard)]
    assert others == [value]


def test_nothing_stands_across_two_contents(tmp_path):
    heard = Heard(tmp_path / "heard.bin", "")
    heard.add("page", [b"leftarm", b"healedwell"])
    assert not LeakSearch([VALUES[1]]).may_stand_in(heard.of("page") or b"")


def test_it_is_there_at_the_next_build_for_programs_that_read_alike(tmp_path):
    file = tmp_path / "cache" / "heard.bin"
    heard = Heard(file, "one way")
    heard.add("page", [b"leftarm"])
    heard.save()
    assert Heard(file, "one way").of("page") == b"leftarm"
    assert Heard(file, "another way").of("page") is None


@pytest.mark.parametrize("damage", [lambda raw: raw[:-1] + b"x", lambda _: b"", lambda raw: raw[:40]])
def test_a_damaged_file_is_empty(tmp_path, damage):
    file = tmp_path / "heard.bin"
    heard = Heard(file, "")
    heard.add("page", [b"leftarm"])
    heard.save()
    file.write_bytes(damage(file.read_bytes()))
    assert Heard(file, "").of("page") is None


def test_what_nobody_asks_for_is_forgotten_and_nothing_new_is_not_written(tmp_path):
    file = tmp_path / "heard.bin"
    heard = Heard(file, "")
    heard.add("page", [b"leftarm"])
    heard.add("gone", [b"rightarm"])
    heard.save()
    again = Heard(file, "")
    again.of("page")
    again.save()
    assert Heard(file, "").of("gone") is None
    same = Heard(file, "")
    same.of("page")
    file.unlink()
    same.save()
    assert not file.exists()
