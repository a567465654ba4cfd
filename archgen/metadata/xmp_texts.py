"""Walk an XMP packet: the name and the text of everything in it; knows XML, not what a property means."""

from collections.abc import Iterator
from typing import NamedTuple
from xml.etree.ElementTree import Element, ParseError

from defusedxml.ElementTree import fromstring

LARGEST = 1 << 22
RDF = "http://www.w3.org/1999/02/22-rdf-syntax-ns#"


class UnreadablePacketError(ValueError):
    """A packet that isn't sound XML."""


class XmpText(NamedTuple):
    """An element or attribute: its namespace and name, its own text, the namespace of the property it belongs to.

    An item of a list belongs to the property whose list it is; its own namespace is that of RDF.
    """

    space: str
    name: str
    text: str
    belongs_to: str


def xmp_texts(packet: bytes) -> list[XmpText]:
    """Give everything in a packet, in its order.

    Raises:
        UnreadablePacketError: It is too long, no XML, or has document types or entities.
    """
    packet = packet.strip(b"\0 \r\n\t")
    if not packet:
        return []
    if len(packet) > LARGEST:
        raise UnreadablePacketError("too long")
    try:
        root = fromstring(packet, forbid_dtd=True)
    except (ParseError, ValueError, LookupError) as error:
        raise UnreadablePacketError(str(error)) from error
    return list(_walk(root))


def _walk(root: Element) -> Iterator[XmpText]:
    waiting = [(root, "")]
    while waiting:
        element, above = waiting.pop()
        space, name = _split(element.tag)
        belongs_to = above if space == RDF else space
        yield XmpText(space, name, (element.text or "").strip(), belongs_to)
        for key, text in element.attrib.items():
            own, attribute = _split(key)
            yield XmpText(own, attribute, text.strip(), belongs_to if own in ("", RDF) else own)
        waiting += [(child, belongs_to) for child in reversed(element)]


def _split(tag: str) -> tuple[str, str]:
    space, _, name = tag.rpartition("}")
    return space.removeprefix("{"), name
