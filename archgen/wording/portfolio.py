"""Sentences and labels of the portfolio, from plain values."""

import re
from collections.abc import Iterator, Sequence
from itertools import takewhile
from urllib.parse import quote

from markupsafe import Markup

from archgen.config import PortfolioSettings
from archgen.languages.language import Language
from archgen.publication.public_catalogue import (
    STAGES,
    PublicCatalogue,
    PublicClaim,
    PublicDesign,
    PublicPhoto,
    PublicPiece,
    slug,
)
from archgen.records.designs.model import DesignState
from archgen.records.model import Side, Stage
from archgen.records.vocabulary.placements import plain_placement_words
from archgen.render.html import lang_attribute, safe_html
from archgen.values.frozen import Value

# Under the artist's words about care, whatever they are.
CARE_CAUTIONS = (
    "This is what your artist advises, not medical advice. Redness that spreads, heat, swelling, pus, fever or a rash: "
    "see a doctor, and say that you have a new tattoo.",
    "Ask a doctor first about an illness, an allergy, medicines, or a pregnancy.",
)
# Styles that have a word in other languages, by their plain name; common practice, no source.
STYLES = (
    *("abstract", "black-and-grey", "blackwork", "botanical", "colour", "dotwork", "engraving", "fine-line", "floral"),
    *("geometric", "illustrative", "japanese", "lettering", "line", "micro-portrait", "minimalist", "neo-traditional"),
    *("ornamental", "portrait", "realism", "traditional", "tribal", "watercolour", "whip-shading"),
)
# Days read well up to two weeks, weeks up to two months, months up to two years.
_DAYS_IN_DAYS, _DAYS_IN_WEEKS, _DAYS_IN_MONTHS, _DAYS_OF_MONTH = 14, 60, 730, 30.44


def claim_lines(claims: Sequence[PublicClaim], spoken: Language) -> tuple[str, ...]:
    """Say what the studio recorded of its inks and supplies; never that it is so."""
    words = {
        "yes": spoken.gettext("As recorded by the studio, every ink and supply in use is %(claim)s."),
        "no": spoken.gettext("As recorded by the studio, not every ink and supply in use is %(claim)s. Ask which."),
        "unknown": spoken.gettext("It is not recorded of every ink and supply in use whether it is %(claim)s. Ask."),
    }
    said = tuple(words[one.answer] % {"claim": one.claim} for one in claims)
    return (*said, spoken.gettext("From labels and makers; nobody else checked it.")) if said else ()


def capital(text: str) -> str:
    """Write the first letter large and leave the others."""
    return text[:1].upper() + text[1:]


def month_words(piece: PublicPiece, spoken: Language) -> str | None:
    """Write when a piece was made; None when that is not recorded."""
    return spoken.month(piece.year, piece.month) if piece.month and piece.year else None


def photo_words(photo: PublicPhoto, spoken: Language) -> str:
    """Write the stage of a photo and how long after the work it was taken."""
    stage = spoken.pgettext("photo", STAGES[photo.stage]) if photo.stage else ""
    if not stage or photo.days_after is None or photo.stage is Stage.IN_PROGRESS:
        return stage
    return spoken.gettext("%(stage)s, %(later)s") % {"stage": stage, "later": _after(photo.days_after, spoken)}


def _after(days: int, spoken: Language) -> str:
    if days == 0:
        return spoken.gettext("the same day")
    if days < _DAYS_IN_DAYS:
        return spoken.counted("%(number)s day later", "%(number)s days later", days)
    if days < _DAYS_IN_WEEKS:
        return spoken.counted("%(number)s week later", "%(number)s weeks later", round(days / 7))
    if days < _DAYS_IN_MONTHS:
        return spoken.counted("%(number)s month later", "%(number)s months later", round(days / _DAYS_OF_MONTH))
    return spoken.counted("%(number)s year later", "%(number)s years later", round(days / 365.25))


def sittings_words(sittings: int, hours: float, spoken: Language) -> str:
    """Write in how many sittings a piece was made, and in how many hours."""
    time = spoken.hours(hours)
    return spoken.counted("%(number)s sitting, %(time)s", "%(number)s sittings, %(time)s", sittings, time=time)


def place_words(piece: PublicPiece, spoken: Language) -> str:
    """Write the place on the body, side last; empty when it is not recorded."""
    if piece.region is None:
        return ""
    place = spoken.pgettext("place", plain_placement_words(piece.region) or "")
    if piece.side in (None, Side.CENTRE):
        return place
    return spoken.gettext("%(place)s, %(side)s") % {"place": place, "side": spoken.pgettext("side", piece.side.value)}


def style_words(style: str, spoken: Language) -> str | None:
    """Say a style in a language, with a large letter; None where it has no word for it."""
    if spoken.is_source:
        return capital(style)
    name = slug(style)
    return capital(spoken.pgettext("style", name)) if spoken.has("style", name) else None


