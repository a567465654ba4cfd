"""A picture of a folder is named after the one of the archive it looks like most, unless a shown one is as like."""

import hashlib
import struct
from types import SimpleNamespace

import pytest

from archgen.leaks import find, likenesses
from archgen.leaks.leak import LeakKind
from archgen.leaks.likenesses import LikenessSearch
from archgen.leaks.memory import LeakMemory
from archgen.leaks.values.exact import PrivateValue
from archgen.leaks.values.spellings import Way
from archgen.storage.cache import Cache
from archgen.storage.files import digest_bytes
from archgen.twins.model import Pair, Relation
from tests.leak_manners import exif, picture

PHOTO, LINES, REFERENCE = "pieces/owl/photos/a.jpg", "pieces/owl/photos/lines.jpg", "pieces/owl/references/field.jpg"
MAY_BE_ANOTHER = {Relation.BURST, Relation.VERSION}


def search_of(tmp_path, facts=(), shown=()):
    known = {path: SimpleNamespace(description=f"{path}.bin", public=(), digest="") for path in facts}
    piece = SimpleNamespace(folder="pieces/owl", id="owl", record=None, papers=())
    photos = [SimpleNamespace(file=path.removeprefix("pieces/owl/")) for path in shown]
    catalogue = SimpleNamespace(facts=known, pieces=(piece,), to_show=(piece,), config=SimpleNamespace(root=tmp_path))
    return LikenessSearch(
        catalogue, {"owl": SimpleNamespace(photos=photos)}, Cache(tmp_path / "cache"), tmp_path, LeakMemory(None, ())
    )


def leaks_of(monkeypatch, tmp_path, alike, shown=()):
    """Give the leaks of one picture in a folder that the comparison says is so related to those of the archive."""
    search = search_of(tmp_path, alike, shown)
    items = [SimpleNamespace(key=path, prepared=SimpleNamespace(digest=path)) for path in alike]
    monkeypatch.setattr(likenesses, "archive_items", lambda *_: items)
    assert search.look_at("a.jpg", picture("PNG")) is None
    (own,) = search._items
    pairs = [
        Pair(*sorted((own, path)), relation, False, 0, (1, 0, 0, 0, 1, 0), 0.9) for path, relation in alike.items()
    ]
    monkeypatch.setattr(likenesses, "find_pairs", lambda *_: pairs)
    return [(leak.file, leak.what, leak.value, leak.piece, leak.sure, leak.kind) for leak in search.leaks()]


@pytest.mark.parametrize("relation", Relation)
def test_a_picture_is_named_however_it_looks_like_one_of_ours(monkeypatch, tmp_path, relation):
    sure = relation not in MAY_BE_ANOTHER
    for path, what in ((PHOTO, "photo"), (REFERENCE, "reference"), ("pieces/owl/stencils/owl.png", "stencil")):
        found = leaks_of(monkeypatch, tmp_path, {path: relation})
        assert found == [("a.jpg", what, path, "owl", sure, LeakKind.PICTURE)]


@pytest.mark.parametrize(
    ("shown", "hidden", "is_leak"),
    [
        (Relation.IDENTICAL, Relation.EDITED, False),
        (Relation.EDITED, Relation.IDENTICAL, True),
        (Relation.EDITED, Relation.CROPPED, False),
        (Relation.CROPPED, Relation.EDITED, True),
        (Relation.MIRRORED, Relation.CROPPED, False),
        (Relation.TURNED, Relation.MIRRORED, False),
        (Relation.BURST, Relation.TURNED, True),
        (Relation.BURST, Relation.VERSION, False),
        (Relation.VERSION, Relation.BURST, False),
        (Relation.CROPPED, Relation.TURNED, False),
    ],
)
def test_a_picture_at_least_as_much_like_one_that_is_shown_is_that_one(monkeypatch, tmp_path, shown, hidden, is_leak):
    found = leaks_of(monkeypatch, tmp_path, {PHOTO: shown, LINES: hidden}, shown=(PHOTO,))
    assert [leak[2] for leak in found] == [LINES] * is_leak


def test_of_several_the_likest_is_named(monkeypatch, tmp_path):
    found = leaks_of(monkeypatch, tmp_path, {PHOTO: Relation.BURST, LINES: Relation.CROPPED})
    assert [leak[2] for leak in found] == [LINES]


