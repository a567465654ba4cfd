"""What a file holds is told once, as what it is: texts, traces, pictures, and what could not be looked into."""

import hashlib
import struct

import pytest

from archgen.images.decode import UnusableError
from archgen.leaks import find
from archgen.leaks.find import find_leaks
from archgen.leaks.folder import Entry, MadeFile
from archgen.leaks.leak import Leak, LeakKind
from archgen.leaks.memory import LeakMemory, Searched, file_key, made_key
from archgen.leaks.reading.disclosed import Disclosed
from archgen.leaks.search import LeakSearch
from archgen.leaks.values.exact import PrivateValue
from archgen.leaks.values.spellings import Way

NAME = PrivateValue("client's name", "Annika Söderqvist", "owl")
PART = PrivateValue("part of a client's name", "Annika", "owl", sure=False)
WORD = PrivateValue("use of a needle", "scales", "owl", sure=False)
STEM = PrivateValue("file name of a photo", "owl-field", way=Way.NAME)
FULL = PrivateValue("file name of a photo", "owl field.jpg", way=Way.FULL_NAME)
PRICE = PrivateValue("price", "120", way=Way.PRICE)
VALUES = (NAME, PART, WORD, STEM, FULL, PRICE)
PNG, BROKEN = b"\x89PNG\r\n\x1a\n", UnusableError("image.not-a-picture", "This is no picture.", "x")


class Pictures:
    """Pictures of the archive: those that are copies of public ones, and those that cannot be looked at."""

    def __init__(self, copies=(), troubles=(), known=()):
        self.known = set(known)
        self.copies, self.troubles, self.looked_at = set(copies), dict(troubles), []

    def same_file(self, digest):
        return "pieces/owl/photos/a.jpg" if digest == hashlib.sha256(b"ours").hexdigest() else None

    def copy_of(self, content):
        return content.decode() if content.decode("latin-1") in self.copies else None

    def are_copies(self, pixels):
        return self.copies.issuperset(pixels)

    def recall(self, _, pictures):
        return self.known.issuperset(pictures)

    def look_at(self, file, content):
        self.looked_at.append((file, content))
        return self.troubles.get(content)


@pytest.fixture
def told(monkeypatch):
    """Search a file that discloses so much; give what was found."""

    def tell(*disclosed, entry=None, likenesses=None):
        entry = entry or Entry("a.bin", b"content")
        monkeypatch.setattr(find, "disclose", lambda *_: iter(disclosed))
        found = find._EntrySearch(entry, LeakSearch(VALUES), likenesses)
        leaks = list(found.leaks())
        tell.copies, tell.has_others = tuple(found.copies), bool(found.others)
        return [(leak.kind, leak.value or leak.what, leak.sure) for leak in leaks]

    return tell


def text(value):
    return (LeakKind.TEXT, value.value, value.sure)


def test_texts_and_bytes_are_searched_wherever_they_stand(told):
    for disclosed in (
        Disclosed(texts=["by Annika Söderqvist"]),
        Disclosed(raw=[b"by Annika Soderqvist"]),
        Disclosed(pixels=[b"by Annika Soderqvist"]),
        Disclosed(names=["Annika Söderqvist/a.txt"]),
    ):
        assert told(disclosed) == [text(NAME)]
    assert told(Disclosed(pixels=[b"by scales"])) == []  # chance writes a word
    assert told(Disclosed(names=["owl-field 120 EUR.txt"])) == [text(STEM)]  # no price in a name


def test_a_thing_is_told_once(told):
    twice = Disclosed(texts=["Annika Söderqvist"], traces=["a position"], unread=["damaged"])
    assert told(twice, twice) == [
        (LeakKind.UNREAD, "damaged", True),
        (LeakKind.TRACE, "a position", True),
        text(NAME),
    ]


def test_a_leak_names_its_file_and_piece(monkeypatch):
    monkeypatch.setattr(find, "disclose", lambda *_: [Disclosed(texts=["Annika Söderqvist"], traces=["a title"])])
    found = find._EntrySearch(Entry("a.html", b"x"), LeakSearch(VALUES), None)
    assert list(found.leaks()) == [
        Leak("a.html", "a title", None, None, kind=LeakKind.TRACE),
        Leak("a.html", "client's name", "Annika Söderqvist", "owl"),
    ]


