"""Hypothesis strategies for records."""

import datetime as dt
from enum import Enum

import msgspec
from hypothesis import strategies as st

from archgen.records import model
from archgen.records.agreement import DIGITAL_SOURCES
from archgen.records.vocabulary.placements import PLACES
from archgen.records.vocabulary.release_uses import RELEASE_USES

# Anything a person may type or paste, line ends included; a text of which nothing can be seen counts as not recorded.
texts = st.text(st.characters(exclude_categories=("Cs",)), min_size=1, max_size=30).filter(
    lambda text: any(letter.isprintable() and not letter.isspace() for letter in text)
)
days = st.dates(dt.date(1990, 1, 1), dt.date(2090, 12, 31))
lengths = st.integers(1, 200_000).map(lambda hundredths: model.Length(hundredths / 100))
hours = st.integers(0, 24 * 60).map(lambda minutes: model.Hours(minutes / 60))
pixels = st.floats(0, 20_000, allow_nan=False)
licenses = st.sampled_from(["CC-BY-4.0", "CC0-1.0", "InC", "own-work", "stock", "permission"])

_BY_NAME = {
    "region": st.sampled_from(list(PLACES)),
    "license": licenses,
    "scope": st.sampled_from(RELEASE_USES),
    "digital_source": st.sampled_from(DIGITAL_SOURCES),
}
_BY_TYPE = {
    msgspec.inspect.StrType: texts,
    msgspec.inspect.BoolType: st.booleans(),
    msgspec.inspect.IntType: st.integers(1, 99),
    msgspec.inspect.FloatType: pixels,
    msgspec.inspect.DateType: days,
    model.Length: lengths,
    model.Hours: hours,
}


def _of_kind(name, kind):
    """Give a strategy for a field of the model."""
    info = msgspec.inspect
    if name in _BY_NAME and isinstance(kind, info.StrType):
        return _BY_NAME[name]
    match kind:
        case info.UnionType():
            found = st.one_of(*(_of_kind(name, item) for item in kind.types))
        case info.NoneType():
            found = st.none()
        case info.VarTupleType():
            found = st.lists(_of_kind(name, kind.item_type), max_size=3).map(tuple)
        case info.TupleType():
            found = st.tuples(*(_of_kind(name, item) for item in kind.item_types))
        case info.StructType():
            found = tables(kind.cls)
        case info.EnumType():
            found = st.sampled_from(list(kind.cls))
        case info.CustomType():
            found = _BY_TYPE[kind.cls]
        case _:
            found = _BY_TYPE[type(kind)]
    return found


def tables(cls):
    """Give a strategy for a class of the model, every field at random."""
    fields = {
        field.name: _of_kind(field.name, msgspec.inspect.type_info(field.type)) for field in msgspec.structs.fields(cls)
    }
    return st.fixed_dictionaries(fields).map(lambda values: cls(**values))


records = tables(model.PieceRecord)


def toml_values(value):
    """Turn a record into the plain values its TOML file would hold; what is not recorded is left out."""
    if isinstance(value, msgspec.Struct):
        fields = msgspec.structs.fields(type(value))
        pairs = ((field.encode_name, getattr(value, field.name)) for field in fields)
        return {name: toml_values(item) for name, item in pairs if item is not None}
    if isinstance(value, model.Length):
        return f"{float(value)!r} mm"
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, tuple):
        return [toml_values(item) for item in value]
    return float(value) if isinstance(value, model.Hours) else value
