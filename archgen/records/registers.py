"""Read the archive's registers: inks, clients, decisions, who was told. One bad entry never hides the others."""

import os
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import TypeVar

from archgen.findings import Finding, Place, Severity
from archgen.languages.house import say
from archgen.records.forgiving import read_forgivingly
from archgen.records.model import (
    Box,
    Client,
    ClientRegister,
    Decision,
    DecisionRegister,
    InkBatch,
    InkRegister,
    Record,
    Supply,
    Told,
    ToldRegister,
)
from archgen.records.people import People
from archgen.records.schema import read_record, table_of
from archgen.records.typed.reading import Habits
from archgen.records.vocabulary.batch_numbers import BatchIndex
from archgen.storage.files import is_inside
from archgen.toml.problem import Problem, hint, nearest, shown
from archgen.toml.recover import parse_forgivingly
from archgen.toml.text import UnreadableTextError, line_of, outside, read_text_in_any_encoding, read_toml

R = TypeVar("R", bound=Record)
INKS, CLIENTS, DECISIONS, TOLD = "inks.toml", "clients.toml", "decisions.toml", "told.toml"


@dataclass
class Registers:
    """The registers as read.

    Attributes:
        ink_lines: Where each batch stands, by its number.
        complete: The files that were there and had no problem, so that a code not found in them is a mistake.
    """

    inks: dict[str, InkBatch] = field(default_factory=dict)
    ink_lines: dict[str, int] = field(default_factory=dict)
    supplies: tuple[Supply, ...] = ()
    boxes: tuple[Box, ...] = ()
    clients: dict[str, Client] = field(default_factory=dict)
    decisions: DecisionRegister = field(default_factory=DecisionRegister)
    decision_lines: Mapping[str, int] = field(default_factory=dict)
    told: tuple[Told, ...] = ()
    complete: set[str] = field(default_factory=set)
    findings: list[Finding] = field(default_factory=list)

    @cached_property
    def people(self) -> People:
        """Give who is who among the clients, however their codes are written."""
        return People(self.clients, ())

    @cached_property
    def ink_numbers(self) -> BatchIndex:
        """Give the batches by their number, however written."""
        return BatchIndex(self.inks)


def finding_of(problem: Problem, file: str, piece: str | None = None) -> Finding:
    """Say which file, and which piece, a problem belongs to."""
    code = problem.code if "." in problem.code else f"record.{problem.code}"
    place = Place(file, problem.line)
    return Finding(code, problem.severity, piece, place, problem.problem, problem.remedy, problem.key)


def read_registers(root: Path, habits: Habits) -> Registers:
    """Read inks.toml, clients.toml, decisions.toml and told.toml; a missing one is empty."""
    registers = Registers()
    inks, ink_lines = _read(root, INKS, InkRegister, registers, habits)
    clients, client_lines = _read(root, CLIENTS, ClientRegister, registers, habits)
    registers.decisions, registers.decision_lines = _read_strictly(root, DECISIONS, DecisionRegister, registers)
    # Half a telling is none: whoever may not have been told is told again.
    told, _ = _read_strictly(root, TOLD, ToldRegister, registers)
    registers.supplies, registers.boxes, registers.told = inks.supply, inks.box, told.told
    batches = [(item.batch, item) for item in inks.batch]
    people = [(item.code, item) for item in clients.client]
    registers.inks = _by_code(batches, INKS, "batch", ink_lines, registers)
    registers.ink_lines = {
        batch: line for n, (batch, _) in reversed([*enumerate(batches)]) if (line := ink_lines.get(f"batch.{n}"))
    }
    registers.clients = _by_code(people, CLIENTS, "client", client_lines, registers)
    return registers


