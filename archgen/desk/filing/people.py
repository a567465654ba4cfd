"""Clients for the form: names to complete, the code a name means, a code for somebody new."""

import datetime as dt
import re
from collections.abc import Mapping
from dataclasses import dataclass

from archgen.catalogue import Catalogue
from archgen.records.model import Client
from archgen.units import date_words


@dataclass(frozen=True, slots=True)
class Person:
    """A client as the form offers one: the name, or the code where the register has no name."""

    name: str
    code: str
    last: str


@dataclass(frozen=True, slots=True)
class MeantClient:
    """Who is meant: the code; `name` is set where the register needs a new entry."""

    code: str
    name: str | None = None


def people(catalogue: Catalogue) -> tuple[Person, ...]:
    """List all clients, who was here last first."""
    last: dict[str, dt.date] = {}
    for piece in catalogue.pieces:
        if piece.record and piece.record.client and piece.record.finished_on:
            last.setdefault(piece.record.client, piece.record.finished_on)
    known = {**catalogue.clients, **{code: Client(code=code) for code in last if code not in catalogue.clients}}
    ordered = sorted(known.values(), key=lambda one: (-last[one.code].toordinal() if one.code in last else 0, one.code))
    return tuple(
        Person(one.name or one.code, one.code, date_words(last[one.code]) if one.code in last else "")
        for one in ordered
    )


def meant_client(text: str, chosen: str, clients: Mapping[str, Client], used: frozenset[str]) -> MeantClient | None:
    """Say which client a text means: a chosen or typed code, the one person of that name, else somebody new."""
    plain = " ".join(text.split())
    if not plain:
        return None
    codes = {*clients, *used}
    if chosen in codes and (clients.get(chosen) is None or _is_name(clients[chosen], plain) or plain == chosen):
        return MeantClient(chosen)
    typed = next((code for code in codes if code.casefold() == plain.casefold()), None)
    if typed:
        return MeantClient(typed)
    named = [client.code for client in clients.values() if _is_name(client, plain)]
    if len(named) == 1:
        return MeantClient(named[0])
    return MeantClient(next_code(codes), plain)


def _is_name(client: Client, text: str) -> bool:
    return client.name is not None and " ".join(client.name.split()).casefold() == text.casefold()


def next_code(codes: set[str]) -> str:
    """Give the number after the highest one."""
    numbers = [int(match[1]) for code in codes if (match := re.fullmatch(r"C-(\d{1,9})", code))]
    return f"C-{max(numbers, default=0) + 1:04d}"
