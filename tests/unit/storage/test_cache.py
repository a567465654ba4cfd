"""The cache saves time and never changes a result."""

import hashlib
import os
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from types import SimpleNamespace

import msgspec
import pytest

from archgen.storage import cache as cache_module
from archgen.storage.cache import Cache, stamp_of


def test_a_result_comes_back_under_its_key_only(tmp_path):
    cache = Cache(tmp_path)
    cache.put(Cache.key("stage", 1, "a"), b"value")
    assert cache.get(Cache.key("stage", 1, "a")) == b"value"
    assert cache.get(Cache.key("stage", 2, "a")) is None
    assert Cache.key("stage", 1, "ab", "c") != Cache.key("stage", 1, "a", "bc")


def test_a_changed_file_gets_a_new_digest_even_at_the_same_size_and_time(tmp_path):
    file = tmp_path / "photo.jpg"
    file.write_bytes(b"one")
    cache = Cache(tmp_path / "cache")
    first = cache.digest(file)
    stamp = file.stat()
    file.write_bytes(b"two")
    os.utime(file, ns=(stamp.st_atime_ns, stamp.st_mtime_ns))
    assert cache.digest(file) != first


def test_a_settled_file_is_not_read_again(tmp_path, monkeypatch):
    file = tmp_path / "photo.jpg"
    file.write_bytes(b"one")
    os.utime(file, (1_700_000_000, 1_700_000_000))
    cache = Cache(tmp_path / "cache")
    first = cache.digest(file)
    cache.save()
    again = Cache(tmp_path / "cache")
    monkeypatch.setattr("archgen.storage.cache.digest_file", None)
    assert again.digest(file) == first


def test_a_file_rewritten_with_its_old_size_and_time_is_read_again(tmp_path):
    file = tmp_path / "photo.jpg"
    cache = Cache(tmp_path / "cache")
    digests = []
    for content in (b"one", b"two"):
        file.write_bytes(content)
        os.utime(file, (1_700_000_000, 1_700_000_000))
        digests.append(cache.digest(file))
    assert digests[0] != digests[1]


def test_a_name_of_another_encoding_costs_only_that_file_another_reading(tmp_path):
    cache = Cache(tmp_path / "cache")
    names = (b"plain.jpg", "ünï.jpg".encode(), b"latin-\xff.jpg")
    for name in names:
        place = tmp_path / os.fsdecode(name)
        place.write_bytes(name)
        os.utime(place, (0, 0))
        cache.digest(place)
    cache.save()
    known = Cache(tmp_path / "cache")._seen
    assert sorted(Path(path).name for path in known) == ["plain.jpg", "ünï.jpg"]


def test_files_that_nothing_seems_to_change_are_read_again_a_few_at_a_time(tmp_path, monkeypatch):
    # What a failing disk changes moves not even the time of the entry.
    monkeypatch.setattr(cache_module, "stamp_of", lambda facts: stamp_of(_without_entry(facts)))
    monkeypatch.setattr(cache_module, "_AGAIN_BYTES", 6)
    today = 100
    monkeypatch.setattr(cache_module, "today_number", lambda: today)
    files = [tmp_path / name for name in "abc"]
    for file in files:
        write_at(file, b"one")
    first = Cache(tmp_path / "cache")
    digests = [first.digest(file) for file in files]
    first.save()
    for file in files:
        write_at(file, b"two")

    def changed():
        cache = Cache(tmp_path / "cache")
        cache.read_again(files)
        cache.save()
        return [cache.changed_silently(file) is not None for file in files]

    today = 106
    assert changed() == [False, False, False]
    today = 107
    assert changed() == [True, True, False]
    assert changed() == [True, True, True]
    assert Cache(tmp_path / "cache").digest(files[0]) != digests[0]
    write_at(files[0], b"one")
    today = 120
    assert changed() == [False, True, True]


def test_a_file_with_another_time_was_changed_by_somebody(tmp_path):
    file = tmp_path / "a"
    write_at(file, b"one")
    cache = Cache(tmp_path / "cache")
    cache.digest(file)
    file.write_bytes(b"two")
    os.utime(file, (1_700_000_009, 1_700_000_009))
    cache.digest(file)
    assert cache.changed_silently(file) is None
    file.write_bytes(b"six")
    os.utime(file, (1_700_000_009, 1_700_000_009))
    assert cache.digest(file) == cache.changed_silently(file)


def _without_entry(facts):
    kept = {name: getattr(facts, name) for name in ("st_ino", "st_size", "st_mtime_ns")}
    return SimpleNamespace(**kept, st_ctime_ns=0)