def test_of_copies_in_a_folder_each_is_what_one_of_them_looks_like(monkeypatch, tmp_path):
    search = search_of(tmp_path, (PHOTO,))
    shown = SimpleNamespace(key=PHOTO, prepared=SimpleNamespace(digest=PHOTO))
    monkeypatch.setattr(likenesses, "archive_items", lambda *_: [shown])
    for name, form in (("a.png", "PNG"), ("b.png", "PNG"), ("c.bmp", "BMP"), ("d.gif", "GIF")):
        assert search.look_at(name, picture(form)) is None
    one, same, other = search._items
    related = ((one, PHOTO, Relation.CROPPED), (one, same, Relation.IDENTICAL), (one, other, Relation.EDITED))
    pairs = [Pair(*sorted(keys), relation, False, 0, (1, 0, 0, 0, 1, 0), 0.9) for *keys, relation in related]
    monkeypatch.setattr(likenesses, "find_pairs", lambda *_: pairs)
    assert sorted(leak.file for leak in search.leaks()) == ["a.png", "b.png", "c.bmp"]


def tiff(width, height):
    """Give the head of a TIFF of a compression that nobody knows."""
    tags = ((256, width), (257, height), (259, 64_999))
    fields = b"".join(struct.pack("<HHII", tag, 4, 1, number) for tag, number in tags)
    return b"II*\0" + struct.pack("<IH", 8, len(tags)) + fields + bytes(4)


BROKEN = {
    "BMP": b"BM" + b"\x07" * 60,
    "HEIF": b"\0\0\0\x18ftypheic" + b"\x07" * 60,
    "TIFF": tiff(600, 400),
    "GIF": b"GIF89a" + b"\x07" * 60,
    "PNG": b"\x89PNG\r\n\x1a\n" + b"\x07" * 60,
    "JPEG": b"\xff\xd8\xff\xe0" + b"\x07" * 60,
}


def searched(tmp_path, name, content, *values):
    (tmp_path / "site").mkdir()
    (tmp_path / "site" / name).write_bytes(content)
    return list(find._PlaceSearch(values, search_of(tmp_path), LeakMemory(None, ())).leaks_in(tmp_path / "site"))


def unread(tmp_path, content):
    found = searched(tmp_path, "a.bin", content)
    return [(leak.file, leak.what, leak.sure) for leak in found if leak.kind is LeakKind.UNREAD]


@pytest.mark.parametrize("form", BROKEN)
def test_a_kind_of_picture_that_cannot_be_compared_is_a_question_and_a_broken_one_an_error(tmp_path, form):
    (found,) = unread(tmp_path, BROKEN[form])
    assert found == ("a.bin", "this is not a kind of picture that can be opened", form not in {"BMP", "HEIF", "TIFF"})


@pytest.mark.parametrize("size", [(1, 400), (600, 7)])
def test_a_picture_too_small_to_show_anything_need_not_be_compared(tmp_path, size):
    assert unread(tmp_path, tiff(*size)) == []


@pytest.mark.parametrize(
    ("content", "counts"), [(picture("PNG"), False), (BROKEN["PNG"], True), (BROKEN["BMP"], True), (b"quiet", True)]
)
def test_a_name_of_everyday_words_is_chance_only_where_the_picture_was_compared(tmp_path, content, counts):
    name = PrivateValue("file name of a photo", "lines.png", way=Way.FULL_NAME)
    found = searched(tmp_path, "lines.png", content, name)
    assert [leak.value for leak in found if leak.kind is LeakKind.TEXT] == [name.value] * counts


# Files and pixels that are known without a look.


@pytest.mark.parametrize("form", ["WEBP", "AVIF"])
def test_the_pixels_of_a_copy_are_the_same_whatever_else_its_file_says(form):
    plain = picture(form, quality=90)
    told = picture(form, quality=90, exif=exif("x").tobytes())
    other = picture(form, quality=20)
    assert plain != told
    assert likenesses._digest_of_pixels(plain) == likenesses._digest_of_pixels(told) is not None
    assert likenesses._digest_of_pixels(other) != likenesses._digest_of_pixels(plain)


@pytest.mark.parametrize("content", [picture("PNG"), b"RIFF" + bytes(40), b"\0\0\0\x0cftypavif" + bytes(40)])
def test_other_files_have_no_pixels_of_a_copy(content):
    assert likenesses._digest_of_pixels(content) is None


