"""Rights in a file: what exiftool cannot write, and everything that is wrong, huge or meant to harm."""

import struct
import warnings

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, PngImagePlugin

from archgen.images.decode import open_picture
from archgen.metadata.embedded_rights import LARGEST_XMP, LONGEST_TEXT, MOST_VALUES, read_rights
from archgen.metadata.file_rights import EmbeddedRights
from archgen.picture_facts.facts import Role
from tests.unit.images.pictures import encoded, photo, read_one

SPACES = (
    'xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:plus="http://ns.useplus.org/ldf/xmp/1.0/" '
    'xmlns:e="http://iptc.org/std/Iptc4xmpExt/2008-02-29/" xmlns:cc="http://creativecommons.org/ns#"'
)
SOURCES = "http://cv.iptc.org/newscodes/digitalsourcetype/"


def packet(inner="", attributes=""):
    return (
        '<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?><x:xmpmeta xmlns:x="adobe:ns:meta/">'
        '<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">'
        f'<rdf:Description rdf:about="" {SPACES} {attributes}>{inner}</rdf:Description></rdf:RDF></x:xmpmeta>'
    )


@pytest.fixture
def read(tmp_path):
    def written(xmp):
        path = tmp_path / "a.jpg"
        raw = xmp.encode() if isinstance(xmp, str) else xmp
        path.write_bytes(encoded(photo(64, 64), "JPEG", xmp=raw))
        with open_picture(path) as opened:
            return read_rights(opened)

    return written


def jpeg_with(path, number, body):
    content = encoded(photo(64, 64), "JPEG")
    path.write_bytes(content[:2] + bytes((0xFF, number)) + struct.pack(">H", len(body) + 2) + body + content[2:])
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # the stage keeps the library's own remarks to itself
        with open_picture(path) as opened:
            return read_rights(opened)


def test_the_properties_of_2025_are_read(read):
    inner = "<e:AISystemUsed>Sample Model</e:AISystemUsed><e:AISystemVersionUsed>2.1</e:AISystemVersionUsed>"
    found = read(packet(inner, 'plus:DataMining="http://ns.useplus.org/ldf/vocab/DMI-PROHIBITED"'))
    assert found == EmbeddedRights(ai_system="Sample Model", ai_version="2.1", data_mining="DMI-PROHIBITED")


@pytest.mark.parametrize("address", [SOURCES, SOURCES.replace("http:", "https:")])
def test_a_source_type_is_read_with_http_and_https(read, address):
    found = read(packet(f"<e:DigitalSourceType>{address}compositeSynthetic</e:DigitalSourceType>"))
    assert found.digital_source == "compositeSynthetic"


@pytest.mark.parametrize(
    "inner",
    [
        '<cc:license rdf:resource="https://creativecommons.org/licenses/by/4.0/"/>',
        "<cc:license>https://creativecommons.org/licenses/by/4.0/</cc:license>",
    ],
)
def test_a_licence_is_read_as_address_and_as_text(read, inner):
    assert read(packet(inner)).licence == "https://creativecommons.org/licenses/by/4.0/"


def test_structures_are_read_in_both_spellings(read):
    item = "<plus:LicensorName>A</plus:LicensorName>"
    for inside in (
        f'<rdf:li rdf:parseType="Resource">{item}</rdf:li>',
        f"<rdf:li><rdf:Description>{item}</rdf:Description></rdf:li>",
        '<rdf:li plus:LicensorName="A"/>',
    ):
        assert read(packet(f"<plus:Licensor><rdf:Seq>{inside}</rdf:Seq></plus:Licensor>")).licensors == ("A",)


def test_of_several_languages_the_default_one_is_taken(read):
    items = '<rdf:li xml:lang="de">alle Rechte</rdf:li><rdf:li xml:lang="x-default">all rights</rdf:li>'
    assert read(packet(f"<dc:rights><rdf:Alt>{items}</rdf:Alt></dc:rights>")).copyright_notice == "all rights"


def test_a_packet_behind_the_pixels_of_a_png_is_read(tmp_path):
    info = PngImagePlugin.PngInfo()
    info.add_itxt("XML:com.adobe.xmp", packet("<e:AISystemUsed>M</e:AISystemUsed>"), zip=False)
    content = encoded(photo(64, 64), "PNG", pnginfo=info)
    start = content.index(b"iTXt") - 4
    length = struct.unpack(">I", content[start : start + 4])[0] + 12
    text, rest = content[start : start + length], content[:start] + content[start + length :]
    (tmp_path / "a.png").write_bytes(rest[:-12] + text + rest[-12:])
    with open_picture(tmp_path / "a.png") as opened:
        assert "xmp" not in opened.picture.info
        assert read_rights(opened).ai_system == "M"


BOMB = '<!DOCTYPE x [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;">]>'
MARK = "0123456789ABCDEF" * 2
MORE = packet("<e:AISystemUsed>M</e:AISystemUsed>").encode()