def here_words(settings: PortfolioSettings, spoken: Language, opening_language: str = "") -> tuple[str, ...]:
    """Write where the artist works, from when there is room and in what one pays; what is not said is left out."""
    opening, currency = settings.open_from, settings.currency
    from_then = spoken.gettext("Next free dates: %(when)s")
    said = (
        settings.town,
        opening and safe_html(from_then) % {"when": in_other_language(opening, opening_language, spoken.tag)},
        currency and spoken.gettext("Prices in %(currency)s") % {"currency": spoken.currency(currency)},
    )
    return tuple(part for part in said if part)


def in_other_language(text: str, tag: str, around: str) -> str:
    """Name what a text inside another is written in; as it is where that is the language of the page."""
    return Markup("<span{}>{}</span>").format(lang_attribute(tag, around), text) if tag else text


def heading_and_rest(markdown: str, default: str) -> tuple[str, str]:
    """Part a text from the heading it starts with; without one the default stands above it."""
    match = re.match(r"\s*#\s+(.+?)\s*#*\s*(?:\n|\Z)", markdown)
    return (match[1], markdown[match.end() :]) if match else (default, markdown)


def mail_address(markdown: str) -> str | None:
    """Give the first mail address a text links to; None when there is none."""
    match = re.search(r"[(<](?:mailto:)?([\w.+-]+@[\w-]+(?:\.[\w-]+)+)[)>]", markdown)
    return match[1] if match else None


def questions_in(markdown: str, most: int = 8) -> tuple[str, ...]:
    """Give what a text asks for: the first list below the first mail address, as plain words."""
    mail = mail_address(markdown)
    if mail is None:
        return ()
    lines = markdown[markdown.index(mail) :].splitlines()[1:]
    rows = list(takewhile(lambda line: re.match(_ROW, line) or not line.strip() or line[:1] in " \t", lines))
    joined = re.split(_ROW, "\n".join(rows), flags=re.MULTILINE)[1:]
    return tuple(_plain(row) for row in joined if row.strip())[:most]


# A row of a list in Markdown.
_ROW = r"^\s{0,3}(?:[-*+]|\d+[.)])\s+"


class LetterAbout(Value, frozen=True):
    """What a letter is about: the title of a piece or a design, and the address it was seen at."""

    title: str
    page: str | None = None
    is_design: bool = False


def letter_address(mail: str, about: LetterAbout | None, questions: Sequence[str], spoken: Language) -> str:
    """Write the address of a letter (RFC 6068) about a piece, with room for an answer to each question."""
    subject = spoken.gettext("“%(title)s”") % {"title": about.title} if about else spoken.gettext("A tattoo")
    seen = ""
    if about:
        named = f"{subject} ({about.page})" if about.page else subject
        seen = spoken.gettext(LETTERS[about.is_design]) % {"piece": named}
    asked = "\n".join(f"– {capital(question).rstrip('.:;,')}:\n" for question in questions)
    body = "\n\n".join(part for part in (spoken.gettext("Hello,"), seen, asked) if part) + "\n"
    # Some mail programs take no address longer than 2000 characters (from memory).
    fields = {"subject": subject, "body": body.replace("\n", "\r\n") if len(quote(body)) < _LONGEST else ""}
    said = "&".join(f"{name}={quote(text, safe='')}" for name, text in fields.items() if text)
    return f"mailto:{quote(mail, safe='@')}?{said}"


_LONGEST = 1800
# The first sentence of a letter about a piece, and of one about a design.
LETTERS = ("I saw %(piece)s and would like to ask for a piece.", "I would like to have your design %(piece)s.")
# What a design's state is called beside it.
DESIGN_STATES = {DesignState.FREE: "Available", DesignState.HELD: "Held for somebody", DesignState.TAKEN: "Taken"}


def design_words(design: PublicDesign, cleared: PublicCatalogue, spoken: Language) -> Iterator[str]:
    """Write how large a design is, what it costs and whether it is tattooed more than once, as far as that is said."""
    if size := spoken.size(design.drawn.width_mm, design.drawn.height_mm, cleared.units):
        yield size
    if design.price is not None:
        yield spoken.amount(design.price, cleared.settings.currency)
    if design.again is not None:
        yield spoken.gettext("may be tattooed again") if design.again else spoken.gettext("tattooed once only")


def first_sentence(markdown: str, longest: int = 60) -> str:
    """Give the first short sentence of the running text; empty when there is none so short."""
    _, rest = heading_and_rest(markdown, "")
    for block in re.split(r"\n\s*\n", rest.strip()):
        if re.match(r"\s*([#>*+\-|`<]|\d+[.)])", block):
            continue
        words = _plain(block)
        sentence = re.split(r"(?<=[.!?])\s|(?<=[。！？])", words, maxsplit=1)[0]
        return sentence if len(sentence) <= longest else ""
    return ""


def _plain(markdown: str) -> str:
    """Take links and marks out of a piece of running text."""
    return re.sub(r"\[([^]]*)\]\([^)]*\)|[*_`\\]", r"\1", " ".join(markdown.split()))
