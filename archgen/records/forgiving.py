"""Read all that can be read of a record, and ask about the rest: what is not understood costs nothing but itself.

A value that is not understood is left out of the record and kept beside it as it was written; a key that is one slip
away from another is read as that; one that is understood though a record would have it otherwise is used. What decides
about publication (`strictness`) is understood in its own words only, and whoever publishes looks at its problems.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from typing import Any, Generic, TypeVar

from archgen.findings import Severity
from archgen.languages.house import say
from archgen.records.model import AsWritten, PieceRecord, Record
from archgen.records.schema import read_record, table_of, tidy, without_blanks
from archgen.records.typed.blanks import blank_answers
from archgen.records.typed.field import Spot, how_to_write, kind_at, read_value
from archgen.records.typed.raw_record import GONE, RawRecord, joined
from archgen.records.typed.reading import Habits, Reading
from archgen.records.typed.strictness import DECISIVE, DECISIVE_NAMES, LISTS, TELLING, is_strict, is_telling
from archgen.toml.kinds import Many, Table, ValueKind, field_words
from archgen.toml.problem import Problem, nearest, shown
from archgen.toml.slips import is_same_word, one_slip_away

R = TypeVar("R", bound=Record)


# Each round takes one layer off: a key, its value, the values in it, the entry that lacks it then.
_MOST_ROUNDS = 12
# What one text stands for where a table of several keys is expected: needle = "3RL".
_MAIN_KEYS = {
    "size": "width",
    "placement": "region",
    "sitting": "date",
    "healing": "note",
    "needle": "code",
    "ink": "name",
    "stencil": "file",
    "photo": "file",
    "price": "charged",
    "values": "note",
}
# Keys of the file itself that something unknown may have been, where it may keep something from being shown.
_TOP = (*DECISIVE, *TELLING, "photo")
# Recalled it is, whichever of two days it was.
_EVEN_IF_DOUBTFUL = ".recalled"


@dataclass(frozen=True, slots=True)
class ForgivingReading(Generic[R]):
    """A table of the model as far as it is understood.

    Attributes:
        record: None only when nothing at all could be made of it.
        problems: What is asked, at most once each; keys are those of the record as read.
        as_written: What was left out.
        lines: Of the record as read.
    """

    record: R | None
    problems: tuple[Problem, ...] = ()
    as_written: tuple[AsWritten, ...] = ()
    lines: Mapping[str, int] = field(default_factory=dict)


def read_forgivingly(
    raw: Mapping[str, Any], model: type[R], lines: Mapping[str, int], habits: Habits, title: str = ""
) -> ForgivingReading[R]:
    """Read a table of the model as far as it is understood; `title` stands for a missing one."""
    is_piece = model is PieceRecord
    kept, blank = (tidy(raw), blank_answers(raw, lines)) if is_piece else (dict(raw), [])
    record, problems = read_record(kept, model, lines)
    if record is None:
        return _Settling(kept, model, lines, habits, title).settled(problems, blank)
    return ForgivingReading(record, tuple(said for said, _ in blank), tuple(written for _, written in blank), lines)


class _Settling(Generic[R]):
    """One table on its way to a record: what is left of it, what is asked, what was left out."""

    def __init__(
        self, raw: Mapping[str, Any], model: type[R], lines: Mapping[str, int], habits: Habits, title: str
    ) -> None:
        self._raw = RawRecord(without_blanks(raw), lines)
        self._model, self._habits, self._title = model, habits, title

    def settled(self, problems: Iterable[Problem], blank: Iterable[tuple[Problem, AsWritten]]) -> ForgivingReading[R]:
        """Take one layer of problems after the other, until a record comes out; `blank` is known beforehand."""
        for said, written in blank:
            self._raw.told.append(said)
            self._raw.written.append(written)
        record: R | None = None
        for _ in range(_MOST_ROUNDS):
            for problem in problems:
                self._take(problem)
            self._raw.sweep()
            record, problems = read_record(self._raw.kept, self._model, self._raw.lines)
            if record is not None:
                break
        else:
            record = self._sound_keys()
        return ForgivingReading(record, tuple(self._raw.told), tuple(self._raw.written), self._raw.lines)

    def _sound_keys(self) -> R | None:
        """Keep the keys of the file that can be read by themselves: for what no round has settled."""
        base = {"title": self._title} if self._model is PieceRecord else {}
        sound = {
            key: value
            for key, value in self._raw.kept.items()
            if read_record({**base, key: value}, self._model, self._raw.lines)[0] is not None
        }
        for key in self._raw.kept.keys() - sound.keys():
            text = say("{key} can't be read.", key=_where(key))
            self._raw.told.append(Problem("broken", key, self._raw.lines.get(key), text, say("Write it again.")))
        return read_record({**base, **sound}, self._model, self._raw.lines)[0]

    def _is_strict(self, key: str) -> bool:
        return self._model is PieceRecord and is_strict(key)

    def _weight(self, key: str) -> Severity:
        """Say how much it matters that a value is left out: an error where it may keep something from being shown."""
        may_hold = self._model is PieceRecord and (is_strict(key) or is_telling(key))
        may_hold = may_hold or key.endswith(_EVEN_IF_DOUBTFUL)
        return Severity.ERROR if may_hold else Severity.WARNING

    # ------------------------------------------------------------ one problem

    def _take(self, problem: Problem) -> None:
        if problem.code == "missing-key":
            self._lacks(problem)
        elif problem.code == "unknown-key":
            self._unknown(problem)
        else:
            self._misread(problem)

    def _lacks(self, problem: Problem) -> None:
        """Do without a table that lacks what it needs; a piece without a title has its folder's name."""
        if not problem.key:
            if self._model is PieceRecord:
                self._raw.kept["title"] = self._title or "Untitled"
                text = say("No title yet: what is it called? Until then the folder's name stands for it.")
                self._raw.tell(Problem("missing-key", "", 1, text, say('Add title = "Barn owl", with your own.')))
            return
        found = self._raw.at(problem.key)
        if found is GONE:
            return
        self._raw.leave_out(problem.key)
        is_decisive = self._is_strict(problem.key) or problem.key.split(".")[0] == "photo"
        self._raw.tell(problem, severity=Severity.ERROR if is_decisive else Severity.WARNING)

    def _unknown(self, problem: Problem) -> None:
        """Read a key as the one it is one slip away from, where nothing decisive is near."""
        parent, _, name = problem.key.rpartition(".")
        # A key may hold a dot itself: then the walk's path is not the way to it.
        table = self._raw.at(parent)
        if not isinstance(table, dict) or name not in table:
            parent, name, table = self._owner(problem.key)
        kind = kind_at(parent, self._model)
        fields = kind.fields if isinstance(kind, Table) else {}
        near = [one for one in one_slip_away(name, fields) if one not in table]
        # A key that belongs into another table is a slip of none: side is not size.
        if not any(is_same_word(name, one) for one in near) and name in _names_of(self._model):
            near = []
        if len(near) == 1 and not self._may_decide(parent, name, near[0], table[name]):
            self._raw.rename(parent, name, near[0])
            if not is_same_word(name, near[0]):
                text = say("{field}: is that {near}?", field=_where(parent, shown(name)), near=near[0])
                remedy = say("It is read so until you say. Write {near} in its place.", near=near[0])
                self._raw.tell(
                    Problem("unknown-key", joined(parent, near[0]), problem.line, text, remedy, Severity.WARNING)
                )
            return
        value = table.pop(name)
        self._raw.keep(problem.key, value)
        is_decisive = parent.split(".")[0] == "photo" or self._may_decide(parent, name, "", value)
        self._raw.tell(problem, severity=Severity.ERROR if is_decisive else Severity.WARNING)

    def _owner(self, key: str) -> tuple[str, str, dict[str, Any]]:
        """Find the table of a key that holds dots itself: the longest way that leads to a table."""
        steps = key.split(".")
        for length in range(len(steps) - 1, -1, -1):
            parent, name = ".".join(steps[:length]), ".".join(steps[length:])
            table = self._raw.at(parent)
            if isinstance(table, dict) and name in table:
                return parent, name, table
        return "", key, {key: None}

    def _may_decide(self, parent: str, name: str, near: str, value: Any) -> bool:
        """Say whether a key that is not known may be about publication: by its place, its name, or what it holds."""
        if self._model is not PieceRecord:
            return False
        if self._is_strict(joined(parent, name)) or (near and self._is_strict(joined(parent, near))):
            return True
        if one_slip_away(name, DECISIVE_NAMES) or (not parent and not near and nearest(name, _TOP)):
            return True
        return any(one_slip_away(key, DECISIVE_NAMES) for key in _keys_in(value)) and near != "photo"

    def _misread(self, problem: Problem) -> None:
        key = self._whole_list(problem.key)
        kind, value = kind_at(key, self._model), self._raw.at(key)
        if value is GONE or kind is None:
            return
        strict = self._is_strict(key)
        parent = self._raw.at(key.rpartition(".")[0])
        shaped = None if strict else _in_shape(kind, value, key)
        if shaped is not None:
            self._raw.put(key, shaped)
            return
        beside = parent if isinstance(parent, dict) else {}
        spot = Spot(key, strict, beside)
        reading = Reading() if isinstance(kind, Table) else read_value(kind, value, spot, self._habits)
        if key.endswith(_EVEN_IF_DOUBTFUL) and reading.value is None and reading.choices:
            first = reading.choices[0]
            reading = replace(reading, value=first.value, words=first.words)
        if strict or reading.value is None:
            self._not_understood(key, problem, reading, strict=strict)
            return
        self._raw.put(key, reading.value)
        for name, other in reading.beside:
            if kind_at(joined(key.rpartition(".")[0], name), self._model):
                beside.setdefault(name, other)
        if reading.question:
            remedy = say(
                "It is read as {words} until you say. Write {key} = {value}.",
                words=reading.words,
                key=key.rpartition(".")[2],
                value=shown(reading.value),
            )
            self._raw.tell(Problem("doubtful", key, None, _asked(key, reading), remedy, Severity.WARNING))

    def _not_understood(self, key: str, problem: Problem, reading: Reading, *, strict: bool) -> None:
        kind, value = kind_at(key, self._model), self._raw.at(key)
        self._raw.leave_out(key)
        if not reading.question:
            self._raw.tell(problem, severity=self._weight(key))
            return
        asked = replace(problem, key=problem.key if strict else key, problem=_asked(key, reading))
        name = key.rpartition(".")[2]
        if strict and problem.code == "unknown-word":
            asked = replace(asked, remedy=how_to_write(name, kind, value))
        elif not strict and reading.choices:
            example = shown(reading.choices[0].value)
            written = example if name.isdecimal() else f"{name} = {example}"
            asked = replace(asked, remedy=say("It is kept as you wrote it. Write {line}, for instance.", line=written))
        self._raw.tell(asked, severity=self._weight(key))

    def _whole_list(self, key: str) -> str:
        """Cut a way short at a list of decisive words: with one not understood nobody knows what the others mean."""
        if not self._is_strict(key):
            return key
        steps = key.split(".")
        number = next((number for number, step in enumerate(steps) if step in _WORD_LISTS), len(steps))
        return ".".join(steps[: number + 1])