def write_at(file, content):
    file.write_bytes(content)
    os.utime(file, (1_700_000_000, 1_700_000_000))


@pytest.mark.parametrize("seconds", [10_413_792_000, -3_000_000_000])
def test_a_picture_of_the_year_2300_is_one_as_others_are(tmp_path, seconds):
    """Nanoseconds since 1970 end in 2262 where they have 64 bits."""
    picture = tmp_path / "p.jpg"
    picture.write_bytes(b"picture")
    os.utime(picture, (seconds, seconds))
    cache = Cache(tmp_path / "cache")
    digest = cache.digest(picture)
    cache.save()
    assert Cache(tmp_path / "cache").digest(picture) == digest == hashlib.sha256(b"picture").hexdigest()


def test_a_broken_list_of_digests_counts_as_none(tmp_path):
    (tmp_path / "digests").write_bytes(b"{")
    file = tmp_path / "a"
    file.write_bytes(b"a")
    assert Cache(tmp_path).digest(file)


def test_pruning_keeps_what_was_used(tmp_path):
    first = Cache(tmp_path)
    for key in ("aa1", "bb2"):
        first.put(key, b"x")
    names = [first.put_blob(text, ".jpg") for text in (b"kept", b"dropped")]
    (tmp_path / "short-results").write_text("what an earlier version kept of somebody")
    second = Cache(tmp_path)
    assert second.get("aa1") == b"x"
    second.prune(names[:1])
    assert not (tmp_path / "short-results").exists()
    third = Cache(tmp_path)
    assert third.get("aa1") == b"x"
    assert third.get("bb2") is None
    assert [third.has_blob(name) for name in names] == [True, False]


def test_what_another_process_stored_is_found_after_another_look(tmp_path):
    mine, other = Cache(tmp_path), Cache(tmp_path)
    assert mine.get("a") is None
    other.put("a", b"x")
    assert mine.get("a") is None
    mine.look_again()
    assert mine.get("a") == b"x"


def test_a_saved_cache_holds_no_file_open(tmp_path):
    cache = Cache(tmp_path)
    cache.put("a", b"x")
    assert cache.get("a") == b"x"
    handle = cache._results._reading
    os.fstat(handle)
    cache.save()
    with pytest.raises(OSError, match="Bad file descriptor"):
        os.fstat(handle)
    assert cache.get("a") == b"x"


class Counted(msgspec.Struct):
    number: int


def test_a_result_of_another_kind_counts_as_none(tmp_path):
    cache = Cache(tmp_path)
    for name, stored in (("whole", b'{"number": 3}'), ("other", b'{"number": "x"}'), ("broken", b'{"numb')):
        cache.put(Cache.key(name, 1), stored)
    assert cache.value(Cache.key("whole", 1), Counted) == Counted(3)
    assert [cache.value(Cache.key(name, 1), Counted) for name in ("other", "broken", "absent")] == [None, None, None]


def test_blobs_are_there_when_each_of_them_is(tmp_path):
    cache = Cache(tmp_path)
    name = cache.put_blob(b"a", ".png")
    assert cache.has_blobs([name])
    assert not cache.has_blobs([name, "b.png"])


@pytest.mark.parametrize("is_known", [True, False])
def test_who_asks_while_another_thread_looks_at_the_blobs_waits_for_it(tmp_path, monkeypatch, is_known):
    first = Cache(tmp_path)
    names = [first.put_blob(b"%d" % number, ".png") for number in range(5)]
    for name in names:
        os.utime(tmp_path / "blobs" / name, (1_700_000_000, 1_700_000_000))
    if is_known:
        first.save()
    files = cache_module._ordinary_files

    def slowly(folder):
        for found in files(folder):
            time.sleep(0.02)
            yield found

    monkeypatch.setattr(cache_module, "_ordinary_files", slowly)
    second = Cache(tmp_path)
    with ThreadPoolExecutor(4) as threads:
        assert list(threads.map(second.has_blob, names)) == [True] * 5


def test_a_result_of_many_bytes_is_a_file_of_its_own_that_is_kept_while_it_is_asked_for(tmp_path):
    first = Cache(tmp_path)
    files = [Path(first.put_file(f"key {number}", b"%d" % number, ".pdf")) for number in range(3)]
    assert [file.read_bytes() for file in files] == [b"0", b"1", b"2"]
    second = Cache(tmp_path)
    assert second.get_file("key 0") == str(files[0])
    files[1].write_bytes(b"X")
    assert second.get_file("key 1") is None
    assert second.get_file("none") is None
    second.prune(())
    assert [file.exists() for file in files] == [True, False, False]
