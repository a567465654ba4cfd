"""List what must never leave the studio, as values that can be looked for; knows records, not files or pages.

What is private, and as what it is looked for, stands in the marks of the fields. A text is looked for as it stands,
however short, and long ones sentence by sentence; where the portfolio says the same words anyway, or where they are two
everyday words, finding them is a question and no certainty. Not looked for, since every page has some: single letters
and everyday words, numbers of fewer than four digits and years, names of files that are such words or numbers alone.
All limits are common practice, no source.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from archgen.catalogue import Catalogue
from archgen.leaks.values.contacts import mail_addresses, telephone_numbers, written_around
from archgen.leaks.values.names import stem_of, without_size
from archgen.leaks.values.ordinary_words import ORDINARY
from archgen.leaks.values.public_words import PublicWords, Standing
from archgen.leaks.values.spellings import Way, spelled
from archgen.plain_text import words_of
from archgen.privacy import MarkedText, Public, Sought, marked_texts
from archgen.publication.decision import Publication
from archgen.publication.public_catalogue import slug

NAME_LETTERS, SENTENCE_SIGNS, SENTENCE_WORDS, CAMERA_DIGITS = 5, 20, 4, 3
_YEAR = re.compile(r"(?:19|20)\d\d")
# What cameras and programs write into every picture, from memory.
_OF_PROGRAMS = re.compile(
    r"(?:olympus|minolta|konica minolta|sony|samsung|kodak|nikon|canon|casio|pentax|fuji(?:film)?|panasonic) "
    r"(?:digital camera|dsc|camera)|created with .*|screenshot|edited with .*|made with .*|default|ascii|unknown"
)


@dataclass(frozen=True, slots=True)
class PrivateValue:
    """One value to look for.

    Attributes:
        what: What it is, in plain words.
        sure: Whether finding it is a certainty; else it may be words that anybody uses.
        way: How it is compared.
    """

    what: str
    value: str
    piece: str | None = None
    sure: bool = True
    way: Way = Way.WORDS


def private_values(
    catalogue: Catalogue, publications: Mapping[str, Publication] | None = None
) -> tuple[PrivateValue, ...]:
    """List every private value of an archive that can be looked for, each once.

    Without `publications` nothing is known of what is shown: whatever may be public of a piece then counts as public.
    """
    public = PublicWords(catalogue, publications)
    found: dict[tuple[Way, str], PrivateValue] = {}
    for value in (*_of_records(catalogue, publications, public), *_of_pictures(catalogue, public)):
        plain = spelled(value.value)
        if plain and len(plain.joined) > 1:
            key = value.way, f"{plain.joined} {sorted(plain.gaps)}"
            known = found.setdefault(key, value)
            if value.sure and not known.sure:
                found[key] = value
    return tuple(found.values())


def _of_records(
    catalogue: Catalogue, publications: Mapping[str, Publication] | None, public: PublicWords
) -> Iterator[PrivateValue]:
    registers = (
        *catalogue.clients.values(), *catalogue.inks.values(), *catalogue.supplies, *catalogue.boxes, *catalogue.told,
        *catalogue.decisions.same, *catalogue.decisions.different, catalogue.config,
    )  # fmt: skip
    for record in registers:
        for text in marked_texts(record):
            if not isinstance(text.mark, Public):
                yield from _values(text, public)
    for piece in catalogue.pieces:
        is_shown = publications is None or publications[piece.id].shown
        for text in marked_texts(piece):
            found = _values(text, public)
            if isinstance(text.mark, Public):
                found = _not_shown(text, public, is_shown=is_shown)
            yield from (replace(value, piece=piece.id) for value in found)


def _not_shown(text: MarkedText, public: PublicWords, *, is_shown: bool) -> Iterator[PrivateValue]:
    """Give the values of a text that may be public but is not: of a piece not shown, or left out of a shown one."""
    standing = public.standing(text.text)
    if standing is Standing.FIXED or (standing is Standing.RUNNING and (is_shown or text.name != "title")):
        return
    what = text.mark.what if is_shown else f"{text.mark.what} of a piece that is not shown"
    yield from (replace(value, what=what) for value in _values(text, public))
    if text.name == "title" and public.standing(slug(text.text)) is not Standing.FIXED:
        yield PrivateValue(what, slug(text.text), way=Way.NAME)


def _values(marked: MarkedText, public: PublicWords) -> Iterator[PrivateValue]:
    what, text = marked.mark.what, marked.text
    match marked.mark.sought:
        case Sought.TEXT:
            yield from _text(what, text, public)
        case Sought.TRADE:
            yield from _of_the_trade(what, text, public)
        case Sought.NAME:
            yield from _name(what, text, public)
        case Sought.CONTACT:
            yield from _contact(what, text, public)
        case Sought.CODE:
            yield from _exact(what, text, public, is_distinct=True)
        case Sought.ADDRESS:
            yield from _address(what, text, public)
        case Sought.FILE if "://" in text:
            yield from _address(what, text, public)
        case Sought.FILE:
            yield from _file(what, text, public)
        case Sought.FOLDER:
            yield from _folder(what, text, public)


def _exact(what: str, text: str, public: PublicWords, *, is_distinct: bool = False) -> Iterator[PrivateValue]:
    """Look for a text as it stands, as surely as its words allow; nobody writes what is distinct by chance."""
    plain = words_of(text).strip()
    digits = plain.replace(" ", "")
    if digits.isdigit() and (len(digits) < 4 or _YEAR.fullmatch(plain)):
        return
    if plain in ORDINARY:
        return
    standing = public.standing(text)
    is_long = len(plain.split()) >= SENTENCE_WORDS and len(plain) >= SENTENCE_SIGNS
    # A number, or a whole sentence of a private note, that stands in a story slipped into it.
    has_slipped = standing is Standing.RUNNING and (is_distinct or is_long or _is_mixed(text))
    is_small_number = digits.isdigit() and len(digits) < 5
    yield PrivateValue(what, text.strip(), sure=(standing is Standing.NOWHERE or has_slipped) and not is_small_number)


def _text(what: str, text: str, public: PublicWords) -> Iterator[PrivateValue]:
    yield from _exact(what, text, public)
    lines = [line.strip() for line in re.split(r"(?<=[.!?;:])\s+|\n+", text)]
    for line in lines if len(lines) > 1 else ():
        if len(words_of(line).split()) > 1:
            yield from _exact(what, line, public)
    yield from _reachable(what, text, public)


def _of_the_trade(what: str, text: str, public: PublicWords) -> Iterator[PrivateValue]:
    """Look for words of the trade; one word alone, or what the portfolio calls its own work, proves nothing."""
    standing, is_one_word = public.standing(text), len(words_of(text).split()) == 1 and not _is_mixed(text)
    if standing is not Standing.FIXED and not (is_one_word and standing is Standing.RUNNING):
        yield from (replace(value, sure=value.sure and not is_one_word) for value in _exact(what, text, public))


def _reachable(what: str, text: str, public: PublicWords) -> Iterator[PrivateValue]:
    """Look for the mail addresses and telephone numbers in a text."""
    for address in mail_addresses(text):
        sure = public.standing(address) is Standing.NOWHERE
        for spelling in (address, *written_around(address)):
            yield PrivateValue(what, spelling, sure=sure)
    for number in telephone_numbers(text):
        yield PrivateValue(what, number, way=Way.NUMBER)


def _contact(what: str, text: str, public: PublicWords) -> Iterator[PrivateValue]:
    yield from _exact(what, text, public)
    for part in re.split(r"[,;|\n]+", text):
        if len(words_of(part).split()) > 1 or re.search(r"\d", part):
            yield from _exact(what, part, public)
    yield from _reachable(what, text, public)


def _name(what: str, name: str, public: PublicWords) -> Iterator[PrivateValue]:
    """Look for a name as written, reversed, without what stands in quotes or brackets, and each part by itself."""
    called = re.findall(r"[\"“”„'‘’(\[](.+?)[\"“”'‘’)\]]", name)
    plain = re.sub(r"[\"“”„(\[].+?[\"“”)\]]", " ", name)
    parts = words_of(plain).split()
    yield PrivateValue(what, name, sure=_is_name_of_nobody_else(name, public))
    for spelling in (plain, " ".join((parts[-1], *parts[:-1])), f"{parts[0]} {parts[-1]}") if len(parts) > 1 else ():
        yield PrivateValue(what, spelling, sure=_is_name_of_nobody_else(spelling, public))
    for nickname in called:
        yield PrivateValue(f"part of a {what}", nickname, sure=_is_mixed(nickname))
    for part in parts if len(parts) > 1 else ():
        if _is_mixed(part) or ((len(part) >= NAME_LETTERS or not part.isascii()) and not public.has_word(part)):
            yield PrivateValue(f"part of a {what}", part, sure=_is_mixed(part))
    yield from _reachable(what, name, public)


def _is_name_of_nobody_else(name: str, public: PublicWords) -> bool:
    """A whole name in a story is a find; one word, or the artist's own name, may be chance."""
    standing = public.standing(name)
    return standing is Standing.NOWHERE or (standing is Standing.RUNNING and len(words_of(name).split()) > 1)