_WORD_LISTS = frozenset(key for keys in LISTS.values() for key in keys)


@cache
def _names_of(model: type[Record]) -> frozenset[str]:
    """Give the names of all keys of a model, at any depth."""
    return frozenset(_names_in(table_of(model)))


def _names_in(kind: ValueKind) -> Iterable[str]:
    if isinstance(kind, Many):
        yield from _names_in(kind.item)
    elif isinstance(kind, Table):
        for name, inner in kind.fields.items():
            yield name
            yield from _names_in(inner)


def _keys_in(value: Any) -> Iterable[str]:
    for table in value if isinstance(value, list) else (value,):
        if isinstance(table, dict):
            yield from table


def _in_shape(kind: ValueKind, value: Any, key: str) -> Any:
    """Give tables that are written in another way than they are kept: one that should be several, or the reverse."""
    name = next((step for step in reversed(key.split(".")) if not step.isdecimal()), "")
    main = _MAIN_KEYS.get(name)
    if isinstance(kind, Many) and isinstance(kind.item, Table):
        if isinstance(value, dict):
            return [value]
        return [{main: value}] if main and not isinstance(value, list) else None
    if not isinstance(kind, Table):
        return None
    if isinstance(value, list) and value and all(isinstance(item, dict) for item in value):
        merged: dict[str, Any] = {}
        for item in reversed(value):
            merged |= item
        return merged
    return {main: value} if main and not isinstance(value, dict | list) else None


def _asked(key: str, reading: Reading) -> str:
    return f"{_where(key)} {reading.question}"


def _where(key: str, name: str = "") -> str:
    """Name a dotted key for a question: "Sitting 2, date"; with `name` the thing in the table of that key."""
    steps = [step for step in key.split(".") if step]
    words: list[str] = []
    for step in steps:
        if step.isdecimal() and words:
            words[-1] += f" {int(step) + 1}"
        else:
            words.append(field_words(step))
    text = ", ".join([*words, *([name] if name else [])])
    return f"{text[:1].upper()}{text[1:]}"
