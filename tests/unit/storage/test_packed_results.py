"""Results in one file: each comes back as it was written, or not at all."""

import errno
import os
import shutil
import threading

import pytest

from archgen.storage import packed_results
from archgen.storage.packed_results import PackedResults

WRITTEN = {"a" * 64: b"one", "b" * 64: b"", "c": bytes(range(256)) * 20, "dé": b"\xa9res" * 9}


@pytest.fixture
def path(tmp_path):
    results = PackedResults(tmp_path / "results")
    for key, value in WRITTEN.items():
        results.put(key, value)
    return tmp_path / "results"


def read(path):
    results = PackedResults(path)
    return {key: results.get(key) for key in WRITTEN}


@pytest.mark.parametrize("pread", [packed_results._PREAD, None])
def test_all_come_back_from_one_file(path, monkeypatch, pread):
    monkeypatch.setattr(packed_results, "_PREAD", pread)
    assert read(path) == WRITTEN
    assert PackedResults(path).get("e") is None
    assert [one.name for one in path.parent.iterdir()] == ["results"]


def test_the_one_that_was_written_last_counts(path):
    results = PackedResults(path)
    results.put("c", b"new")
    assert results.get("c") == b"new"
    assert read(path) == {**WRITTEN, "c": b"new"}


def test_a_file_cut_off_anywhere_loses_the_last_and_goes_on_behind_the_whole_ones(path):
    whole, keys = path.read_bytes(), list(WRITTEN)
    ends = [whole.index(b"a" * 64) + 64 + 16 + 3]
    for key in keys[1:]:
        ends.append(ends[-1] + packed_results._HEAD.size + len(key.encode()) + 16 + len(WRITTEN[key]))
    assert ends[-1] == len(whole)
    for length in (*range(ends[1] + 40), *range(ends[2] - 9, len(whole))):
        path.write_bytes(whole[:length])
        left = {key: WRITTEN[key] if end <= length else None for key, end in zip(keys, ends, strict=True)}
        assert read(path) == left
        results = PackedResults(path)
        results.put("e", b"behind")
        assert read(path) == left
        assert PackedResults(path).get("e") == results.get("e") == b"behind"


def test_whatever_bit_is_changed_costs_one_result_and_gives_no_wrong_one(path):
    whole = path.read_bytes()
    for place in (*range(500), *range(len(whole) - 100, len(whole))):
        path.write_bytes(whole[:place] + bytes([whole[place] ^ 1 << place % 8]) + whole[place + 1 :])
        found = read(path)
        assert sum(value is None for value in found.values()) == 1
        assert all(value in (None, WRITTEN[key]) for key, value in found.items())


def test_a_result_under_another_key_is_none(path):
    raw = path.read_bytes()
    name = b"c"
    head = packed_results._head(b"x", len(WRITTEN["c"]))
    at = raw.index(packed_results._head(name, len(WRITTEN["c"])) + name)
    path.write_bytes(raw[:at] + head + b"x" + raw[at + len(head) + 1 :])
    assert PackedResults(path).get("x") is None


def test_only_what_is_kept_is_left_and_nothing_of_the_rest_on_the_disk(path):
    results = PackedResults(path)
    results.put("secret", b"Nora Alvestad")
    results.put("a" * 64, b"again")
    results.keep_only({"a" * 64, "c", "nobody's"})
    assert [results.get(key) for key in ("a" * 64, "c", "dé", "secret")] == [b"again", WRITTEN["c"], None, None]
    assert [read(path)[key] for key in ("a" * 64, "c", "dé")] == [b"again", WRITTEN["c"], None]
    assert b"Alvestad" not in path.read_bytes()
    assert b"one" not in path.read_bytes()
    results.put("f", b"after")
    assert PackedResults(path).get("f") == results.get("f") == b"after"


def test_neighbours_are_copied_in_parts(path, monkeypatch):
    monkeypatch.setattr(packed_results, "_COPIED_BYTES", 100)
    results = PackedResults(path)
    for number in range(200):
        results.put(str(number), b"%d" % number * 7)
    lengths, read = [], results._read
    monkeypatch.setattr(results, "_read", lambda start, length: lengths.append(length) or read(start, length))
    results.keep_only({str(number) for number in range(200) if number % 5})
    assert max(lengths) < 200
    monkeypatch.undo()
    results.release()
    for each in (results, PackedResults(path)):
        assert [each.get(str(number)) for number in range(200)] == [
            b"%d" % number * 7 if number % 5 else None for number in range(200)
        ]


