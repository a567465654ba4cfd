"""Rights inside picture files: an XMP packet, an IPTC IIM block, and both put into a JPEG.

Names: IPTC Photo Metadata Standard; blocks: XMP part 3 (APP1) and IIM 4.2 in a Photoshop resource (APP13), all as
ExifTool's tables list them.
"""

import struct
from dataclasses import dataclass
from xml.sax.saxutils import escape

SOURCE_TYPES = "http://cv.iptc.org/newscodes/digitalsourcetype/"
XMP_MARKER = b"http://ns.adobe.com/xap/1.0/\0"
SPACES = {
    "dc": "http://purl.org/dc/elements/1.1/",
    "photoshop": "http://ns.adobe.com/photoshop/1.0/",
    "xmpRights": "http://ns.adobe.com/xap/1.0/rights/",
    "Iptc4xmpExt": "http://iptc.org/std/Iptc4xmpExt/2008-02-29/",
}


@dataclass(frozen=True, slots=True)
class Rights:
    """What a picture file says about its own rights; empty means not said."""

    creator: str = ""
    notice: str = ""
    credit: str = ""
    statement_url: str = ""
    usage: str = ""
    instructions: str = ""
    digital_source: str = ""
    ai_system: str = ""
    iim: bool = True


def xmp_packet(rights: Rights) -> bytes:
    """Write the XMP packet."""
    body = [
        _simple("photoshop:Credit", rights.credit),
        _simple("photoshop:Instructions", rights.instructions),
        _simple("xmpRights:WebStatement", rights.statement_url),
        _simple("Iptc4xmpExt:DigitalSourceType", SOURCE_TYPES + rights.digital_source if rights.digital_source else ""),
        _simple("Iptc4xmpExt:AISystemUsed", rights.ai_system),
        _listed("dc:creator", "Seq", "", rights.creator),
        _listed("dc:rights", "Alt", ' xml:lang="x-default"', rights.notice),
        _listed("xmpRights:UsageTerms", "Alt", ' xml:lang="x-default"', rights.usage),
    ]
    spaces = "".join(f' xmlns:{prefix}="{url}"' for prefix, url in SPACES.items())
    return (
        '<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>\n<x:xmpmeta xmlns:x="adobe:ns:meta/">\n'
        '<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">\n'
        f'<rdf:Description rdf:about=""{spaces}>\n{"".join(body)}</rdf:Description>\n'
        '</rdf:RDF>\n</x:xmpmeta>\n<?xpacket end="w"?>'
    ).encode()


def iim_block(rights: Rights) -> bytes:
    """Write the IPTC IIM records as a Photoshop resource (APP13 payload), in UTF-8."""
    records = _dataset(1, 90, b"\x1b%G") + _dataset(2, 0, b"\0\x04")
    for number, words in ((40, rights.instructions), (80, rights.creator), (110, rights.credit), (116, rights.notice)):
        if words:
            records += _dataset(2, number, words.encode())
    padded = records + bytes(len(records) % 2)
    return b"Photoshop 3.0\0" + b"8BIM" + struct.pack(">HHI", 0x0404, 0, len(records)) + padded


def with_rights(jpeg: bytes, rights: Rights) -> bytes:
    """Put the blocks behind the JPEG's first segments (JFIF, EXIF)."""
    at = 2
    while jpeg[at + 1] in (0xE0, 0xE1):
        at += 2 + int.from_bytes(jpeg[at + 2 : at + 4], "big")
    added = _segment(0xE1, XMP_MARKER + xmp_packet(rights))
    if rights.iim:
        added += _segment(0xED, iim_block(rights))
    return jpeg[:at] + added + jpeg[at:]


def _segment(marker: int, payload: bytes) -> bytes:
    return bytes((0xFF, marker)) + struct.pack(">H", len(payload) + 2) + payload


def _dataset(record: int, number: int, data: bytes) -> bytes:
    return struct.pack(">BBBH", 0x1C, record, number, len(data)) + data


def _simple(name: str, words: str) -> str:
    return f"<{name}>{escape(words)}</{name}>\n" if words else ""


def _listed(name: str, kind: str, attribute: str, words: str) -> str:
    item = f"<rdf:{kind}><rdf:li{attribute}>{escape(words)}</rdf:li></rdf:{kind}>"
    return f"<{name}>{item}</{name}>\n" if words else ""
