"""What holds for every record: it comes back as written, and everything wrong with it is said in plain words."""

import copy
import datetime as dt
import tomllib

import msgspec
import tomlkit
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from archgen.records.model import PieceRecord
from archgen.records.schema import decode, read_piece_record, table_of
from archgen.toml.kinds import read_table
from archgen.toml.lines import key_lines
from tests.builders import make_record
from tests.plain_words import assert_plain
from tests.strategies import records, toml_values

slow = settings(
    max_examples=30, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)


@slow
@given(records)
def test_a_record_comes_back_as_it_was_written(record):
    text = tomlkit.dumps(toml_values(record))
    read, problems = read_piece_record(tomllib.loads(text), key_lines(text))
    assert problems == []
    assert read == record


wrong_values = st.one_of(
    st.none().map(lambda _: {}),
    st.booleans(),
    st.integers(-3, 10**6),
    st.floats(),
    st.text(max_size=12),
    st.sampled_from(["62 mm", "2026-03-14", "fresh", "yes", "3h30", "left", "granted"]),
    st.dates(),
    st.datetimes(),
    st.just(dt.time(3, 30)),
    st.lists(st.one_of(st.integers(), st.text(max_size=5), st.just({})), max_size=3),
    st.dictionaries(st.sampled_from(["file", "date", "x", ""]), st.integers(), max_size=2),
)


def places(value, path=()):
    """List every place of a parsed file at which something can be changed."""
    yield path
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, item in items:
        yield from places(item, (*path, key))


SOUND = toml_values(make_record())


@st.composite
def spoilt(draw):
    raw = copy.deepcopy(SOUND)
    for _ in range(draw(st.integers(1, 4))):
        *parents, last = draw(st.sampled_from([path for path in places(raw) if path]))
        table = raw
        for key in parents:
            table = table[key]
        change = draw(st.sampled_from(["replace", "delete", "rename"]))
        if change == "replace" or isinstance(table, list):
            table[last] = draw(wrong_values)
        else:
            value = table.pop(last)
            if change == "rename":
                table[draw(st.text(max_size=8))] = value
    return raw


def is_accepted(raw):
    try:
        msgspec.convert(raw, PieceRecord, dec_hook=decode)
    except (msgspec.ValidationError, ValueError):
        return False
    return True


@settings(parent=slow, max_examples=400)
@given(spoilt())
def test_the_walk_finds_a_problem_exactly_when_the_record_is_refused(raw):
    _, problems = read_table(raw, table_of(PieceRecord), {})
    assert bool(problems) is not is_accepted(raw)


@settings(parent=slow, max_examples=100)
@given(spoilt())
@example({"title": "Barn owl", '"`': "x", "\\`": 1})
@example({"title": "Barn owl", "finished": False, "size": {"width": True}, "reference": [{"rights_date": False}]})
def test_messages_are_whole_sentences_in_plain_words(raw):
    _, problems = read_table(raw, table_of(PieceRecord), {})
    for problem in problems:
        assert_plain(problem.problem, problem.remedy)


names = st.from_regex(r"[a-z_]{1,6}", fullmatch=True)
fillers = st.sampled_from(["", "\n", "# note = 1\n", "  # [x]\n\n"])
plain_values = st.sampled_from(
    [
        "1",
        '"a # b"',
        "'x = y'",
        "2026-03-14",
        "[1, 2] # c",
        '["a]", "b"]',
        '"""a\nb = 1\n"""',
        "[\n 1, # ]\n 2,\n]",
        "{ k = 1 }",
    ]
)


@st.composite
def texts_with_lines(draw):
    """Write a TOML text and say where each of its keys stands."""
    text, lines = "", {}

    def add(piece):
        nonlocal text
        text += piece

    def here():
        return text.count("\n") + 1

    for table, is_array in [("", False), *((name, draw(st.booleans())) for name in draw(st.lists(names, unique=True)))]:
        for number in range(draw(st.integers(1, 3)) if is_array else 1):
            add(draw(fillers))
            prefix = ""
            if table:
                prefix = f"t{table}.{number}." if is_array else f"t{table}."
                lines[prefix[:-1]] = here()
                add(f"[[t{table}]]\n" if is_array else f" [t{table}] # x\n")
            for name in draw(st.lists(names, unique=True, max_size=4)):
                add(draw(fillers))
                lines[prefix + name] = here()
                add(f"{name} = {draw(plain_values)}\n")
    return text, lines


@settings(parent=slow, max_examples=60)
@given(texts_with_lines(), st.booleans())
def test_every_key_is_found_on_its_line(written, windows):
    text, lines = written
    tomllib.loads(text)
    found = key_lines(text.replace("\n", "\r\n") if windows else text)
    assert {key: found.get(key) for key in lines} == lines


@settings(parent=slow, max_examples=300)
@given(st.text("[]{}=,.#'\"\\\n\r ab1", max_size=40))
def test_the_line_finder_ends_on_any_text(text):
    key_lines(text)