def portion(begins, body, *, whole=None, mark=MARK):
    whole = len(MORE) if whole is None else whole
    return b"http://ns.adobe.com/xmp/extension/\0" + struct.pack(">32sII", mark.encode(), whole, begins) + body


@pytest.fixture
def read_extended(tmp_path):
    """A JPEG whose packet says that there is more, and the portions given."""

    def written(*portions):
        start = packet("", f'xmlns:xmpNote="http://ns.adobe.com/xmp/note/" xmpNote:HasExtendedXMP="{MARK}"')
        content = encoded(photo(64, 64), "JPEG", xmp=start.encode())
        segments = b"".join(b"\xff\xe1" + struct.pack(">H", len(one) + 2) + one for one in portions)
        (tmp_path / "a.jpg").write_bytes(content[:2] + segments + content[2:])
        with open_picture(tmp_path / "a.jpg") as opened:
            return read_rights(opened)

    return written


def test_portions_of_a_long_packet_are_put_in_order_and_strangers_left_out(read_extended):
    others = portion(0, b"<", whole=1, mark="F" * 32)
    assert read_extended(portion(40, MORE[40:]), others, portion(0, MORE[:40])) == EmbeddedRights(ai_system="M")


def test_a_picture_in_a_long_packet_is_passed_over(read_extended):
    attribute = f'xmlns:g="http://example.org/g/" g:Data="{"QUJD" * (LARGEST_XMP // 3)}"'
    more = packet("<e:AISystemUsed>M</e:AISystemUsed>", attribute).encode()
    portions = (portion(at, more[at : at + 65400], whole=len(more)) for at in range(0, len(more), 65400))
    assert len(more) > LARGEST_XMP
    assert read_extended(*portions) == EmbeddedRights(ai_system="M")


@pytest.mark.parametrize(
    "portions",
    [
        (),
        (portion(0, MORE[:40]),),
        (portion(40, MORE[40:]),),
        (portion(0, MORE[:40]), portion(30, MORE[30:])),
        (portion(0, MORE[:40]), portion(40, MORE[40:], whole=len(MORE) + 1)),
        (portion(0, MORE, whole=0xFFFFFFFF),),
        (portion(0xFFFFFFFF, MORE),),
        (portion(0, MORE)[:60],),
        (portion(0, b"<not xml", whole=8),),
        (portion(0, BOMB.encode() + MORE, whole=len(BOMB.encode() + MORE)),),
    ],
)
def test_portions_that_do_not_fit_together_are_damaged(read_extended, portions):
    assert read_extended(*portions) == EmbeddedRights(is_damaged=True)


def test_a_long_packet_too_large_is_not_read(read_extended):
    more = packet(f"<e:AISystemUsed>{'m ' * LARGEST_XMP}</e:AISystemUsed>").encode()
    portions = (portion(at, more[at : at + 65400], whole=len(more)) for at in range(0, len(more), 65400))
    assert read_extended(*portions) == EmbeddedRights(is_damaged=True)


@pytest.mark.parametrize("text", ["", "\niptc\n", "\niptc\n  99\n1c", "\niptc\n x\n1c02", "\niptc\n -5\nzz", "8BIM"])
def test_damaged_iim_in_a_png_says_nothing(tmp_path, text):
    info = PngImagePlugin.PngInfo()
    info.add_text("Raw profile type iptc", text, zip=True)
    (tmp_path / "a.png").write_bytes(encoded(photo(64, 64), "PNG", pnginfo=info))
    with open_picture(tmp_path / "a.png") as opened:
        assert read_rights(opened) is None


def test_iim_in_a_png_may_be_wrapped_once_more(tmp_path):
    records = b"\x1c\x02\x50\x00\x06Sample"
    wrapped = b"8BIM\x04\x04\0\0" + struct.pack(">I", len(records)) + records + b"\0"
    info = PngImagePlugin.PngInfo()
    info.add_text("Raw profile type iptc", f"\niptc\n{len(wrapped):8}\n{wrapped.hex()}\n", zip=True)
    (tmp_path / "a.png").write_bytes(encoded(photo(64, 64), "PNG", pnginfo=info))
    with open_picture(tmp_path / "a.png") as opened:
        assert read_rights(opened) == EmbeddedRights(creators=("Sample",))


def test_references_are_asked_and_photos_are_not(tmp_path):
    (tmp_path / "in").mkdir()
    (tmp_path / "in" / "a.jpg").write_bytes(
        encoded(photo(64, 64), "JPEG", xmp=packet("<e:AISystemUsed>M</e:AISystemUsed>").encode())
    )
    assert read_one(tmp_path / "in", "a.jpg", role=Role.REFERENCE).facts.rights.ai_system == "M"
    assert read_one(tmp_path / "in", "a.jpg", role=Role.PHOTO).facts.rights is None


# Bad input

