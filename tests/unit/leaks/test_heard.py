"""What was heard is never denied, and what was not almost always is."""

from unittest import mock

from hypothesis import given
from hypothesis import strategies as st

from archgen.leaks import anchors
from archgen.leaks import heard as module
from archgen.leaks.heard import Heard


@given(st.binary(min_size=1, max_size=200), st.integers(0, 199), st.integers(1, 200))
def test_a_part_of_what_was_heard_may_stand_there(content, begin, length):
    with mock.patch.object(module, "_TABLE_BITS", 12):
        check_that_a_part_may_stand_there(content, content[begin : begin + length])


def check_that_a_part_may_stand_there(content, part):
    heard = Heard()
    heard.add(content)
    assert heard.may_hold([b"nowhere at all", part])


def test_a_part_across_two_strides_may_stand_there(monkeypatch):
    monkeypatch.setattr(anchors, "_STRIDE", 64)
    heard = Heard()
    content = bytes(range(256))
    heard.add(content)
    assert all(heard.may_hold([content[at : at + 40]]) for at in range(200))


def test_what_was_not_heard_stands_nowhere():
    heard = Heard()
    heard.add(b"the left arm healed well")
    assert not heard.may_hold([b"the left leg healed well", b"right arm"])
    assert heard.may_hold([b"leg"])  # too short to be asked


def test_what_was_heard_is_there_at_the_next_build_for_programs_that_read_alike(tmp_path):
    heard, file = Heard(), tmp_path / "cache" / "heard.bin"
    heard.add(b"the left arm healed well")
    heard.files.add("page")
    heard.keep(file, "one way")
    again, otherwise = Heard(), Heard()
    again.recall(file, "one way")
    otherwise.recall(file, "another way")
    assert again.files == {"page"}
    assert again.may_hold([b"arm healed well"])
    assert not again.may_hold([b"left leg healed"])
    assert otherwise.files == set()


def test_a_damaged_table_is_passed_over(tmp_path):
    heard, file = Heard(), tmp_path / "heard.bin"
    heard.files.add("page")
    heard.keep(file, "")
    file.write_bytes(file.read_bytes()[:-1] + b"x")
    again = Heard()
    again.recall(file, "")
    assert again.files == set()


def test_more_that_was_heard_is_written_and_nothing_new_is_not(tmp_path):
    heard, file = Heard(), tmp_path / "heard.bin"
    heard.files.add("page")
    heard.keep(file, "")
    file.unlink()
    heard.keep(file, "")
    assert not file.exists()
    heard.files.add("another")
    heard.keep(file, "")
    assert file.exists()
