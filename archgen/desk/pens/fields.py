"""The whole record as fields: what stands in it now, and which edits follow from what was written over it."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from archgen.answers.typed import DAYS, SWITCHES, shown_value, typed_value
from archgen.errors import UsageError
from archgen.toml.statements import Way
from archgen.writing.record_text import AddTable, Edit, RemoveKey, SetKey

# How a new element of an array is numbered in the names of fields.
NEW = "new"


@dataclass(frozen=True, slots=True)
class FieldShape:
    """One field of the record.

    Attributes:
        choices: The only words allowed, with what they say; empty: anything may be written.
        suggested: The name of a list of words the artist used before.
    """

    key: str
    label: str
    choices: tuple[tuple[str, str], ...] = ()
    suggested: str = ""
    is_long: bool = False


@dataclass(frozen=True, slots=True)
class TableShape:
    """A table of the record, or an array of tables.

    Attributes:
        name: Empty for what stands first, in no table.
        one: What one of them is called; empty for a table that stands once.
    """

    name: str
    title: str
    fields: tuple[FieldShape, ...]
    one: str = ""


_SIDES = (("left", "left"), ("right", "right"), ("centre", "centre"))
_STAGES = (("in-progress", "in progress"), ("fresh", "fresh"), ("healed", "healed"))
_ANSWERS = (("granted", "yes"), ("refused", "no"), ("withdrawn", "taken back"), ("not-asked", "not asked yet"))
_PEOPLE = (
    ("none", "nobody"),
    ("client", "my client"),
    ("consented", "somebody else, who agreed"),
    ("public-figure", "a public figure"),
    ("minor", "a child"),
    ("unknown", "not known"),
)
_VISITS = (("sitting", "a sitting"), ("touch-up", "a touch-up"))

SHAPES: tuple[TableShape, ...] = (
    TableShape(
        "",
        "The piece",
        (
            FieldShape("title", "Title"),
            FieldShape("client", "Client", suggested="clients"),
            FieldShape("finished", "Finished"),
            FieldShape("styles", "Styles, with commas", suggested="styles"),
            FieldShape("subjects", "What it shows, with commas", suggested="subjects"),
            FieldShape("publish", "For the portfolio"),
        ),
    ),
    TableShape("size", "Size on skin", (FieldShape("width", "Width"), FieldShape("height", "Height"))),
    TableShape(
        "placement",
        "Where on the body",
        (
            FieldShape("region", "Place", suggested="places"),
            FieldShape("side", "Side", _SIDES),
            FieldShape("girth", "Girth there"),
            FieldShape("note", "Note", is_long=True),
        ),
    ),
    TableShape(
        "sitting",
        "Sittings",
        (
            FieldShape("date", "Day"),
            FieldShape("hours", "Time"),
            FieldShape("kind", "Kind", _VISITS),
            FieldShape("note", "Note", is_long=True),
        ),
        one="sitting",
    ),
    TableShape(
        "needle",
        "Needles",
        (
            FieldShape("code", "Needle, as you say it", suggested="needles"),
            FieldShape("use", "Used for"),
            FieldShape("batch", "Box"),
            FieldShape("sterilisation", "Sterilisation batch"),
            FieldShape("expiry", "Sterile until"),
        ),
        one="needle",
    ),
    TableShape(
        "ink",
        "Inks",
        (
            FieldShape("batch", "Number on the label", suggested="inks"),
            FieldShape("name", "Name"),
            FieldShape("maker", "Maker"),
            FieldShape("use", "Used for"),
            FieldShape("expiry", "Good until"),
        ),
        one="ink",
    ),
    TableShape(
        "stencil",
        "Stencils",
        (
            FieldShape("file", "File", suggested="stencils"),
            FieldShape("version", "Version"),
            FieldShape("parent", "Made from version"),
            FieldShape("width", "Printed width of the marks"),
            FieldShape("mirrored", "The file is mirrored"),
            FieldShape("applied", "Went on the skin"),
            FieldShape("held", "How it held"),
            FieldShape("note", "Note", is_long=True),
        ),
        one="stencil",
    ),
    TableShape(
        "photo",
        "Photos",
        (
            FieldShape("file", "File", suggested="photos"),
            FieldShape("stage", "What it shows", _STAGES),
            FieldShape("taken", "Day"),
            FieldShape("alt", "In words, for those who can’t see it", is_long=True),
            FieldShape("cover", "Stands for the piece"),
            FieldShape("publish", "May be shown"),
        ),
        one="photo",
    ),
    TableShape(
        "reference",
        "References",
        (
            FieldShape("file", "File", suggested="references"),
            FieldShape("source", "Where it came from"),
            FieldShape("creator", "Made by"),
            FieldShape("license", "Whose picture it is", suggested="licences"),
            FieldShape("permission", "The letter’s file"),
            FieldShape("obtained", "Had since"),
            FieldShape("expires", "Right ends"),
            FieldShape("likeness", "Who can be recognised", _PEOPLE),
            FieldShape("allows", "What it allows, with commas"),
            FieldShape("used", "Drawn from it"),
            FieldShape("note", "Note", is_long=True),
        ),
        one="reference",
    ),
    TableShape(
        "release",
        "May photos of it be shown?",
        (
            FieldShape("status", "What the client said", _ANSWERS),
            FieldShape("scope", "Where, with commas"),
            FieldShape("date", "Said on"),
            FieldShape("withdrawn", "Taken back on"),
            FieldShape("expires", "Ends on"),
            FieldShape("file", "The paper’s file"),
            FieldShape("note", "Note", is_long=True),
        ),
    ),
    TableShape(
        "healing",
        "What was seen afterwards",
        (
            FieldShape("date", "Day"),
            FieldShape("note", "Note", is_long=True),
            FieldShape("touch_up", "A touch-up is wanted"),
        ),
        one="look",
    ),
    TableShape("price", "Price", (FieldShape("charged", "Charged"), FieldShape("deposit", "Deposit"))),
    TableShape(
        "rights_override",
        "Your decision to show it all the same",
        (FieldShape("reason", "Because", is_long=True), FieldShape("date", "Since")),
    ),
)
_YES_NO = (("yes", "yes"), ("no", "no"))


@dataclass(frozen=True, slots=True)
class FieldNow:
    """A field with what stands in it.

    Attributes:
        name: In the form, such as "reference.0.license".
        text: As shown and written; empty where the record says nothing.
        choices: The words to choose from, what stands there among them.
    """

    name: str
    label: str
    text: str
    choices: tuple[tuple[str, str], ...]
    suggested: str
    is_long: bool
    is_day: bool


@dataclass(frozen=True, slots=True)
class BlockNow:
    """One table, or one of an array, with its fields; `name` leads to it, `is_new` says that it is not there yet."""

    name: str
    words: str
    fields: tuple[FieldNow, ...]
    is_new: bool = False


@dataclass(frozen=True, slots=True)
class SectionNow:
    """A section of the form."""

    title: str
    key: str
    blocks: tuple[BlockNow, ...]
    summary: str


def sections(values: Mapping[str, Any]) -> tuple[SectionNow, ...]:
    """Lay a record out as fields, as its file says it."""
    return tuple(_section(shape, values) for shape in SHAPES)


def _section(shape: TableShape, values: Mapping[str, Any]) -> SectionNow:
    if not shape.name:
        return SectionNow(shape.title, "piece", (_block(shape, "", values, ""),), "")
    there = values.get(shape.name)
    if not shape.one:
        table = there if isinstance(there, Mapping) else {}
        block = _block(shape, shape.name, table, "")
        return SectionNow(shape.title, shape.name, (block,), _summary(block))
    rows = [row for row in there if isinstance(row, Mapping)] if isinstance(there, list) else []
    blocks = [
        _block(shape, f"{shape.name}.{number}", row, f"{shape.one.capitalize()} {number + 1}")
        for number, row in enumerate(rows)
    ]
    new = _block(shape, f"{shape.name}.{NEW}", {}, f"Another {shape.one}", is_new=True)
    summary = f"{len(rows)}" if rows else "none"
    return SectionNow(shape.title, shape.name, (*blocks, new), summary)


def _summary(block: BlockNow) -> str:
    return ", ".join(field.text for field in block.fields if field.text)[:80] or "open"


def _block(shape: TableShape, name: str, values: Mapping[str, Any], words: str, *, is_new: bool = False) -> BlockNow:
    fields = tuple(_field(field, f"{name}.{field.key}" if name else field.key, values) for field in shape.fields)
    return BlockNow(name, words, fields, is_new)


def _field(shape: FieldShape, name: str, values: Mapping[str, Any]) -> FieldNow:
    text = shown_value(values[shape.key]) if shape.key in values else ""
    choices = shape.choices or (_YES_NO if shape.key in SWITCHES else ())
    if choices and text and text not in dict(choices):
        choices = (*choices, (text, f"{text}, as written"))
    return FieldNow(name, shape.label, text, choices, shape.suggested, shape.is_long, shape.key in DAYS)


def edits_between(
    values: Mapping[str, Any], sent: Mapping[str, str], removed: Sequence[str], units: str
) -> tuple[Edit, ...]:
    """Give the edits that make of a record what was sent; what was not sent, or says the same, stays.

    Raises:
        UsageError: Something is not understood; the message names the field.
    """
    edits: list[Edit] = []
    added: dict[str, dict[str, Any]] = {}
    blocks = {block.name for one in sections(values) for block in one.blocks if block.words and not block.is_new}
    gone = set(removed) & blocks
    for name, label, text in _changed(values, sent, gone):
        *table, key = name.split(".")
        if table[-1:] == [NEW]:
            added.setdefault(table[0], {})[key] = _value(key, label, text, units)
        elif text:
            edits.append(SetKey(_way(name), _value(key, label, text, units)))
        else:
            edits.append(RemoveKey(_way(name)))
    edits += [AddTable((name,), row) for name, row in added.items()]
    # From the last to the first, so that the numbers of the others stay.
    numbered = sorted((_way(name) for name in gone), key=lambda way: (str(way[0]), way[-1]), reverse=True)
    return (*edits, *(RemoveKey(way) for way in numbered))


def _changed(values: Mapping[str, Any], sent: Mapping[str, str], gone: set[str]) -> Iterator[tuple[str, str, str]]:
    for section in sections(values):
        for block in section.blocks:
            if block.name in gone:
                continue
            for field in block.fields:
                text = sent.get(field.name)
                if text is not None and text.strip() != field.text.strip():
                    yield field.name, field.label, text.strip()


def _value(key: str, label: str, text: str, units: str) -> Any:
    try:
        return typed_value(key, text, units)
    except UsageError as error:
        raise UsageError(f"{label}: {error}") from error


def _way(name: str) -> Way:
    return tuple(int(step) if step.isdecimal() else step for step in name.split("."))


Suggest = Callable[[], Sequence[str]]