OUTSIDE = '<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/hostname">]>'
FETCH = '<!DOCTYPE x SYSTEM "http://127.0.0.1:9/x.dtd">'
BROKEN = [
    BOMB + packet("<e:AISystemUsed>&b;</e:AISystemUsed>"),
    OUTSIDE + packet("<e:AISystemUsed>&a;</e:AISystemUsed>"),
    FETCH + packet("<e:AISystemUsed>M</e:AISystemUsed>"),
    packet("<e:AISystemUsed>cut off")[:-60],
    packet("<e:AISystemUsed>&unknown;</e:AISystemUsed>"),
    "<" * 5000,
    "not xml at all",
    '<?xml version="1.0" encoding="x-unheard-of"?><a/>',
    b"\xff\xfe\x00<",
    b"<?xml version='1.0' encoding='utf-8'?><a>\xff\xfe</a>",
]


@pytest.mark.parametrize("xmp", BROKEN)
def test_a_packet_that_is_broken_or_harmful_is_damaged_and_says_nothing(read, xmp):
    assert read(xmp) == EmbeddedRights(is_damaged=True)


def test_deep_nesting_does_no_harm(read):
    inner = "<e:ArtworkOrObject>" * 1500 + "</e:ArtworkOrObject>" * 1500
    assert read(packet(inner)) in (None, EmbeddedRights(is_damaged=True))


def test_a_packet_too_large_is_not_read(tmp_path):
    path = tmp_path / "a.webp"
    path.write_bytes(
        encoded(photo(64, 64), "WEBP", xmp=packet(f"<e:AISystemUsed>{'m' * LARGEST_XMP}</e:AISystemUsed>").encode())
    )
    with open_picture(path) as opened:
        assert read_rights(opened) == EmbeddedRights(is_damaged=True)


def test_long_and_many_values_are_cut(read):
    items = "".join(f"<rdf:li>{n}{'x' * 2 * LONGEST_TEXT}</rdf:li>" for n in range(3 * MOST_VALUES))
    creators = read(packet(f"<dc:creator><rdf:Seq>{items}</rdf:Seq></dc:creator>")).creators
    assert (len(creators), {len(text) for text in creators}) == (MOST_VALUES, {LONGEST_TEXT})


def test_signs_nobody_sees_are_left_out(read):
    found = read(packet("<e:AISystemUsed>A\u202eB\u200b\u2066\u0085\nC  D</e:AISystemUsed>"))
    assert found.ai_system == "AB C D"


@pytest.mark.parametrize(
    "records",
    [
        b"\x1c\x02\x50\x80\x04\xff\xff\xff\xff",  # an extended length of 4 GB
        b"\x1c\x02\x50\x00\x03\x00\x00\x00",  # nothing but zero bytes
        b"\x1c" * 300,
        b"",
    ],
)
def test_damaged_iim_says_nothing(tmp_path, records):
    body = b"Photoshop 3.0\0" + b"8BIM\x04\x04\0\0" + struct.pack(">I", len(records)) + records
    assert jpeg_with(tmp_path / "a.jpg", 0xED, body) is None


def test_iim_cut_short_says_what_is_left(tmp_path):
    records = b"\x1c\x02\x50\x00\x40short"
    body = b"Photoshop 3.0\0" + b"8BIM\x04\x04\0\0" + struct.pack(">I", len(records)) + records
    assert jpeg_with(tmp_path / "a.jpg", 0xED, body) == EmbeddedRights(creators=("short",))


@pytest.mark.parametrize("cut", [10, 20, 30, 40])
def test_cut_exif_says_nothing_or_what_is_left(tmp_path, cut):
    exif = Image.Exif()
    exif[0x013B] = "A. Sample"
    found = jpeg_with(tmp_path / "a.jpg", 0xE1, exif.tobytes()[:cut])
    assert found is None or found.creators


@settings(max_examples=150, deadline=None)
@given(
    xmp=st.one_of(
        st.binary(max_size=400), st.text(max_size=400).map(lambda text: packet(text).encode("utf-8", "replace"))
    )
)
def test_nothing_in_a_packet_stops_the_reading(tmp_path_factory, xmp):
    path = tmp_path_factory.getbasetemp() / "any.jpg"
    path.write_bytes(encoded(Image.new("RGB", (16, 16)), "JPEG", xmp=xmp))
    with open_picture(path) as opened:
        found = read_rights(opened)
    assert found is None or isinstance(found, EmbeddedRights)


@settings(max_examples=150, deadline=None)
@given(body=st.binary(max_size=300), number=st.sampled_from((0xE1, 0xED)))
def test_nothing_in_a_segment_stops_the_reading(tmp_path_factory, body, number):
    start = {0xE1: b"Exif\0\0", 0xED: b"Photoshop 3.0\x008BIM\x04\x04\0\0"}[number]
    found = jpeg_with(tmp_path_factory.getbasetemp() / "any.jpg", number, start + body)
    assert found is None or isinstance(found, EmbeddedRights)