def _is_mixed(text: str) -> bool:
    """Say whether letters and digits stand in one word, as in kiki7."""
    return bool(re.search(r"(?=[^\W_]*\d)(?=[^\W_]*[^\W\d_])[^\W_]{3,}", text))


def _address(what: str, text: str, public: PublicWords) -> Iterator[PrivateValue]:
    if public.standing(text) is not Standing.FIXED:
        yield from _exact(what, re.sub(r"^[a-z]+://(?:www\.)?", "", text.strip(), flags=re.IGNORECASE), public)


def _file(what: str, path: str, public: PublicWords) -> Iterator[PrivateValue]:
    stem = stem_of(path)
    words = without_size(words_of(stem).split())
    says_something = not all(word in ORDINARY or word.isdigit() for word in words) or len(words) > 2
    if not says_something and not (len(words) == 1 and len(words[0]) > 4 and words[0].isdigit()):
        return
    if public.standing(" ".join(words)) is Standing.FIXED:  # pages and pictures of the portfolio are named like that
        return
    yield PrivateValue(what, stem, way=Way.NAME)
    if re.search(r"[^\W\d_]", stem) and len(re.findall(r"\d", stem)) >= CAMERA_DIGITS:
        yield from _exact(what, stem, public)


def _folder(what: str, name: str, public: PublicWords) -> Iterator[PrivateValue]:
    if public.standing(name) is Standing.FIXED:
        return
    if len(words_of(name).split()) > 1:
        yield from _exact(what, name, public)
    if not all(word in ORDINARY for word in words_of(name).split()):
        yield PrivateValue(what, name, way=Way.NAME)


def _of_pictures(catalogue: Catalogue, public: PublicWords) -> Iterator[PrivateValue]:
    """Give what the files of the pictures say; a number of a camera belongs to no piece alone."""
    for facts in catalogue.facts.values():
        for number in facts.serials:
            if len(set(re.findall(r"\d", number))) > 1:
                yield from _exact("serial number of a camera or lens", number, public)
    for path, facts in catalogue.facts.items():
        for text in facts.texts:
            if _is_own(text) and public.standing(text) in (Standing.NOWHERE, Standing.ORDINARY):
                yield from (replace(value, piece=path.split("/")[1]) for value in _exact(_OF_FILE, text, public))


def _is_own(text: str) -> bool:
    """Say whether a text in a file is more than one word and not what every file of a camera or program says."""
    words = words_of(text).split()
    return (len(words) > 1 or _is_mixed(text)) and not _OF_PROGRAMS.fullmatch(" ".join(words))


_OF_FILE = "text in the file of a picture"
