"""Where items of an AVIF lie: as encoders and others list them, and lists that make no sense."""

import struct

import pytest

from archgen.metadata.avif_items import Meta, NewItem, beside_pixels, coded_pixels, with_items
from archgen.metadata.tags import prove_clean
from tests.bench.boxed_pictures import box, boxed_pictures, laid_out

TYPE = box(b"ftyp", b"avif\0\0\0\0avifmif1")
TEXT = b"Ada Falkensted"


def entry(number, kind):
    return box(b"infe", struct.pack(">IHH", 0x02000000, number, 0) + kind + b"\0")


def listing(places, entries, behind=b""):
    return TYPE + box(b"meta", bytes(4) + box(b"iloc", places) + box(b"iinf", entries)) + behind


def referring(references):
    listed = box(b"iloc", NO_PLACES) + box(b"iinf", ENTRIES) + box(b"iref", bytes(4) + references)
    return TYPE + box(b"meta", bytes(4) + listed)


ENTRIES = struct.pack(">IH", 0, 2) + entry(1, b"av01") + entry(2, b"mime")
NO_PLACES = bytes(8)


@pytest.mark.parametrize(
    "content",
    [
        pytest.param(listing(NO_PLACES, b""), id="a list of items without a byte"),
        pytest.param(listing(NO_PLACES, bytes(6) + box(b"infe", b"")), id="an entry without a byte"),
        pytest.param(listing(b"\0", ENTRIES), id="a list of places cut short"),
        pytest.param(TYPE + b"\0\0\0\x08meta", id="a box with nothing inside"),
        pytest.param(referring(b"\0\0\0\4thmb"), id="a reference shorter than its head"),
        pytest.param(TYPE, id="none"),
    ],
)
def test_a_list_that_makes_no_sense_is_told_as_such(content):
    with pytest.raises(ValueError, match="makes no sense"):
        Meta(content)
    assert coded_pixels(content) == []
    assert "parts that make no sense" in prove_clean(content)


def test_what_belongs_to_what_is_told():
    assert Meta(referring(box(b"thmb", bytes(6)) + box(b"cdsc", bytes(6)))).references == {"thmb", "cdsc"}
    assert Meta(listing(NO_PLACES, ENTRIES)).references == frozenset()


def numbered(head, items):
    return head + struct.pack(">H", len(items)) + b"".join(items)


# Items with 65,535 parts each, which by no number or a large one are all the same bytes, or none.
WHOLE = numbered(b"\0\0\0\0\0\0", [struct.pack(">HHH", 1, 0, 0xFFFF)])
BEHIND = numbered(b"\0\0\0\0\0\x80", [struct.pack(">HHQH", 1, 0, 1 << 62, 0xFFFF)] * 9)
LONG = numbered(b"\0\0\0\0\x44\0", [struct.pack(">HHH", 1, 0, 40) + struct.pack(">II", 1, 0x7FFFFFFF) * 40])
MANY = b"\2\0\0\0\0\0" + struct.pack(">I", 100_001) + struct.pack(">IHHH", 1, 0, 0, 0) * 100_001


@pytest.mark.parametrize("places", [WHOLE, BEHIND, LONG, MANY], ids=["whole", "behind", "long", "many"])
def test_parts_that_lie_over_each_other_take_no_memory(places):
    with pytest.raises(ValueError, match="makes no sense"):
        beside_pixels(listing(places, ENTRIES))


def test_boxes_without_end_are_given_up():
    listed = box(b"iloc", NO_PLACES) + box(b"iinf", ENTRIES)
    names = b"".join(box(struct.pack(">I", number), b"") for number in range(100_000))
    assert Meta(TYPE + box(b"meta", bytes(4) + listed + names[:8000])).items == ()
    with pytest.raises(ValueError, match="makes no sense"):
        Meta(TYPE + box(b"meta", bytes(4) + listed + names))


def test_a_text_in_several_parts_is_one_text():
    places = numbered(b"\0\0\0\0\x44\0", [struct.pack(">HHHIIII", 2, 0, 2, 0, 3, 0, 0)])
    at = len(listing(places, ENTRIES))
    places = numbered(b"\0\0\0\0\x44\0", [struct.pack(">HHHIIII", 2, 0, 2, at, 3, at + 8, 11)])
    content = listing(places, ENTRIES, TEXT[:3] + b"between:"[:5] + TEXT[3:])
    assert TEXT in beside_pixels(content)


@pytest.mark.parametrize("number", [0, 1, 5, 6, 15, 16, 20, 21, 30, 31, 35, 36])
def test_items_are_found_by_each_version_of_the_list(number):
    content = laid_out()[number]
    assert any(b"<x:xmpmeta>Ada Falkensted</x:xmpmeta>" in one for one in beside_pixels(content))
    pixels = coded_pixels(content)
    assert [len(one) for one in pixels] == [len(coded_pixels(laid_out()[0])[0])]


@pytest.mark.parametrize(("old", "new"), [(b"pitm", b"free"), (b"\0\1\0\0\0\1", b"\xff\xff\0\0\0\1")])
def test_nothing_is_added_to_a_file_that_lacks_its_first_picture_or_has_no_number_left(old, new):
    content = boxed_pictures()[0]
    assert content.count(old) == 1
    with pytest.raises(ValueError, match="not made by our own encoder"):
        with_items(content.replace(old, new), [NewItem(b"Exif", b"Exif\0", bytes(4))])
