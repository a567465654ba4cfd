"""The whole record as fields: what stands in it now, and which edits follow from what was written over it."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from archgen.answers.typed import DAYS, SWITCHES, shown_value, typed_value
from archgen.errors import UsageError
from archgen.languages.house import say, say_in, to_say
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


_SIDES = (("left", to_say("left")), ("right", to_say("right")), ("centre", to_say("centre")))
_STAGES = (("in-progress", to_say("in progress")), ("fresh", to_say("fresh")), ("healed", to_say("healed")))
_ANSWERS = (
    ("granted", to_say("yes")),
    ("refused", to_say("no")),
    ("withdrawn", to_say("taken back")),
    ("not-asked", to_say("not asked yet")),
)
_PEOPLE = (
    ("none", to_say("nobody")),
    ("client", to_say("my client")),
    ("consented", to_say("somebody else, who agreed")),
    ("public-figure", to_say("a public figure")),
    ("minor", to_say("a child")),
    ("unknown", to_say("not known")),
)
_VISITS = (("sitting", to_say("a sitting")), ("touch-up", to_say("a touch-up")))

SHAPES: tuple[TableShape, ...] = (
    TableShape(
        "",
        to_say("The piece"),
        (
            FieldShape("title", to_say("Title")),
            FieldShape("client", to_say("Client"), suggested="clients"),
            FieldShape("finished", to_say("Finished")),
            FieldShape("styles", to_say("Styles, with commas"), suggested="styles"),
            FieldShape("subjects", to_say("What it shows, with commas"), suggested="subjects"),
            FieldShape("publish", to_say("For the portfolio")),
        ),
    ),
    TableShape(
        "size", to_say("Size on skin"), (FieldShape("width", to_say("Width")), FieldShape("height", to_say("Height")))
    ),
    TableShape(
        "placement",
        to_say("Where on the body"),
        (
            FieldShape("region", to_say("Place"), suggested="places"),
            FieldShape("side", to_say("Side"), _SIDES),
            FieldShape("girth", to_say("Girth there")),
            FieldShape("note", to_say("Note"), is_long=True),
        ),
    ),
    TableShape(
        "sitting",
        to_say("Sittings"),
        (
            FieldShape("date", to_say("Day")),
            FieldShape("hours", to_say("Time")),
            FieldShape("kind", to_say("Kind"), _VISITS),
            FieldShape("note", to_say("Note"), is_long=True),
        ),
        one=to_say("sitting"),
    ),
    TableShape(
        "needle",
        to_say("Needles"),
        (
            FieldShape("code", to_say("Needle, as you say it"), suggested="needles"),
            FieldShape("use", to_say("Used for")),
            FieldShape("batch", to_say("Box")),
            FieldShape("sterilisation", to_say("Sterilisation batch")),
            FieldShape("expiry", to_say("Sterile until")),
        ),
        one=to_say("needle"),
    ),
    TableShape(
        "ink",
        to_say("Inks"),
        (
            FieldShape("batch", to_say("Number on the label"), suggested="inks"),
            FieldShape("name", to_say("Name")),
            FieldShape("maker", to_say("Maker")),
            FieldShape("use", to_say("Used for")),
            FieldShape("expiry", to_say("Good until")),
        ),
        one=to_say("ink"),
    ),
    TableShape(
        "stencil",
        to_say("Stencils"),
        (
            FieldShape("file", to_say("File"), suggested="stencils"),
            FieldShape("version", to_say("Version")),
            FieldShape("parent", to_say("Made from version")),
            FieldShape("width", to_say("Printed width of the marks")),
            FieldShape("mirrored", to_say("The file is mirrored")),
            FieldShape("applied", to_say("Went on the skin")),
            FieldShape("held", to_say("How it held")),
            FieldShape("note", to_say("Note"), is_long=True),
        ),
        one=to_say("stencil"),
    ),
    TableShape(
        "photo",
        to_say("Photos"),
        (
            FieldShape("file", to_say("File"), suggested="photos"),
            FieldShape("stage", to_say("What it shows"), _STAGES),
            FieldShape("taken", to_say("Day")),
            FieldShape("alt", to_say("In words, for those who can’t see it"), is_long=True),
            FieldShape("cover", to_say("Stands for the piece")),
            FieldShape("publish", to_say("May be shown")),
        ),
        one=to_say("photo"),
    ),
    TableShape(
        "reference",
        to_say("References"),
        (
            FieldShape("file", to_say("File"), suggested="references"),
            FieldShape("source", to_say("Where it came from")),
            FieldShape("creator", to_say("Made by")),
            FieldShape("license", to_say("Whose picture it is"), suggested="licences"),
            FieldShape("permission", to_say("The letter’s file")),
            FieldShape("obtained", to_say("Had since")),
            FieldShape("expires", to_say("Right ends")),
            FieldShape("likeness", to_say("Who can be recognised"), _PEOPLE),
            FieldShape("allows", to_say("What it allows, with commas")),
            FieldShape("used", to_say("Drawn from it")),
            FieldShape("note", to_say("Note"), is_long=True),
        ),
        one=to_say("reference"),
    ),
    TableShape(
        "release",
        to_say("May photos of it be shown?"),
        (
            FieldShape("status", to_say("What the client said"), _ANSWERS),
            FieldShape("scope", to_say("Where, with commas")),
            FieldShape("date", to_say("Said on")),
            FieldShape("withdrawn", to_say("Taken back on")),
            FieldShape("expires", to_say("Ends on")),
            FieldShape("file", to_say("The paper’s file")),
            FieldShape("note", to_say("Note"), is_long=True),
        ),
    ),
    TableShape(
        "healing",
        to_say("What was seen afterwards"),
        (
            FieldShape("date", to_say("Day")),
            FieldShape("note", to_say("Note"), is_long=True),
            FieldShape("touch_up", to_say("A touch-up is wanted")),
        ),
        one=to_say("look"),
    ),
    TableShape(
        "price", to_say("Price"), (FieldShape("charged", to_say("Charged")), FieldShape("deposit", to_say("Deposit")))
    ),
    TableShape(
        "rights_override",
        to_say("Your decision to show it all the same"),
        (FieldShape("reason", to_say("Because"), is_long=True), FieldShape("date", to_say("Since"))),
    ),
)
_YES_NO = (("yes", to_say("yes")), ("no", to_say("no")))


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
        return SectionNow(say(shape.title), "piece", (_block(shape, "", values, ""),), "")
    there = values.get(shape.name)
    if not shape.one:
        table = there if isinstance(there, Mapping) else {}
        block = _block(shape, shape.name, table, "")
        return SectionNow(say(shape.title), shape.name, (block,), _summary(block))
    rows = [row for row in there if isinstance(row, Mapping)] if isinstance(there, list) else []
    blocks = [
        _block(shape, f"{shape.name}.{number}", row, f"{_capital(say(shape.one))} {number + 1}")
        for number, row in enumerate(rows)
    ]
    new = _block(shape, f"{shape.name}.{NEW}", {}, say("Another {one}", one=say(shape.one)), is_new=True)
    summary = f"{len(rows)}" if rows else say("none")
    return SectionNow(say(shape.title), shape.name, (*blocks, new), summary)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _summary(block: BlockNow) -> str:
    return ", ".join(field.text for field in block.fields if field.text)[:80] or say_in("field", "open")


def _block(shape: TableShape, name: str, values: Mapping[str, Any], words: str, *, is_new: bool = False) -> BlockNow:
    fields = tuple(_field(field, f"{name}.{field.key}" if name else field.key, values) for field in shape.fields)
    return BlockNow(name, words, fields, is_new)


def _field(shape: FieldShape, name: str, values: Mapping[str, Any]) -> FieldNow:
    text = _text(values[shape.key]) if shape.key in values else ""
    choices = shape.choices or (_YES_NO if shape.key in SWITCHES else ())
    choices = tuple((word, say(words)) for word, words in choices)
    if choices and text and text not in dict(choices):
        choices = (*choices, (text, say("{text}, as written", text=text)))
    return FieldNow(name, say(shape.label), text, choices, shape.suggested, shape.is_long, shape.key in DAYS)


def _text(value: object) -> str:
    """Write a value as the form sends it: yes and no are chosen, and so the same in every language."""
    return _YES_NO[not value][0] if isinstance(value, bool) else shown_value(value)


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