def test_names_and_where_links_lead_are_searched(told):
    assert told(entry=Entry("for Annika Söderqvist/", None)) == [text(NAME)]
    assert told(entry=Entry("a.jpg", None, "../Annika Söderqvist.jpg")) == [text(NAME)]
    assert told(entry=Entry("a.jpg", None, None, "it cannot be read")) == [(LeakKind.UNREAD, "it cannot be read", True)]


def test_what_is_surely_not_chance_is_told_of_programs_too(told):
    both = Disclosed(texts=["scales, Annika Söderqvist"])
    assert told(both, entry=Entry("a.txt", b"x")) == [text(NAME), text(WORD)]
    assert told(both, entry=Entry("lib/A.PY", b"x")) == [text(NAME)]


@pytest.mark.parametrize("content", [b"<html>", b"GI", b""])
def test_what_is_called_a_picture_begins_like_one(told, content):
    trouble = [(LeakKind.UNREAD, "it is called a picture but cannot be opened as one", True)]
    is_none = content == b"<html>"
    assert told(entry=Entry("a.JPG", content)) == (trouble if is_none else [])
    assert told(entry=Entry("a.html", content)) == []


# Pictures.


def test_copies_of_public_pictures_are_noted_and_others_looked_at(told):
    pictures = Pictures(copies=["one", "two"])
    assert told(Disclosed(pictures=[b"one", b"two", b""]), likenesses=pictures) == []
    assert (told.copies, told.has_others, pictures.looked_at) == (("one", "two"), False, [])
    assert told(Disclosed(pictures=[b"one", b"other"]), likenesses=pictures) == []
    assert (told.copies, told.has_others, pictures.looked_at) == (("one",), True, [("a.bin", b"other")])
    assert told(Disclosed(pictures=[b"other"])) == []
    assert not told.has_others


@pytest.mark.parametrize(
    ("name", "copies", "troubles", "is_chance"),
    [
        (b"copy", ["copy"], {}, True),
        (b"other", [], {}, True),
        (b"other", [], {b"other": UnusableError("image.damaged", "It is damaged.", "x")}, False),
        (b"BMother", [], {b"BMother": BROKEN}, False),
    ],
)
def test_everyday_words_in_the_name_of_a_compared_picture_are_chance(told, name, copies, troubles, is_chance):
    found = told(
        Disclosed(pictures=[name]),
        entry=Entry("owl field.jpg", PNG),
        likenesses=Pictures(copies, troubles),
    )
    assert (text(FULL) in found) is not is_chance
    # A name written together is nobody's by chance, and without a picture nothing was compared.
    assert text(STEM) in told(
        Disclosed(pictures=[name]), entry=Entry("owl-field.jpg", PNG), likenesses=Pictures(copies, troubles)
    )
    assert text(FULL) in told(Disclosed(), entry=Entry("owl field.jpg", PNG), likenesses=Pictures())


def tiff(width):
    fields = b"".join(struct.pack("<HHII", tag, 4, 1, number) for tag, number in ((256, width), (257, 400)))
    return b"II*\0" + struct.pack("<IH", 8, 2) + fields + bytes(4)


@pytest.mark.parametrize(
    ("content", "code", "found"),
    [
        (b"BM123", "image.not-a-picture", [(LeakKind.UNREAD, "this is no picture", False)]),
        (b"....ftypheic", "image.not-a-picture", [(LeakKind.UNREAD, "this is no picture", False)]),
        (tiff(600), "image.not-a-picture", [(LeakKind.UNREAD, "this is no picture", False)]),
        (tiff(1), "image.not-a-picture", []),
        (tiff(1), "image.damaged", [(LeakKind.UNREAD, "this is no picture", True)]),
        (b"BM123", "image.damaged", [(LeakKind.UNREAD, "this is no picture", True)]),
        (PNG, "image.not-a-picture", [(LeakKind.UNREAD, "this is no picture", True)]),
    ],
)
def test_a_kind_that_cannot_be_opened_here_is_a_question_and_damage_an_error(told, content, code, found):
    pictures = Pictures(troubles={content: UnusableError(code, "This is no picture.", "x")})
    assert told(Disclosed(pictures=[content]), likenesses=pictures) == found
    assert told.has_others


# Files that are known.


