"""What machines read of the portfolio: schema.org data, Open Graph, Atom feed, site map, robots.txt.

Sources: schema.org (VisualArtwork, ImageObject, QuantitativeValue, TattooParlor), the Open Graph protocol, RFC 4287
(Atom), RFC 3339 (dates), sitemaps.org 0.9 with the image extension 1.1, RFC 9309 (robots), UN/CEFACT common code MMT
for millimetres.
"""

import json
import re
import uuid
from collections.abc import Iterable
from itertools import product
from xml.etree import ElementTree as ET

from markupsafe import Markup

from archgen.config import PortfolioSettings
from archgen.languages.language import language
from archgen.outputs.portfolio.paths import FEED, HOME, absolute, quoted
from archgen.outputs.site_pages import PagePicture
from archgen.picture_facts.facts import Derivative
from archgen.publication.public_catalogue import (
    PublicCatalogue,
    PublicPiece,
    language_folder,
    photo_copies,
    piece_path,
)
from archgen.render.html import lang_attribute, safe_html
from archgen.render.markdown import to_html
from archgen.wording.portfolio import photo_words

_ATOM = "http://www.w3.org/2005/Atom"
_SITEMAP = "http://www.sitemaps.org/schemas/sitemap/0.9"
_XHTML = "http://www.w3.org/1999/xhtml"
_IMAGES = "http://www.google.com/schemas/sitemap-image/1.1"
# What XML 1.0 does not allow in a document at all.
_NOT_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
# Pieces in the feed: a reader asks for it again and again, and wants what is new.
FEED_PIECES = 40
# Product tokens of those who gather for trained models and of nobody who answers searches (from memory). More come
# every year, so what really counts stands in the pictures themselves.
_LEARNERS = (
    "Applebot-Extended", "Bytespider", "CCBot", "ClaudeBot", "GPTBot", "Google-Extended", "Meta-ExternalAgent",
)  # fmt: skip
_NO_DATE = "1970-01-01T00:00:00Z"


def site_json_ld(cleared: PublicCatalogue) -> Markup:
    """Describe the site, and the studio in its town."""
    settings = cleared.settings
    data: dict[str, object] = {
        "@context": "https://schema.org",
        "@type": "WebSite",
        "name": settings.title,
        "description": settings.description,
        "url": absolute(settings.url, f"{cleared.folder}{HOME}"),
        "inLanguage": cleared.language,
        "creator": _artist(settings),
        "about": _studio(settings),
    }
    return _script(data)


def _studio(settings: PortfolioSettings) -> dict[str, object] | None:
    """Describe where the artist works; None without a town. TattooParlor is a LocalBusiness of schema.org."""
    if not settings.town:
        return None
    return {
        "@type": "TattooParlor",
        "name": settings.artist or settings.title,
        "url": absolute(settings.url, HOME),
        "address": {"@type": "PostalAddress", "addressLocality": settings.town},
        "currenciesAccepted": settings.currency,
    }


def piece_json_ld(piece: PublicPiece, cleared: PublicCatalogue) -> Markup:
    """Describe a piece and its photos, with the artist's rights to them."""
    settings = cleared.settings
    data: dict[str, object] = {
        "@context": "https://schema.org",
        "@type": "VisualArtwork",
        "name": piece.title,
        "url": absolute(settings.url, f"{cleared.folder}{piece_path(piece)}"),
        "artform": "Tattoo",
        "artMedium": "Tattoo ink",
        "artworkSurface": "Skin",
        "creator": _artist(settings),
        "dateCreated": f"{piece.year:04}-{piece.month:02}" if piece.year and piece.month else None,
        "width": _length(piece.width_mm),
        "height": _length(piece.height_mm),
        "genre": list(piece.styles),
        "keywords": list(piece.subjects),
        "image": [_photo(piece, number, cleared) for number in range(len(piece.photos))],
    }
    return _script(data)


