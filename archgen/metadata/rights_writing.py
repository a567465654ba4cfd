"""Write the artist's own rights into a finished JPEG, WebP or AVIF, and nothing else; pixels stay as they are.

Names and places by the IPTC Photo Metadata Standard: Creator (dc:creator), Copyright Notice (dc:rights), Credit Line
(photoshop:Credit), Web Statement of Rights (xmpRights:WebStatement), Licensor URL (plus:LicensorURL), Data Mining
(plus:DataMining); in EXIF Artist and Copyright; in JPEG also IPTC-IIM 2:80, 2:116 and 2:110.
"""

import io
import re
import struct
from html import escape

from PIL import Image

from archgen.metadata.avif_items import NewItem, with_items
from archgen.values.frozen import Value

# IPTC-IIM 4.2 limits, in bytes: By-line and Credit 32, Copyright Notice 128.
_IIM = ((80, "creator", 32), (110, "credit", 32), (116, "copyright", 128))
_XMP_HEADER = b"http://ns.adobe.com/xap/1.0/\x00"
_PHOTOSHOP_HEADER = b"Photoshop 3.0\x00"
_ARTIST, _COPYRIGHT = 0x013B, 0x8298


class OwnRights(Value, frozen=True):
    """What is written into every published picture; what is None is left out.

    `model_training` says whether trained models may learn from it.
    """

    creator: str | None = None
    copyright: str | None = None
    credit: str | None = None
    rights_url: str | None = None
    licensor_url: str | None = None
    model_training: bool | None = None


def mark(content: bytes, marks: OwnRights) -> bytes:
    """Write the marks into a JPEG, WebP or AVIF file that carries no such data yet.

    Raises:
        ValueError: The bytes are none of them.
    """
    if content.startswith(b"\xff\xd8"):
        return _mark_jpeg(content, marks)
    if content.startswith(b"RIFF") and content[8:12] == b"WEBP":
        return _mark_webp(content, marks)
    if content[4:12] == b"ftypavif":
        return _mark_avif(content, marks)
    raise ValueError("rights can be written into JPEG, WebP and AVIF files only")


def xmp_packet(marks: OwnRights) -> bytes:
    """Write the marks as an XMP packet (ISO 16684-1, RDF/XML)."""
    parts = []
    if marks.creator:
        parts.append(f"<dc:creator><rdf:Seq><rdf:li>{_escape(marks.creator)}</rdf:li></rdf:Seq></dc:creator>")
    if marks.copyright:
        text = f'<rdf:li xml:lang="x-default">{_escape(marks.copyright)}</rdf:li>'
        parts.append(f"<dc:rights><rdf:Alt>{text}</rdf:Alt></dc:rights>")
        parts.append("<xmpRights:Marked>True</xmpRights:Marked>")
    if marks.credit:
        parts.append(f"<photoshop:Credit>{_escape(marks.credit)}</photoshop:Credit>")
    if marks.rights_url:
        parts.append(f"<xmpRights:WebStatement>{_escape(marks.rights_url)}</xmpRights:WebStatement>")
    if marks.licensor_url:
        url = f"<plus:LicensorURL>{_escape(marks.licensor_url)}</plus:LicensorURL>"
        parts.append(
            f'<plus:Licensor><rdf:Seq><rdf:li rdf:parseType="Resource">{url}</rdf:li></rdf:Seq></plus:Licensor>'
        )
    if marks.model_training is not None:
        parts.append(f"<plus:DataMining>{_PLUS_WORDS}{_MINING[marks.model_training]}</plus:DataMining>")
    spaces = "".join(f' xmlns:{name}="{uri}"' for name, uri in _NAMESPACES)
    return (
        '<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?><x:xmpmeta xmlns:x="adobe:ns:meta/">'
        '<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">'
        f'<rdf:Description rdf:about=""{spaces}>{"".join(parts)}</rdf:Description></rdf:RDF></x:xmpmeta>'
        '<?xpacket end="r"?>'
    ).encode()


_NAMESPACES = (
    ("dc", "http://purl.org/dc/elements/1.1/"),
    ("photoshop", "http://ns.adobe.com/photoshop/1.0/"),
    ("xmpRights", "http://ns.adobe.com/xap/1.0/rights/"),
    ("plus", "http://ns.useplus.org/ldf/xmp/1.0/"),
)

# PLUS, vocabulary of Data Mining; what is not allowed here is learning, not being found.
_PLUS_WORDS = "http://ns.useplus.org/ldf/vocab/"
_MINING = {False: "DMI-PROHIBITED-AIMLTRAINING", True: "DMI-ALLOWED"}