def test_copies_are_known_by_their_blobs_and_read_once(tmp_path):
    (tmp_path / "a.webp").write_bytes(picture("WEBP", quality=90))
    (tmp_path / "b.webp").write_bytes(b"no picture")
    facts = SimpleNamespace(public=tuple(SimpleNamespace(blob=name) for name in ("a.webp", "b.webp", "gone.webp")))
    catalogue, known = SimpleNamespace(facts={PHOTO: facts}), {}

    def digests():
        return list(likenesses._digests_of_copies(catalogue, [PHOTO, LINES], tmp_path, known))

    pixels = likenesses._digest_of_pixels(picture("WEBP", quality=90))
    assert digests() == [pixels]
    assert known == {"a.webp": pixels, "b.webp": ""}
    (tmp_path / "a.webp").unlink()
    assert digests() == [pixels]


def test_papers_and_pictures_that_are_not_public_are_known_by_their_files(tmp_path):
    for name in ("letter.pdf", "release.pdf", "receipt.pdf"):
        (tmp_path / "pieces/owl").mkdir(parents=True, exist_ok=True)
        (tmp_path / "pieces/owl" / name).write_bytes(name.encode())
    record = SimpleNamespace(
        release=SimpleNamespace(file="release.pdf"),
        reference=[SimpleNamespace(permission=paper) for paper in ("letter.pdf", None, "gone.pdf")],
    )
    pieces = (
        SimpleNamespace(folder="pieces/owl", record=record, papers=("pieces/owl/receipt.pdf",)),
        SimpleNamespace(folder="pieces/moth", record=None, papers=()),
    )
    facts = {PHOTO: SimpleNamespace(digest="one"), LINES: SimpleNamespace(digest="two")}
    catalogue = SimpleNamespace(facts=facts, pieces=pieces, to_show=pieces, config=SimpleNamespace(root=tmp_path))
    found = dict(likenesses._digests_of_files(catalogue, {PHOTO}, Cache(tmp_path / "cache")))
    papers = {f"pieces/owl/{name}" for name in ("letter.pdf", "release.pdf", "receipt.pdf")}
    assert set(found.values()) == {LINES, *papers}
    assert found["two"] == LINES
    assert found[hashlib.sha256(b"letter.pdf").hexdigest()] == "pieces/owl/letter.pdf"


def test_a_file_of_the_archive_is_known_by_its_bytes(tmp_path):
    search = search_of(tmp_path)
    search._private_files = {"digest of the letter": "pieces/owl/letter.pdf"}
    assert (search.same_file("digest of the letter"), search.same_file("other")) == ("pieces/owl/letter.pdf", None)


def test_only_described_pictures_can_be_compared(tmp_path):
    search = search_of(tmp_path)
    search._facts = {"a": SimpleNamespace(description="d"), "b": SimpleNamespace(description=None)}
    assert search.pictures == 1


def test_copies_are_those_of_the_public_ones_alone(tmp_path):
    search, pixels = search_of(tmp_path), likenesses._digest_of_pixels(picture("WEBP", quality=90))
    search._own_copies = {pixels}
    assert search.copy_of(picture("WEBP", quality=90)) == pixels
    assert search.copy_of(picture("WEBP", quality=20)) is None
    assert [search.are_copies(asked) for asked in ([pixels], [], [pixels, "other"])] == [True, True, False]


def test_a_picture_is_taken_up_once_and_leaves_nothing_behind(tmp_path, monkeypatch):
    search = search_of(tmp_path)
    for name in ("a.png", "b.png"):
        assert search.look_at(name, picture("PNG")) is None
    assert list(search._files.values()) == [["a.png", "b.png"]]
    assert [path.name for path in tmp_path.iterdir()] == ["cache"]
    assert search.look_at("c.gif", BROKEN["GIF"]).code == "image.not-a-picture"
    monkeypatch.setattr(likenesses, "describe_picture", lambda *_: 1 / 0)
    assert search.look_at("d.bmp", picture("BMP")).code == "image.damaged"
    assert [path.name for path in tmp_path.iterdir()] == ["cache"]
    assert [names for names in search._files.values() if names] == [["a.png", "b.png"]]


