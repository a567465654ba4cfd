"""Who one client is in the records, and what of it names somebody else."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from difflib import get_close_matches

from archgen.catalogue import Catalogue
from archgen.config import Config
from archgen.errors import UsageError
from archgen.languages.house import say, to_say
from archgen.leaks.search import LeakSearch
from archgen.leaks.values.exact import PrivateValue
from archgen.leaks.values.private_values import private_values
from archgen.privacy import marked_texts
from archgen.records.designs.model import Design
from archgen.records.model import Client, DecisionRegister, Piece, Told
from archgen.records.people import People
from archgen.values.frozen import Value

_SENTENCE = re.compile(r"(?<=[.!?;])\s+|\n+")
LEFT_OUT = to_say("[A sentence about somebody else was left out.]")


class ClientRecords(Value, frozen=True):
    """One client.

    Attributes:
        client: What clients.toml has; None when the code stands on pieces alone.
        pieces: The oldest first.
        told: What recalls they were told of.
        designs: Those that are held for them.
    """

    code: str
    client: Client | None
    pieces: tuple[Piece, ...]
    told: tuple[Told, ...]
    designs: tuple[Design, ...] = ()


def find_person(catalogue: Catalogue, typed: str) -> ClientRecords:
    """Find a client by the code, however it is spelled.

    Raises:
        UsageError: Nobody has it.
    """
    people, codes = _people(catalogue)
    code = people.code_of(typed.strip())
    if code not in codes:
        near = get_close_matches(typed.strip(), sorted(codes), 1)
        said = [say("No client has the code “{typed}”.", typed=typed)]
        said += [say("Do you mean {code}?", code=near[0])] if near else []
        raise UsageError(" ".join((*said, say("The page Clients lists them."))))
    pieces = tuple(piece for piece in reversed(catalogue.pieces) if _code(people, piece) == code)
    told = tuple(one for one in catalogue.told if people.code_of(one.client) == code)
    designs = tuple(one for one in catalogue.designs if (holder := _holder(one)) and people.code_of(holder) == code)
    return ClientRecords(code, catalogue.clients.get(code), pieces, told, designs)


def values_of_others(catalogue: Catalogue, person: ClientRecords) -> tuple[PrivateValue, ...]:
    """List by what everybody else can be known: codes, names, contacts; but for what this person shares with them."""
    _, codes = _people(catalogue)
    others = [catalogue.clients.get(code) or Client(code=code) for code in sorted(codes - {person.code})]
    own = " \n ".join(text.text for text in marked_texts(_by_name(person.client or Client(code=person.code))))
    return tuple(value for value in _values_of(catalogue, others) if not LeakSearch([value]).in_text(own))


def values_of_person(catalogue: Catalogue, person: ClientRecords) -> tuple[PrivateValue, ...]:
    """List by what this person can be known."""
    return _values_of(catalogue, [person.client or Client(code=person.code)])


def _values_of(catalogue: Catalogue, clients: Iterable[Client]) -> tuple[PrivateValue, ...]:
    alone = replace(
        catalogue,
        config=Config(catalogue.config.root),
        pieces=(),
        designs=(),
        clients={client.code: _by_name(client) for client in clients},
        inks={},
        supplies=(),
        boxes=(),
        told=(),
        decisions=DecisionRegister(),
        facts={},
    )
    return tuple(value for value in private_values(alone) if value.what != "title of the private archive")


def without_others(text: str, search: LeakSearch) -> tuple[str, int]:
    """Leave out the sentences that name somebody else, and say how many there were."""
    kept, left_out = [], 0
    for sentence in _SENTENCE.split(text):
        is_about_others = bool(search.in_text(sentence))
        left_out += is_about_others
        kept.append(say(LEFT_OUT) if is_about_others else sentence)
    return " ".join(kept).strip(), left_out


def _by_name(client: Client) -> Client:
    """Leave out what the artist noted of somebody: words of a note are nobody's name."""
    return Client(code=client.code, name=client.name, contact=client.contact)


def _people(catalogue: Catalogue) -> tuple[People, set[str]]:
    holders = (holder for design in catalogue.designs if (holder := _holder(design)))
    written = {*_codes_on_pieces(catalogue), *holders, *(one.client for one in catalogue.told)}
    people = People(catalogue.clients, written)
    return people, {*catalogue.clients, *(people.code_of(code) for code in written)}


def _holder(design: Design) -> str | None:
    return design.record.holder if design.record else None


def _codes_on_pieces(catalogue: Catalogue) -> Iterator[str]:
    for piece in catalogue.pieces:
        if piece.record and piece.record.client:
            yield piece.record.client


def _code(people: People, piece: Piece) -> str | None:
    return people.code_of(piece.record.client) if piece.record and piece.record.client else None
