"""List what must never leave the studio, as values that can be looked for; knows records, not files or pages.

What is private, and as what it is looked for, stands in the marks of the fields. A text is looked for as it stands,
however short, and long ones sentence by sentence; where the portfolio says the same words anyway, or where they are two
everyday words, finding them is a question and no certainty. Not looked for, since every page has some: single letters
and everyday words, numbers of fewer than four digits and years. Names of files that are such words are looked for with
their ending, prices where a currency stands beside them, codes of up to three signs where they stand by themselves.
All limits are common practice, no source.
"""

import re
from collections.abc import Iterable, Iterator, Mapping

from msgspec.structs import replace

from archgen.catalogue import Catalogue
from archgen.doubles.paths import piece_of
from archgen.leaks.values.contacts import mail_addresses, telephone_numbers, written_around
from archgen.leaks.values.exact import PrivateValue, exact, is_mixed
from archgen.leaks.values.of_files import file_values, folder_values
from archgen.leaks.values.prices import is_telling, plain_amount
from archgen.leaks.values.public_words import PublicWords, Standing
from archgen.leaks.values.spellings import Way, is_short_code, spelled
from archgen.plain_text import words_of
from archgen.privacy import Mark, MarkedText, Public, Sought, marked_texts
from archgen.publication.decision import Publication
from archgen.publication.public_catalogue import slug

NAME_LETTERS = 5
# What cameras and programs write into every picture, from memory.
_OF_PROGRAMS = re.compile(
    r"(?:olympus|minolta|konica minolta|sony|samsung|kodak|nikon|canon|casio|pentax|fuji(?:film)?|panasonic) "
    r"(?:digital camera|dsc|camera)|created with .*|screenshot|edited with .*|made with .*|default|ascii|unknown"
)


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
    # The second piece that says the same has nothing new to look for, and most of what pieces say many of them do.
    said: set[tuple[Mark, str, bool, bool]] = set()
    for piece, texts in _told_by(catalogue):
        is_shown = publications is None or publications[piece].shown
        for text in texts:
            same = (text.mark, text.text, text.name == "title", is_shown)
            if same in said:
                continue
            said.add(same)
            found = _values(text, public)
            if isinstance(text.mark, Public):
                found = _not_shown(text, public, is_shown=is_shown)
            yield from (replace(value, piece=piece) for value in found)


def _told_by(catalogue: Catalogue) -> Iterator[tuple[str, Iterable[MarkedText]]]:
    """Give the texts of every piece and every design, by its id."""
    yield from ((piece.id, marked_texts(piece)) for piece in catalogue.pieces)
    for design in catalogue.designs:
        of_folder = (text for text in marked_texts(design.bare) if text.name != "id")  # the folder's name says it
        yield design.id, (*(marked_texts(design.record) if design.record else ()), *of_folder)


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
    sought = marked.mark.sought
    if sought is Sought.FILE and "://" in text:
        sought = Sought.ADDRESS
    if values := _VALUES.get(sought):
        yield from values(what, text, public)


def _code(what: str, text: str, public: PublicWords) -> Iterator[PrivateValue]:
    found = exact(what, text, public, is_distinct=True)
    if is_short_code(text):
        # One that is only letters may be a word.
        has_digit = any(map(str.isdigit, text))
        found = (replace(value, way=Way.CODE, sure=value.sure and has_digit) for value in found)
    yield from found


def _price(what: str, text: str, public: PublicWords) -> Iterator[PrivateValue]:
    amount = float(text)
    if is_telling(amount) and plain_amount(amount) not in public.prices:
        yield PrivateValue(what, plain_amount(amount), sure=False, way=Way.PRICE)


def _text(what: str, text: str, public: PublicWords) -> Iterator[PrivateValue]:
    yield from exact(what, text, public)
    lines = [line.strip() for line in re.split(r"(?<=[.!?;:])\s+|\n+", text)]
    for line in lines if len(lines) > 1 else ():
        if len(words_of(line).split()) > 1:
            yield from exact(what, line, public)
    yield from _reachable(what, text, public)


def _of_the_trade(what: str, text: str, public: PublicWords) -> Iterator[PrivateValue]:
    """Look for words of the trade; one, or two small ones, prove nothing, nor does what the portfolio always says."""
    standing, words = public.standing(text), len(words_of(text).split())
    is_anybodys = (words == 1 or (words == 2 and text.islower())) and not is_mixed(text)
    if standing is not Standing.FIXED and not (is_anybodys and standing is Standing.RUNNING):
        yield from (replace(value, sure=value.sure and not is_anybodys) for value in exact(what, text, public))


def _reachable(what: str, text: str, public: PublicWords) -> Iterator[PrivateValue]:
    """Look for the mail addresses and telephone numbers in a text."""
    for address in mail_addresses(text):
        sure = public.standing(address) is Standing.NOWHERE
        for spelling in (address, *written_around(address)):
            yield PrivateValue(what, spelling, sure=sure)
    for number in telephone_numbers(text):
        yield PrivateValue(what, number, way=Way.NUMBER)


def _contact(what: str, text: str, public: PublicWords) -> Iterator[PrivateValue]:
    yield from exact(what, text, public)
    for part in re.split(r"[,;|\n]+", text):
        if len(words_of(part).split()) > 1 or re.search(r"\d", part):
            yield from exact(what, part, public)
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
        yield PrivateValue(f"part of a {what}", nickname, sure=is_mixed(nickname))
    for part in parts if len(parts) > 1 else ():
        if is_mixed(part) or ((len(part) >= NAME_LETTERS or not part.isascii()) and not public.has_word(part)):
            yield PrivateValue(f"part of a {what}", part, sure=is_mixed(part))
    yield from _reachable(what, name, public)


def _is_name_of_nobody_else(name: str, public: PublicWords) -> bool:
    """A whole name in a story is a find; one word, or the artist's own name, may be chance."""
    standing = public.standing(name)
    return standing is Standing.NOWHERE or (standing is Standing.RUNNING and len(words_of(name).split()) > 1)


def _address(what: str, text: str, public: PublicWords) -> Iterator[PrivateValue]:
    if public.standing(text) is not Standing.FIXED:
        yield from exact(what, re.sub(r"^[a-z]+://(?:www\.)?", "", text.strip(), flags=re.IGNORECASE), public)


def _of_pictures(catalogue: Catalogue, public: PublicWords) -> Iterator[PrivateValue]:
    """Give what the files of the pictures say; a number of a camera belongs to no piece alone."""
    for facts in catalogue.facts.values():
        for number in facts.serials:
            if len(set(re.findall(r"\d", number))) > 1:
                yield from exact("serial number of a camera or lens", number, public)
    for path, facts in catalogue.facts.items():
        for text in facts.texts:
            if _is_own(text) and public.standing(text) in (Standing.NOWHERE, Standing.ORDINARY):
                yield from (replace(value, piece=piece_of(path)) for value in exact(_OF_FILE, text, public))


def _is_own(text: str) -> bool:
    """Say whether a text in a file is more than one word and not what every file of a camera or program says."""
    words = words_of(text).split()
    return (len(words) > 1 or is_mixed(text)) and not _OF_PROGRAMS.fullmatch(" ".join(words))


_OF_FILE = "text in the file of a picture"

_VALUES = {
    Sought.TEXT: _text,
    Sought.TRADE: _of_the_trade,
    Sought.NAME: _name,
    Sought.CONTACT: _contact,
    Sought.CODE: _code,
    Sought.ADDRESS: _address,
    Sought.FILE: file_values,
    Sought.FOLDER: folder_values,
    Sought.PRICE: _price,
}