def check_decisions(registers: Registers, pictures: Iterable[str]) -> Iterator[Finding]:
    """Find decisions about pictures that are not there, or about fewer than two; the others hold all the same."""
    known = set(pictures)
    for table in ("same", "different"):
        for number, decision in enumerate(getattr(registers.decisions, table)):
            key = f"{table}.{number}"
            for text, remedy in _decision_problems(decision, known):
                line = line_of(f"{key}.images", registers.decision_lines)
                yield finding_of(Problem("decision", key, line, text, remedy, Severity.NOTE), DECISIONS)


def _decision_problems(decision: Decision, known: set[str]) -> Iterator[tuple[str, str]]:
    for image in dict.fromkeys(decision.images):
        if image not in known:
            remedy = say("Correct its name, or take it out; for the others the decision holds.")
            yield (
                say("{image} isn't a picture of this archive.", image=shown(image)),
                f"{hint(nearest(image, known))}{remedy}",
            )
    if len(set(decision.images)) < 2:
        yield say("A decision is about two pictures at least."), say('Name both: images = ["pieces/…", "pieces/…"].')
    elif decision.keep and decision.keep not in decision.images:
        yield (
            say("keep = {keep} is none of the images of this decision.", keep=shown(decision.keep)),
            say("Name one of them."),
        )


def _read(root: Path, file: str, model: type[R], registers: Registers, habits: Habits) -> tuple[R, Mapping[str, int]]:
    """Read a register as far as it is understood."""
    if not os.path.lexists(root / file):
        return model(), {}
    try:
        if not is_inside(root / file, root):
            raise UnreadableTextError(outside())
        text, wrong = read_text_in_any_encoding(root / file)
    except UnreadableTextError as error:
        registers.findings.append(finding_of(error.problem, file))
        return model(), {}
    toml, broken = parse_forgivingly(text, table_of(model))
    read = read_forgivingly(toml.raw, model, toml.lines, habits)
    problems = [*([wrong] if wrong else []), *broken, *read.problems]
    if all(problem.severity is Severity.NOTE or problem.code == "doubtful" for problem in problems):
        registers.complete.add(file)
    registers.findings += [finding_of(problem, file) for problem in problems]
    return read.record or model(), read.lines


def _read_strictly(root: Path, file: str, model: type[R], registers: Registers) -> tuple[R, dict[str, int]]:
    """Read a register in which an entry that is not understood whole says nothing."""
    if not os.path.lexists(root / file):
        return model(), {}
    try:
        if not is_inside(root / file, root):
            raise UnreadableTextError(outside())
        toml = read_toml(root / file)
    except UnreadableTextError as error:
        registers.findings.append(finding_of(error.problem, file))
        return model(), {}
    record, problems = read_record(toml.raw, model, toml.lines)
    if record is not None:
        registers.complete.add(file)
        return record, toml.lines
    registers.findings += [finding_of(problem, file) for problem in problems]
    kept, _ = read_record(_sound_entries(toml.raw, problems), model, toml.lines)
    return kept or model(), {}


def _sound_entries(raw: dict[str, object], problems: Iterable[Problem]) -> dict[str, object]:
    """Leave out the entries that problems stand against."""
    broken = {match[0] for p in problems if (match := re.match(r"[^.]+\.\d+", p.key))}
    unknown = {p.key for p in problems}
    return {
        key: [entry for n, entry in enumerate(value) if f"{key}.{n}" not in broken]
        for key, value in raw.items()
        if isinstance(value, list) and key not in unknown
    }


def _by_code(
    entries: Iterable[tuple[str, R]], file: str, table: str, lines: Mapping[str, int], registers: Registers
) -> dict[str, R]:
    """Sort entries by their code; of two with the same code the first counts."""
    found: dict[str, R] = {}
    for number, (code, entry) in enumerate(entries):
        if code in found:
            text = say("{code} stands twice in this register; the first entry counts.", code=shown(code))
            remedy = say("Keep one, or correct the other's code.")
            problem = Problem("code-twice", table, lines.get(f"{table}.{number}"), text, remedy)
            registers.findings.append(finding_of(problem, file))
        found.setdefault(code, entry)
    return found