@pytest.fixture
def place(tmp_path):
    (tmp_path / "site").mkdir()
    (tmp_path / "site/a.html").write_bytes(b"quiet")
    return tmp_path / "site"


def searching(place, values=(NAME,), likenesses=None):
    memory = LeakMemory(place.with_name("kept.json"), values)
    return find._PlaceSearch(values, likenesses, memory), memory


def test_a_very_file_of_ours_is_named(place):
    (place / "a.html").write_bytes(b"ours")
    found = list(searching(place, likenesses=Pictures())[0].leaks_in(place))
    assert found == [Leak("a.html", "photo", "pieces/owl/photos/a.jpg", "owl", kind=LeakKind.PICTURE)]
    assert list(searching(place)[0].leaks_in(place)) == []


def test_files_are_counted_and_folders_are_not(place):
    (place / "img").mkdir()
    (place / "img/a.txt").write_bytes(b"")
    search, _ = searching(place)
    list(search.leaks_in(place))
    assert search.files == 2


@pytest.mark.parametrize(
    ("copies", "now", "is_known"), [((), None, True), (("one",), ["one", "two"], True), (("one",), ["two"], False),
                                    (("one",), None, False)]
)  # fmt: skip
def test_what_is_known_counts_while_its_pictures_are_copies_of_public_ones(place, monkeypatch, copies, now, is_known):
    _, memory = searching(place)
    memory.keep(file_key("a.html", None, b"quiet"), Searched((), copies))
    memory.save()
    opened = []
    monkeypatch.setattr(find, "disclose", lambda *_: opened.append(1) or [])
    search, memory = searching(place, likenesses=None if now is None else Pictures(now))
    list(search.leaks_in(place))
    memory.save()
    assert (opened == []) is is_known
    assert LeakMemory(place.with_name("kept.json"), (NAME,)).recall(file_key("a.html", None, b"quiet")) is not None


@pytest.mark.parametrize(("compared", "is_known"), [((), False), (("one",), False), (("one", "two", "three"), True)])
def test_what_is_known_counts_while_its_pictures_are_known_too(place, monkeypatch, compared, is_known):
    _, memory = searching(place)
    memory.keep(file_key("a.html", None, b"quiet"), Searched((), others=("one", "two")))
    memory.save()
    opened = []
    monkeypatch.setattr(find, "disclose", lambda *_: opened.append(1) or [])
    list(searching(place, likenesses=Pictures(known=compared))[0].leaks_in(place))
    assert (opened == []) is is_known


@pytest.mark.parametrize(
    ("trouble", "picture", "is_kept"),
    [(None, None, True), ("shut", None, False), (None, b"other", True), (None, b"odd", False)],
)
def test_a_file_is_remembered_only_when_all_of_it_was_read_and_compared(place, monkeypatch, trouble, picture, is_kept):
    entry = Entry("b.bin", b"x", None, trouble)
    monkeypatch.setattr(find, "disclose", lambda *_: [Disclosed(pictures=[picture])])
    odd = UnusableError("image.not-a-picture", "This is no picture.", "x")
    monkeypatch.setattr(find, "is_tiny", lambda _: True)
    monkeypatch.setattr(find, "format_of", lambda _: "BMP")
    search, memory = searching(place, likenesses=Pictures(troubles={b"odd": odd}))
    assert list(search._leaks_of(entry)) == (
        [Leak("b.bin", "shut", None, None, kind=LeakKind.UNREAD)] if trouble else []
    )
    memory.save()
    assert (
        LeakMemory(place.with_name("kept.json"), (NAME,)).recall(file_key("b.bin", None, b"x")) is not None
    ) is is_kept


def test_what_cannot_be_read_now_is_said_though_it_is_known(place):
    _, memory = searching(place)
    memory.keep(file_key("a.html", None, b""), Searched(()))
    memory.save()
    search, _ = searching(place)
    shut = Leak("a.html", "shut", None, None, kind=LeakKind.UNREAD)
    assert list(search._leaks_of(Entry("a.html", None, None, "shut"))) == [shut]
    assert list(search._leaks_of(Entry("a.html", None))) == []


# What is remembered.


def test_a_memory_without_a_file_remembers_nothing():
    memory = LeakMemory(None, (NAME,))
    memory.keep(file_key("a", None, b""), Searched(()))
    memory.save()
    assert (memory.recall(file_key("a", None, b"")), memory.fresh) == (None, ())