def test_a_file_of_which_all_is_kept_is_not_written_again(path):
    before = path.stat()
    PackedResults(path).keep_only(WRITTEN.keys())
    assert path.stat() == before
    path.write_bytes(path.read_bytes() + b"rest of a write")
    PackedResults(path).keep_only(WRITTEN.keys())
    assert path.stat().st_size == before.st_size
    assert read(path) == WRITTEN


def test_nothing_kept_leaves_nothing(path):
    results = PackedResults(path)
    results.keep_only(())
    assert path.read_bytes() == b""
    results.put("a", b"1")
    assert PackedResults(path).get("a") == b"1"


def test_where_there_is_nothing_nothing_is_made(tmp_path):
    results = PackedResults(tmp_path / "results")
    assert results.get("a") is None
    results.keep_only({"a"})
    results.release()
    assert not list(tmp_path.iterdir())


def to_folder(path):
    path.unlink()
    (path / "inside").mkdir(parents=True)


def to_link(path):
    path.rename(path.with_name("elsewhere"))
    path.symlink_to("elsewhere")


def to_pipe(path):
    path.unlink()
    os.mkfifo(path)


@pytest.mark.parametrize("change", [to_folder, to_link, to_pipe])
@pytest.mark.parametrize("first", ["put", "keep_only"])
def test_what_is_no_file_counts_as_none_and_goes_before_something_is_written(path, change, first):
    change(path)
    elsewhere = path.with_name("elsewhere")
    there = elsewhere.read_bytes() if elsewhere.exists() else b""
    assert set(read(path).values()) == {None}
    results = PackedResults(path)
    if first == "keep_only":
        results.keep_only({"a"})
    results.put("a", b"1")
    assert PackedResults(path).get("a") == b"1"
    assert path.is_file()
    assert not path.is_symlink()
    assert not elsewhere.exists() or elsewhere.read_bytes() == there


def test_what_another_process_wrote_is_found_after_another_look(path):
    mine, other = PackedResults(path), PackedResults(path)
    assert mine.get("c") == WRITTEN["c"]
    other.put("e", b"other")
    other.keep_only({"e"})
    assert mine.get("c") == WRITTEN["c"]  # the file it has open is still whole
    mine.release()
    assert mine.get("a" * 64) is None  # which is another one by now
    mine.put("g", b"mine")
    mine.look_again()
    assert (mine.get("e"), mine.get("g"), mine.get("c")) == (b"other", b"mine", None)


def test_a_full_disk_leaves_what_was_there_whole(path, monkeypatch):
    results, write = PackedResults(path), os.write
    assert results.get("c")
    with monkeypatch.context() as patched:
        patched.setattr(packed_results.os, "write", lambda handle, raw: write(handle, raw[: len(raw) // 2]))
        with pytest.raises(OSError, match="No space") as caught:
            results.put("e", b"too much")
        assert caught.value.errno == errno.ENOSPC
    assert read(path) == WRITTEN
    results.put("f", b"room again")
    assert PackedResults(path).get("f") == results.get("f") == b"room again"
    assert PackedResults(path).get("e") is None


def test_a_disk_that_is_taken_away_costs_results_only(path):
    results = PackedResults(path)
    assert results.get("c")
    results.release()
    shutil.rmtree(path.parent)
    assert results.get("c") is None


def test_a_cache_that_is_gone_holds_no_file_open(path):
    results = PackedResults(path)
    assert results.get("c")
    handle = results._reading
    del results
    with pytest.raises(OSError, match="Bad file descriptor"):
        os.fstat(handle)


def test_several_threads_read_and_write_at_once(tmp_path):
    results, wrong = PackedResults(tmp_path / "results"), []

    def work(number):
        for turn in range(150):
            key = f"{number} {turn}"
            results.put(key, key.encode() * 30)
            if results.get(key) != key.encode() * 30:
                wrong.append(key)

    threads = [threading.Thread(target=work, args=(number,)) for number in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert wrong == []
    again = PackedResults(tmp_path / "results")
    assert all(again.get(f"{number} {turn}") for number in range(4) for turn in range(150))


def test_who_saw_a_torn_end_cuts_off_nothing_that_another_wrote_since(path):
    with path.open("ab") as stream:
        stream.write(b"half a result")
    desk, build = PackedResults(path), PackedResults(path)
    assert desk.get("none") is None  # it has seen the end
    for number in range(20):
        build.put(f"k{number}", b"value")
    desk.put("d", b"mine")
    again = PackedResults(path)
    assert [again.get(f"k{number}") for number in range(20)] == [b"value"] * 20
    assert (again.get("d"), read(path)) == (b"mine", WRITTEN)
