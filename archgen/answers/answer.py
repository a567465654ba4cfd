"""An answer to a question, in words and as what it writes; nothing here knows pages or the network."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from archgen.languages.house import say
from archgen.toml.statements import Way
from archgen.writing.record_text import AddTable, Edit, RemoveKey, SetKey
from archgen.writing.values import toml_key, toml_value


@dataclass(frozen=True, slots=True)
class PenAnswer:
    """What one touch says and writes.

    Attributes:
        edits: Of the file the question is about.
        typed: The way to the key that a typed text is written to; then `words` is the label of its field, and `edits`
            are written with it.
        kind: What may be typed: text or date.
        offered: What stands in the field already.
    """

    words: str
    edits: tuple[Edit, ...] = ()
    typed: Way | None = None
    kind: str = "text"
    offered: str = ""

    @property
    def lines(self) -> str:
        """Give the lines it writes."""
        return written_as(self.edits)


def written_as(edits: Sequence[Edit]) -> str:
    """Write edits as the lines a person would type."""
    blocks: dict[str, list[str]] = {}
    for number, edit in enumerate(edits):
        if isinstance(edit, AddTable):
            pairs = [_pair(key, value) for key, value in edit.values.items() if value is not None]
            blocks[f"[[{_name(edit.way)}]]{' ' * number}"] = pairs
            continue
        table = _header(edit.way[:-1])
        if isinstance(edit, SetKey):
            blocks.setdefault(table, []).append(_pair(str(edit.way[-1]), edit.value))
        elif isinstance(edit, RemoveKey):
            last = edit.way[-1]
            name = say("this {table}", table=edit.way[-2]) if isinstance(last, int) else last
            blocks.setdefault(table, []).append(f"# {say('without {name}', name=name)}")
    return "\n".join("\n".join([*([header.strip()] if header else []), *pairs]) for header, pairs in blocks.items())


def _header(way: Way) -> str:
    if not way:
        return ""
    return f"[[{_name(way)}]]" if isinstance(way[-1], int) else f"[{_name(way)}]"


def _name(way: Way) -> str:
    return ".".join(toml_key(step) for step in way if isinstance(step, str))


def _pair(key: str, value: object) -> str:
    return f"{toml_key(key)} = {toml_value(value)}"


def set_all(table: Way, values: Mapping[str, object]) -> tuple[Edit, ...]:
    """Give the edits that write several keys of one table."""
    return tuple(SetKey((*table, key), value) for key, value in values.items())  # type: ignore[arg-type]
