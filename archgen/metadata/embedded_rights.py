"""Read what a picture file itself says of its rights, in the same opening as its pixels; knows fields, not records.

Fields and names by the IPTC Photo Metadata Standard 2025.1 (Core and Extension, with PLUS), Creative Commons' ccREL in
XMP, IPTC-IIM 4.2 and Exif. Where they disagree XMP counts before IIM, IIM before Exif. A file can say anything: XML is
read without document types, entities and addresses, sizes are bounded, characters nobody can see are left out, and
what is damaged counts as not there.
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from xml.etree.ElementTree import Element, ParseError

from defusedxml.ElementTree import fromstring
from PIL import IptcImagePlugin, JpegImagePlugin

from archgen.images.decode import Opened
from archgen.metadata.file_rights import EmbeddedRights
from archgen.metadata.packets import extended_xmp, png_iim, png_xmp

# An XMP packet in one JPEG segment is 64 KB at most; what is larger holds editing histories.
LARGEST_XMP = 1 << 20
LONGEST_TEXT = 500
MOST_VALUES = 20

_RDF = "{http://www.w3.org/1999/02/22-rdf-syntax-ns#}"
_XML = "{http://www.w3.org/XML/1998/namespace}"
_DC = "{http://purl.org/dc/elements/1.1/}"
_RIGHTS = "{http://ns.adobe.com/xap/1.0/rights/}"
_PHOTOSHOP = "{http://ns.adobe.com/photoshop/1.0/}"
_PLUS = "{http://ns.useplus.org/ldf/xmp/1.0/}"
_EXT = "{http://iptc.org/std/Iptc4xmpExt/2008-02-29/}"
_HAS_MORE = "{http://ns.adobe.com/xmp/note/}HasExtendedXMP"
_CC = "{http://creativecommons.org/ns#}"
_VOCABULARIES = re.compile(
    r"https?://(?:ns\.useplus\.org/ldf/vocab|cv\.iptc\.org/newscodes/digitalsourcetype)/([\w-]+)/?"
)
_UNSEEN = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u200b\u200e\u200f\u202a-\u202e\u2060-\u206f\ud800-\udfff\ufeff\ufffe\uffff]"
)
_IIM = 0x0404
_UTF8 = b"\x1b%G"  # IIM 1:90, ISO 2022


def read_rights(opened: Opened) -> EmbeddedRights | None:
    """Read what a file says of its rights; None when it says nothing."""
    xmp, is_damaged = _xmp(opened)
    iim = _iim(opened)
    artist, notice = _exif(opened)
    found = EmbeddedRights(
        creators=xmp.texts(f"{_DC}creator") or iim.get(80, ()) or artist,
        copyright_notice=xmp.text(f"{_DC}rights") or _first(iim.get(116, ())) or _first(notice),
        copyright_owners=xmp.texts(f"{_PLUS}CopyrightOwner", f"{_PLUS}CopyrightOwnerName"),
        copyright_status=xmp.text(f"{_PLUS}CopyrightStatus"),
        credit=xmp.text(f"{_PHOTOSHOP}Credit") or _first(iim.get(110, ())),
        source=xmp.text(f"{_PHOTOSHOP}Source") or _first(iim.get(115, ())),
        instructions=xmp.text(f"{_PHOTOSHOP}Instructions") or _first(iim.get(40, ())),
        usage_terms=xmp.text(f"{_RIGHTS}UsageTerms"),
        other_constraints=xmp.text(f"{_PLUS}OtherConstraints"),
        web_statement=xmp.text(f"{_RIGHTS}WebStatement"),
        licence=xmp.text(f"{_CC}license"),
        attribution_name=xmp.text(f"{_CC}attributionName"),
        attribution_url=xmp.text(f"{_CC}attributionURL"),
        licensors=xmp.texts(f"{_PLUS}Licensor", f"{_PLUS}LicensorName"),
        licensor_url=_first(xmp.texts(f"{_PLUS}Licensor", f"{_PLUS}LicensorURL")) or xmp.text(f"{_PLUS}LicensorURL"),
        credit_required=xmp.text(f"{_PLUS}CreditLineRequired"),
        constraints=xmp.texts(f"{_PLUS}ImageAlterationConstraints"),
        model_release=xmp.text(f"{_PLUS}ModelReleaseStatus"),
        property_release=xmp.text(f"{_PLUS}PropertyReleaseStatus"),
        minor_age=xmp.text(f"{_PLUS}MinorModelAgeDisclosure"),
        people=xmp.texts(f"{_EXT}PersonInImage") or xmp.texts(f"{_EXT}PersonInImageWDetails", f"{_EXT}PersonName"),
        data_mining=xmp.text(f"{_PLUS}DataMining"),
        digital_source=xmp.text(f"{_EXT}DigitalSourceType"),
        ai_system=xmp.text(f"{_EXT}AISystemUsed"),
        ai_version=xmp.text(f"{_EXT}AISystemVersionUsed"),
        artwork_creators=xmp.texts(f"{_EXT}ArtworkOrObject", f"{_EXT}AOCreator"),
        artwork_notice=_first(xmp.texts(f"{_EXT}ArtworkOrObject", f"{_EXT}AOCopyrightNotice")),
        is_damaged=is_damaged,
    )
    return None if found == EmbeddedRights() else found


class _Properties:
    """The properties of an XMP packet by their full name."""

    def __init__(self, values: Mapping[str, list[Element | str]]) -> None:
        self._values = values

    def texts(self, name: str, *fields: str) -> tuple[str, ...]:
        """Give the texts of a property, or of one field of the structures in it; the default language alone."""
        found = [text for value in self._values.get(name, ()) for text in _leaves(value, fields)]
        return _tidy(found)

    def text(self, name: str) -> str | None:
        """Give the first text of a property."""
        return _first(self.texts(name))


def _xmp(opened: Opened) -> tuple[_Properties, bool]:
    """Read the XMP packet and what continues it, and say whether there is something that cannot be read."""
    raw = opened.picture.info.get("xmp") or (png_xmp(opened.stream) if opened.file_format == "PNG" else b"")
    raw = raw.encode(errors="replace") if isinstance(raw, str) else bytes(raw)
    values, is_damaged = _parsed(raw)
    mark = _Properties(values).text(_HAS_MORE)
    if mark is None or opened.file_format != "JPEG":
        return _Properties(values), is_damaged
    rest = extended_xmp(opened.stream, mark)
    more, is_more_damaged = ({}, True) if rest is None else _parsed(rest)
    return _Properties({**more, **values}), is_more_damaged


def _parsed(packet: bytes) -> tuple[dict[str, list[Element | str]], bool]:
    """Give the properties of a packet, and whether it cannot be read."""
    packet = packet.strip(b"\0 \r\n\t")
    if not packet:
        return {}, False
    if len(packet) > LARGEST_XMP:
        return {}, True
    try:
        return _descriptions(fromstring(packet, forbid_dtd=True)), False
    except (ParseError, ValueError, LookupError):  # ValueError is also what a document type or an entity ends in
        return {}, True


def _descriptions(root: Element) -> dict[str, list[Element | str]]:
    """Collect properties of all descriptions: as elements, or as the short form, attributes."""
    values: dict[str, list[Element | str]] = {}
    for rdf in root.iter(f"{_RDF}RDF"):
        for description in rdf.findall(f"{_RDF}Description"):
            for name, text in description.attrib.items():
                values.setdefault(name, []).append(text)
            for child in description:
                values.setdefault(child.tag, []).append(child)
    return values


def _leaves(value: Element | str, fields: tuple[str, ...]) -> Iterator[str]:
    if isinstance(value, str):
        if not fields:
            yield value
        return
    items = _items(value)
    for item in items:
        if fields:
            for part in (item, *item.findall(f"{_RDF}Description")):
                if short := part.get(fields[0]):
                    yield short
                for child in part.findall(fields[0]):
                    yield from _leaves(child, fields[1:])
        else:
            yield item.get(f"{_RDF}resource") or item.text or ""


def _items(value: Element) -> list[Element]:
    """Give the items of a list, of a choice of languages only the default one, else the value itself."""
    for kind in ("Seq", "Bag", "Alt"):
        container = value.find(f"{_RDF}{kind}")
        if container is None:
            continue
        items = container.findall(f"{_RDF}li")[: MOST_VALUES * 5]
        if kind == "Alt":
            default = [item for item in items if item.get(f"{_XML}lang") == "x-default"]
            return (default or items)[:1]
        return items
    return [value]


def _iim(opened: Opened) -> dict[int, tuple[str, ...]]:
    """Read the IPTC-IIM records of a JPEG, TIFF or PNG by number; the other formats have no place for them."""
    picture = opened.picture
    if opened.file_format == "PNG":
        # The reader takes the records of a JPEG only: give it one that has nothing else.
        picture = JpegImagePlugin.JpegImageFile.__new__(JpegImagePlugin.JpegImageFile)
        picture.info = {"photoshop": {_IIM: png_iim(opened.picture)}}
    try:
        sets = IptcImagePlugin.getiptcinfo(picture) or {}
    except Exception:  # damaged blocks make the reader raise almost anything
        return {}
    declared = sets.get((1, 90))
    found = {}
    for number in (40, 80, 110, 115, 116):
        raw = sets.get((2, number))
        values = raw if isinstance(raw, list) else [raw] if raw else []
        found[number] = _tidy(_decoded(value, is_utf8=declared == _UTF8) for value in values)
    return found


def _decoded(raw: bytes, *, is_utf8: bool) -> str:
    """Read a text: as UTF-8 where announced or where it is (many programs do not announce it), else as Latin-1."""
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError:
        return raw.decode("utf-8", errors="replace") if is_utf8 else raw.decode("latin-1")


def _exif(opened: Opened) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Read Artist and Copyright; several artists stand with semicolons between."""
    try:
        exif = opened.picture.getexif()
        artist, notice = (str(exif.get(tag) or "") for tag in (0x013B, 0x8298))
    except Exception:  # damaged tags make the reader raise almost anything
        return (), ()
    return _tidy(artist.split(";")), _tidy([notice.replace("\0", " ")])


def _tidy(texts: Iterable[str]) -> tuple[str, ...]:
    """Keep what can be seen of texts, each once; addresses of vocabularies become their last word."""
    tidied = (" ".join(_UNSEEN.sub("", text).split())[:LONGEST_TEXT].strip() for text in texts)
    plain = (match[1] if (match := _VOCABULARIES.fullmatch(text)) else text for text in tidied)
    return tuple(dict.fromkeys(text for text in plain if text))[:MOST_VALUES]


def _first(texts: tuple[str, ...]) -> str | None:
    return texts[0] if texts else None