def _photo(piece: PublicPiece, number: int, cleared: PublicCatalogue) -> dict[str, object]:
    settings, photo = cleared.settings, piece.photos[number]
    copy, path = largest_copy(piece, number)
    return {
        "@type": "ImageObject",
        "contentUrl": absolute(settings.url, path) or f"../{_way_back(cleared)}{quoted(path)}",
        "width": copy.width,
        "height": copy.height,
        "caption": photo_words(photo, language(cleared.language)),
        "creator": {"@type": "Person", "name": settings.creator} if settings.creator else None,
        "copyrightNotice": settings.copyright,
        "creditText": settings.credit,
        "license": settings.rights_url,
        "acquireLicensePage": settings.licensor_url,
    }


def _way_back(cleared: PublicCatalogue) -> str:
    """Give the way from the folder of a language to that of the site."""
    return "../" * cleared.folder.count("/")


def largest_copy(piece: PublicPiece, number: int) -> tuple[Derivative, str]:
    """Give the largest copy of a photo that everybody reads, and its path."""
    return photo_copies(piece, number)[-1]


def _artist(settings: PortfolioSettings) -> dict[str, object]:
    return {"@type": "Person", "name": settings.artist or settings.title}


def _length(millimetres: float | None) -> dict[str, object] | None:
    if millimetres is None:
        return None
    return {"@type": "QuantitativeValue", "value": round(float(millimetres), 1), "unitCode": "MMT"}


def _script(data: dict[str, object]) -> Markup:
    # No character of HTML may stand in a script element, whatever the artist typed.
    text = json.dumps(_recorded(data), ensure_ascii=False, separators=(",", ":"))
    for character in "<>&\u2028\u2029":
        text = text.replace(character, f"\\u{ord(character):04x}")
    return safe_html(text)


def _recorded(value: object) -> object:
    """Leave out what is not recorded, at every depth."""
    if isinstance(value, dict):
        kept = {key: _recorded(item) for key, item in value.items()}
        return {key: item for key, item in kept.items() if item not in (None, "", [], {})}
    if isinstance(value, list):
        return [_recorded(item) for item in value]
    return value


def open_graph(
    settings: PortfolioSettings, path: str, title: str, description: str | None, image: PagePicture | None
) -> tuple[tuple[str, str], ...]:
    """Describe a page for those who pass its address on; addresses must be whole, so without one there is nothing."""
    address = absolute(settings.url, path)
    if address is None:
        return ()
    kind = "website" if path.rpartition("/")[2] == HOME else "article"
    found = [("og:title", title), ("og:type", kind), ("og:url", address)]
    found.append(("og:site_name", settings.title))
    if description:
        found.append(("og:description", description))
    if image:
        found.append(("og:image", f"{(settings.url or '').rstrip('/')}/{image.src}"))
        found += [("og:image:width", str(image.width)), ("og:image:height", str(image.height))]
        found.append(("og:image:alt", image.alt))
    return tuple(found)


def atom_feed(cleared: PublicCatalogue) -> bytes:
    """Write the feed of the newest pieces, newest first, each with its first picture.

    Dates are the first of the month, the day stays private.
    """
    settings, folder = cleared.settings, cleared.folder
    feed = ET.Element("feed", {"xmlns": _ATOM, "xml:lang": cleared.language})
    _add(feed, "id", absolute(settings.url, f"{folder}{HOME}") or _urn(f"{folder}{settings.title}"))
    _add(feed, "title", settings.title)
    if settings.description:
        _add(feed, "subtitle", settings.description)
    _add(feed, "updated", max(map(_updated, cleared.pieces), default=_NO_DATE))
    _add(_add(feed, "author"), "name", settings.artist or settings.title)
    _link(feed, absolute(settings.url, f"{folder}{HOME}") or HOME)
    _link(feed, absolute(settings.url, f"{folder}{FEED}") or FEED, rel="self")
    for piece in sorted(cleared.pieces, key=_updated, reverse=True)[:FEED_PIECES]:
        entry = _add(feed, "entry")
        path = piece_path(piece)
        address = absolute(settings.url, f"{folder}{path}")
        _add(entry, "id", address or _urn(f"{folder}{settings.title}/{piece.slug}"))
        title = _add(entry, "title", piece.title)
        if piece.title_language:
            title.set("xml:lang", piece.title_language)
        _add(entry, "updated", _updated(piece))
        _link(entry, address or quoted(path))
        _link(entry, _picture_address(piece, cleared), rel="enclosure", type="image/webp")
        for style in piece.styles:
            ET.SubElement(entry, "category", {"term": _xml(style)})
        _add(entry, "content", _entry_html(piece, cleared)).set("type", "html")
    return _document(feed)


