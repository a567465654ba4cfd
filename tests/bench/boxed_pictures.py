"""AVIF and HEIC files to be damaged: as encoders write them, as their boxes may lie too, and what stands in such boxes.

ISO/IEC 14496-12, clause 8.11 (meta, iloc, iinf, iref, idat); ISO/IEC 23008-12 (ipco, ipma, Exif and XMP as items).
"""

import itertools
import struct

from PIL import ImageCms

from archgen.metadata.rights_writing import OwnRights, mark
from tests import leak_manners
from tests.unit.images.pictures import encoded, photo

MARKS = OwnRights(creator="Ada", copyright="2026 Ada", rights_url="https://ada.example", model_training=False)
TOKENS = (
    *(bytes((0, 0, 0, size)) + name for size in (0, 1, 8, 16) for name in (b"meta", b"mdat", b"idat", b"free")),
    *(b"ftypavif", b"ftypheic", b"ftypmif1", b"avis", b"hdlr", b"pitm\0\0\0\0\0\1", b"pitm\1\0\0\0", b"iprp", b"dinf"),
    *(b"\0\0\0\x08iinf", b"\0\0\0\x0eiinf\0\0\0\0\xff\xff", b"iinf\1\0\0\0\x7f\xff\xff\xff", b"infe\3\0\0\0"),
    *(b"\0\0\0\x15infe\2\0\0\0\0\1\0\0mime\0", b"Exif\0\0\0\0\0\0II*\0", b"mime\0application/rdf+xml\0", b"uri \0"),
    *(bytes((version, 0, 0, 0)) for version in (1, 2, 3)),
    *(b"iloc" + bytes((version, 0, 0, 0, sizes, more)) for version, sizes, more in (
        (0, 0, 0), (0, 0x44, 0), (0, 0x88, 0x80), (0, 0xFF, 0xFF), (1, 0x44, 0x44), (1, 0, 0),
        (2, 0x88, 0x88), (3, 4, 4))),
    *(b"\0\1\0\0\xff\xff", b"\0\1\0\1\0\0\0\1", b"\0\1\0\2\0\0\0\1", b"\xff" * 8, b"\x7f" + b"\xff" * 7, bytes(8)),
    *(b"iref\0\0\0\0", b"\0\0\0\x0ecdsc\0\2\0\1\0\1", b"thmb", b"auxl", b"dimg\0\1\xff\xff", b"grid"),
    *(b"ipco", b"ipma\0\0\0\0\xff\xff\xff\xff", b"ipma\1\0\0\1", b"irot\3"),
    *(b"ispe\0\0\0\0" + b"\xff" * 8, b"ispe\0\0\0\0\0\1\0\0\0\1\0\0", b"\0\0\xff\xff\xff\xff"),
    *(b"colrnclx", b"colrprof", b"av1C\x81", b"hvcC\1", b"auxC", b"pixi\0\0\0\0\xff", b"clap", b"pasp\0\0\0\0\0\0\0\0"),
)  # fmt: skip


def box(name, content):
    """Write a box."""
    return struct.pack(">I4s", len(content) + 8, name) + content


def boxed_pictures():
    """Give AVIF and HEIC files with every kind of data an encoder writes, and files laid out in every way."""
    small = photo(40, 30)
    told = {"exif": leak_manners.exif("An owl").tobytes(), "xmp": leak_manners.xmp("Maker")}
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    plain = encoded(small, "AVIF")
    return [
        plain,
        encoded(small, "AVIF", **told),
        encoded(small, "AVIF", icc_profile=profile),
        encoded(small.convert("RGBA"), "AVIF"),
        encoded(small, "AVIF", save_all=True, append_images=[small.transpose(0)]),
        mark(plain, MARKS),
        encoded(small, "HEIF"),
        encoded(small, "HEIF", **told),
        encoded(small, "HEIF", icc_profile=profile),
    ]


def laid_out():
    """Give one picture with an item of text, by each version, construction method and length of numbers of its list."""
    plain = encoded(photo(40, 30), "AVIF")
    at = plain.index(b"meta") - 4
    meta, pixels = plain[at + 12 :], plain[plain.index(b"mdat") + 4 :]
    kept = b"".join(made for name, made in _inside(meta) if name not in (b"iloc", b"iinf", b"mdat"))
    entries = ((1, b"av01\0"), (2, b"mime\0application/rdf+xml\0"))
    listed = b"".join(box(b"infe", struct.pack(">IHH", 0x02000000, number, 0) + named) for number, named in entries)
    listed = box(b"iinf", struct.pack(">IH", 0, len(entries)) + listed)
    text, made = b"<x:xmpmeta>Ada Falkensted</x:xmpmeta>", []
    for version, way, widths in itertools.product(
        (0, 1, 2), (0, 1, 2), ((4, 4, 0, 0), (8, 8, 8, 8), (0, 4, 4, 0), (4, 0, 0, 4), (0, 0, 0, 0))
    ):
        data = box(b"idat", text) if way else b""
        begins = at
        for _ in range(2):  # how long the list is must be known before it can say where the pixels begin
            spans = ((begins, len(pixels), 0), (0 if way else begins + len(pixels), len(text), way))
            whole = box(b"meta", bytes(4) + kept + listed + _places(version, widths, spans) + data)
            begins = at + len(whole) + 8
        made.append(plain[:at] + whole + box(b"mdat", pixels + text))
    return made


def _places(version, widths, spans):
    """Write where items lie: version of the box, bytes of an offset, a length, a base and an index."""
    offset, length, base, index = widths
    wide, index = (2, 4)[version == 2], index * (version > 0)
    written = bytes((version, 0, 0, 0, offset << 4 | length, base << 4 | index)) + len(spans).to_bytes(wide, "big")
    for number, (begin, size, way) in enumerate(spans, 1):
        written += number.to_bytes(wide, "big") + (way.to_bytes(2, "big") if version else b"") + bytes(2)
        written += (0 if offset else begin).to_bytes(base, "big") if base else b""
        written += b"\0\1" + bytes(index)
        written += (begin.to_bytes(offset, "big") if offset else b"") + (
            size.to_bytes(length, "big") if length else b""
        )
    return box(b"iloc", written)


def _inside(content):
    at = 0
    while at + 8 <= len(content):
        length, name = struct.unpack_from(">I4s", content, at)
        yield name, content[at : at + length]
        at += length