def _escape(text: str) -> str:
    """Write a text as XML content, without the characters XML 1.0 does not know."""
    return escape(re.sub("[\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff]", "", text), quote=False)


def _exif(marks: OwnRights) -> bytes:
    """Write Artist and Copyright; empty when neither is set."""
    exif = Image.Exif()
    for tag, text in ((_ARTIST, marks.creator), (_COPYRIGHT, marks.copyright)):
        if text:
            exif[tag] = text.encode()
    return exif.tobytes() if len(exif) else b""


def _iim(marks: OwnRights) -> bytes:
    """Write the IPTC-IIM records in a Photoshop resource; UTF-8 is announced by record 1:90."""
    records = b"\x1c\x01\x5a\x00\x03\x1b%G" + b"\x1c\x02\x00\x00\x02\x00\x04"
    written = b""
    for number, name, longest in _IIM:
        text = getattr(marks, name)
        if text:
            raw = text.encode()[:longest].decode(errors="ignore").encode()
            written += b"\x1c\x02" + struct.pack(">BH", number, len(raw)) + raw
    if not written:
        return b""
    records += written
    padded = records + b"\x00" * (len(records) % 2)
    return b"8BIM\x04\x04\x00\x00" + struct.pack(">I", len(records)) + padded


def _mark_jpeg(content: bytes, marks: OwnRights) -> bytes:
    segments = [exif] if (exif := _exif(marks)) else []
    segments.append(_XMP_HEADER + xmp_packet(marks))
    numbers = [0xE1] * len(segments)
    if iim := _iim(marks):
        segments.append(_PHOTOSHOP_HEADER + iim)
        numbers.append(0xED)
    inserted = b"".join(
        bytes((0xFF, number)) + struct.pack(">H", len(segment) + 2) + segment
        for number, segment in zip(numbers, segments, strict=True)
    )
    after = 2
    if content[2:4] == b"\xff\xe0":  # the JFIF header must stay first
        after = 4 + struct.unpack(">H", content[4:6])[0]
    return content[:after] + inserted + content[after:]


# Flags of the VP8X chunk (WebP container specification).
_HAS_XMP, _HAS_EXIF, _HAS_ALPHA = 0x04, 0x08, 0x10


def _mark_webp(content: bytes, marks: OwnRights) -> bytes:
    chunks = [(name, data) for name, data in _webp_chunks(content) if name not in (b"EXIF", b"XMP ")]
    exif = _exif(marks).removeprefix(b"Exif\x00\x00")
    flags = _HAS_XMP | (_HAS_EXIF if exif else 0)
    if chunks[0][0] == b"VP8X":
        header = bytes((chunks[0][1][0] | flags,)) + chunks[0][1][1:]
        chunks = chunks[1:]
    else:
        with Image.open(io.BytesIO(content)) as picture:
            width, height, has_alpha = picture.width, picture.height, picture.mode == "RGBA"
        flags |= _HAS_ALPHA if has_alpha else 0
        header = bytes((flags, 0, 0, 0)) + (width - 1).to_bytes(3, "little") + (height - 1).to_bytes(3, "little")
    body = _webp_chunk(b"VP8X", header) + b"".join(_webp_chunk(name, data) for name, data in chunks)
    if exif:
        body += _webp_chunk(b"EXIF", exif)
    body += _webp_chunk(b"XMP ", xmp_packet(marks))
    return b"RIFF" + struct.pack("<I", len(body) + 4) + b"WEBP" + body


def _mark_avif(content: bytes, marks: OwnRights) -> bytes:
    added = [NewItem(b"mime", b"XMP\0application/rdf+xml\0", xmp_packet(marks))]
    if exif := _exif(marks).removeprefix(b"Exif\x00\x00"):
        # How far in the TIFF header stands comes first.
        added.append(NewItem(b"Exif", b"Exif\0", bytes(4) + exif))
    return with_items(content, added)


def _webp_chunks(content: bytes) -> list[tuple[bytes, bytes]]:
    found, position = [], 12
    while position + 8 <= len(content):
        size = struct.unpack("<I", content[position + 4 : position + 8])[0]
        found.append((content[position : position + 4], content[position + 8 : position + 8 + size]))
        position += 8 + size + size % 2
    return found


def _webp_chunk(name: bytes, data: bytes) -> bytes:
    return name + struct.pack("<I", len(data)) + data + b"\x00" * (len(data) % 2)