@pytest.mark.parametrize(("path", "what"), [("pieces/owl/letters/a.pdf", "file"), (PHOTO, "photo")])
def test_a_file_is_named_by_its_folder(path, what):
    assert likenesses.what_is(path) == what


def test_without_pictures_on_either_side_nothing_is_compared(monkeypatch, tmp_path):
    monkeypatch.setattr(likenesses, "find_pairs", lambda *_: pytest.fail("compared"))
    monkeypatch.setattr(likenesses, "archive_items", lambda *_: [SimpleNamespace(key=PHOTO)])
    assert list(search_of(tmp_path).leaks()) == []
    monkeypatch.setattr(likenesses, "archive_items", lambda *_: [])
    search = search_of(tmp_path)
    search.look_at("a.png", picture("PNG"))
    assert list(search.leaks()) == []


# A picture that was compared is compared with new ones of the archive alone.

OTHER = "pieces/moth/photos/b.jpg"


@pytest.fixture
def compared(monkeypatch, tmp_path):
    """Search a folder of one picture beside an archive of these; tell what was done, and which it is a copy of."""
    content, file = picture("PNG"), tmp_path / "kept.json"

    def compare(*described, alike=(), public=(), only_recall=False):
        memory, cache = LeakMemory(file, ()), Cache(tmp_path / "cache")
        facts = {path: SimpleNamespace(description=f"{path}.bin", digest="") for path in described}
        catalogue = SimpleNamespace(facts=facts, to_show=(), config=None)
        search = LikenessSearch(catalogue, {}, cache, tmp_path, memory)
        search._public = set(public)
        beside = []

        def items(facts, _):
            return [SimpleNamespace(key=path, prepared=SimpleNamespace(digest=path)) for path in facts]

        def pairs(given, _):
            beside.extend(one.key for one in given if one.key in described)
            (own,) = (one.key for one in given if one.key not in described)
            return [
                Pair(*sorted((own, path)), Relation.EDITED, False, 0, (1, 0, 0, 0, 1, 0), 0.9)
                for path in alike
                if path in beside
            ]

        monkeypatch.setattr(likenesses, "archive_items", items)
        monkeypatch.setattr(likenesses, "find_pairs", pairs)
        is_known = search.recall("a.png", [digest_bytes(content)])
        if not (is_known or only_recall):
            search.look_at("a.png", content)
        found = [(leak.file, leak.value) for leak in search.leaks()]
        memory.save()
        cache.prune(())
        cache.save()
        return is_known, beside, found

    return compare


def test_a_picture_like_none_of_ours_is_compared_with_new_ones_alone(compared):
    assert compared(PHOTO, LINES) == (False, [PHOTO, LINES], [])
    assert compared(PHOTO, LINES) == (True, [], [])
    assert compared(PHOTO, LINES, OTHER) == (True, [OTHER], [])
    assert compared(PHOTO, OTHER) == (True, [], [])


def test_what_a_picture_looks_like_is_known_whatever_is_public_now(compared):
    assert compared(PHOTO, LINES, alike=[PHOTO], public=[PHOTO]) == (False, [PHOTO, LINES], [])
    assert compared(PHOTO, LINES) == (True, [], [("a.png", PHOTO)])
    assert compared(LINES) == (True, [], [])
    assert compared(PHOTO, LINES, public=[PHOTO]) == (True, [PHOTO], [])


def test_a_new_picture_that_is_as_like_is_found_too(compared):
    compared(PHOTO, alike=[PHOTO], public=[PHOTO])
    assert compared(PHOTO, OTHER, alike=[OTHER]) == (True, [OTHER], [("a.png", OTHER)])
    assert compared(PHOTO, OTHER, public=[PHOTO]) == (True, [], [])


def test_what_was_not_met_is_not_known_any_more(compared):
    compared(PHOTO)
    with pytest.MonkeyPatch.context() as away:
        away.setattr(LikenessSearch, "recall", lambda *_: False)
        compared(PHOTO, only_recall=True)
    assert compared(PHOTO) == (False, [PHOTO], [])


def test_a_lost_description_is_made_again_where_it_is_needed(compared, tmp_path):
    compared(PHOTO)
    (described,) = (tmp_path / "cache/blobs").iterdir()
    described.unlink()
    assert compared(PHOTO) == (True, [], [])
    assert compared(PHOTO, OTHER) == (False, [OTHER], [])