def _picture_address(piece: PublicPiece, cleared: PublicCatalogue) -> str:
    path = largest_copy(piece, 0)[1]
    return absolute(cleared.settings.url, path) or f"{_way_back(cleared)}{quoted(path)}"


def _entry_html(piece: PublicPiece, cleared: PublicCatalogue) -> str:
    """Show the first photo and tell the story, as a reader of feeds shows it."""
    photo, address = piece.photos[0], _picture_address(piece, cleared)
    picture = Markup('<p><img src="{}" alt="{}"{}></p>').format(
        address, photo.alt, lang_attribute(photo.alt_language, cleared.language)
    )
    story = to_html(piece.story, 2) if piece.story else Markup()
    if piece.story_language and story:
        story = Markup("<div{}>{}</div>").format(lang_attribute(piece.story_language, cleared.language), story)
    return str(picture + story)


def _updated(piece: PublicPiece) -> str:
    return f"{piece.year:04}-{piece.month:02}-01T00:00:00Z" if piece.year and piece.month else _NO_DATE


def _urn(name: str) -> str:
    """Give an id that stays the same from build to build where the site has no address of its own."""
    return uuid.uuid5(uuid.NAMESPACE_URL, name).urn


def site_map(cleared: PublicCatalogue, paths: Iterable[str]) -> bytes | None:
    """Write the list of pages for search engines, with the photos of each piece; None without the site's address.

    Args:
        cleared: The portfolio in its main language.
        paths: Of the pages in it; each is in all the other languages too, and names them all.
    """
    settings, url = cleared.settings, cleared.settings.url
    if not url:
        return None
    folders = {tag: language_folder(tag) for tag in settings.languages[1:]}
    root = ET.Element("urlset", {"xmlns": _SITEMAP, "xmlns:image": _IMAGES})
    if folders:
        root.set("xmlns:xhtml", _XHTML)
        folders = {settings.languages[0]: "", **folders}
    pieces = {piece_path(piece): piece for piece in cleared.pieces}
    for folder, path in product(folders.values() or ("",), list(paths)):
        page = _add(root, "url")
        _add(page, "loc", absolute(url, f"{folder}{path}") or "")
        for tag, other in folders.items():
            address = absolute(url, f"{other}{path}") or ""
            ET.SubElement(page, "xhtml:link", {"rel": "alternate", "hreflang": tag, "href": _xml(address)})
        if piece := pieces.get(path):
            for number in range(len(piece.photos)):
                _add(_add(page, "image:image"), "image:loc", absolute(url, largest_copy(piece, number)[1]) or "")
    return _document(root)


def robots(settings: PortfolioSettings) -> bytes:
    """Let every page be found, say where the list of pages is, and keep those out who gather for trained models.

    The last only where the artist wants it so.
    """
    lines = ["User-agent: *", "Allow: /"]
    if settings.model_training is False:
        lines += ["", *(f"User-agent: {name}" for name in _LEARNERS), "Disallow: /"]
    if settings.url:
        lines += ["", f"Sitemap: {absolute(settings.url, 'sitemap.xml')}"]
    return ("\n".join(lines) + "\n").encode()


def _add(parent: ET.Element, name: str, text: str | None = None) -> ET.Element:
    element = ET.SubElement(parent, name)
    element.text = _xml(text) if text is not None else None
    return element


def _link(parent: ET.Element, address: str, rel: str = "alternate", **more: str) -> None:
    ET.SubElement(parent, "link", {"rel": rel, "href": _xml(address), **more})


def _xml(text: str) -> str:
    return _NOT_XML.sub("", text)


def _document(root: ET.Element) -> bytes:
    ET.indent(root)
    text: bytes = ET.tostring(root, encoding="utf-8", xml_declaration=True)
    return text + b"\n"