def test_a_link_that_leads_elsewhere_is_another_file(tmp_path):
    memory = LeakMemory(tmp_path / "kept.json", (NAME,))
    memory.keep(file_key("a", "here", b""), Searched(()))
    memory.save()
    again = LeakMemory(tmp_path / "kept.json", (NAME,))
    assert [again.recall(file_key("a", target, b"")) is None for target in ("here", "there", None)] == [
        False,
        True,
        True,
    ]


@pytest.mark.parametrize("kind", LeakKind)
def test_a_text_that_was_found_may_not_be_private_any_more(tmp_path, kind):
    memory = LeakMemory(tmp_path / "kept.json", (NAME,))
    memory.keep(file_key("a", None, b""), Searched((Leak("a", "x", "y", None, kind=kind),)))
    memory.save()
    same, other = LeakMemory(tmp_path / "kept.json", (NAME,)), LeakMemory(tmp_path / "kept.json", (WORD,))
    assert same.recall(file_key("a", None, b"")) is not None
    assert (same.fresh, other.fresh) == ((), (WORD,))
    assert (other.recall(file_key("a", None, b"")) is None) is (kind is LeakKind.TEXT)


def test_a_memory_of_the_same_is_not_written_again_and_forgets_what_left_when_the_values_change(tmp_path):
    file = tmp_path / "kept.json"
    memory = LeakMemory(file, (NAME,))
    memory.keep(file_key("a", None, b""), Searched(()))
    memory.keep(file_key("b", None, b""), Searched(()))
    memory.save()
    before = file.stat().st_mtime_ns, file.stat().st_ino
    LeakMemory(file, (NAME,)).save()
    assert (file.stat().st_mtime_ns, file.stat().st_ino) == before
    other = LeakMemory(file, (WORD,))
    other.keep(file_key("a", None, b""), Searched(()))
    other.save()
    assert [LeakMemory(file, (WORD,)).recall(file_key(name, None, b"")) is None for name in "ab"] == [False, True]


# Files of a folder that is being made.


@pytest.fixture
def made(place):
    (place / "pieces").mkdir()
    (place / "pieces/kiki7.html").write_bytes(b"by kiki7")
    return [
        MadeFile("pieces/kiki7.html", place / "pieces/kiki7.html", "5a.html"),
        MadeFile("a.html", place / "a.html", None),
    ]


def test_a_folder_that_is_being_made_is_searched_like_any_other(place, made):
    anything = searching(place, (PrivateValue("name", "kiki7"), PrivateValue("word", "pieces")))[0]
    assert set(anything.leaks_in_made(made)) == set(find_leaks(place, anything.values))
    assert {leak.file for leak in anything.leaks_in_made(made)} == {"pieces/", "pieces/kiki7.html"}
    assert anything.files == 4


def test_a_file_that_is_known_by_its_blob_is_not_read_again(place, made):
    search, memory = searching(place, likenesses=Pictures())
    list(search.leaks_in_made(made))
    memory.save()
    made[0].where.unlink()
    list(searching(place, likenesses=Pictures())[0].leaks_in_made(made))
    other = made[0]._replace(blob="5b.html")
    assert [leak.kind for leak in searching(place)[0].leaks_in_made([other])] == [LeakKind.UNREAD]


def test_a_very_file_of_ours_is_named_though_it_is_known_by_its_blob(place, made):
    made[0].where.write_bytes(b"ours")
    for _ in range(2):
        search, memory = searching(place, likenesses=Pictures())
        assert [leak.kind for leak in search.leaks_in_made(made[:1])] == [LeakKind.PICTURE]
        memory.save()
        made[0].where.write_bytes(b"not looked at again")


def test_a_known_file_that_cannot_be_searched_for_something_new_is_told(place, made):
    before = tuple(PrivateValue("name", f"annika{number}") for number in range(5))
    search, memory = searching(place, before, Pictures())
    list(search.leaks_in_made(made[:1]))
    memory.save()
    made[0].where.unlink()
    search, memory = searching(place, (*before, PrivateValue("name", "odd9")), Pictures())
    assert memory.recall(made_key(made[0].name, made[0].blob))
    assert [leak.kind for leak in search.leaks_in_made(made[:1])] == [LeakKind.UNREAD]
