"""A text that is not TOML: each line that cannot be read costs itself, a heading its table, and all is told."""

import pytest

from archgen.toml.kinds import Many, Table, Text
from archgen.toml.recover import parse_forgivingly, recover
from archgen.toml.slips import one_slip_away

SHAPE = Table({"title": Text(), "size": Table({"width": Text()}), "photo": Many(Table({"file": Text()}))})


def read(text):
    return recover(text, SHAPE)


@pytest.mark.parametrize(
    ("line", "value"),
    [
        ("a = “Barn owl”", "Barn owl"),
        ("a = „Barn owl“", "Barn owl"),
        ("a = Barn owl", "Barn owl"),
        ('a = "Barn owl', "Barn owl"),
        ('a = "Barn owl # big', "Barn owl"),
        ('a = Barn owl"', "Barn owl"),
        ("a: Barn owl", "Barn owl"),
        ('a = "the "small" owl"', 'the "small" owl'),
        ("a = 'the owl's eye'", "the owl's eye"),
        ('a = "2.5""', '2.5"'),
        ('a = "photos\\owl.jpg"', "photos\\owl.jpg"),
        ("a = 62 mm # wide", "62 mm"),
        ("a = 14.3.2026", "14.3.2026"),
        ("a = 3,5", "3,5"),
        ("a = True", "True"),
        ('a = ["owl" "bird"]', ["owl", "bird"]),
        ('a = ["owl", bird', ["owl", "bird"]),
        ('a = "owl", "bird"', ["owl", "bird"]),
        ("a = [owl, 2]", ["owl", 2]),
        ("\ta\t=\t“x”", "x"),
        ("\ufeffa = “x”", "x"),
        ("a\u00a0= x", "x"),
        ('a = """two\nlines', "two\nlines"),
        ('a = ["one",\n"two"\nb = 1', ["one", "two"]),
    ],
)
def test_a_line_is_read_as_it_was_meant(line, value):
    found = read(line)
    assert found.raw["a"] == value
    assert found.problems[0].code == "read-as"
    assert found.problems[0].line == 1


def test_two_keys_on_one_line_are_two():
    assert read('a = "x" b = 2').raw == {"a": "x", "b": 2}


def test_a_key_of_two_words_is_one():
    assert read("touch up = true").raw == {"touch_up": True}


def test_a_line_nobody_can_read_costs_itself_alone():
    found = read('title = "Owl"\njust words\n[size]\nwidth = "62 mm"\n')
    assert found.raw == {"title": "Owl", "size": {"width": "62 mm"}}
    (problem,) = found.problems
    assert (problem.code, problem.line, problem.severity.value) == ("broken", 2, "error")
    assert "just words" in problem.problem


def test_a_heading_nobody_can_read_costs_what_stands_below_it_and_no_other_table():
    found = read('[size]\nwidth = "62 mm"\n[?&%x\nwidth = "9 mm"\n[[photo]]\nfile = "a.jpg"\n')
    assert found.raw == {"size": {"width": "62 mm"}, "photo": [{"file": "a.jpg"}]}
    assert [(problem.code, problem.line) for problem in found.problems] == [("broken", 3)]


@pytest.mark.parametrize("heading", ["[size", "size]", "[size]]", "[ size ", "[[size]"])
def test_a_heading_without_all_its_brackets_is_one(heading):
    found = read(f'{heading}\nwidth = "62 mm"\n')
    assert found.raw == {"size": {"width": "62 mm"}}
    assert found.problems[0].code == "read-as"


def test_tables_that_may_come_several_times_do_however_they_are_headed():
    found = read('[photo]\nfile = "a.jpg"\n[photo]\nfile = "b.jpg"\n[[photo]]\nfile = "c.jpg"\n')
    assert found.raw == {"photo": [{"file": "a.jpg"}, {"file": "b.jpg"}, {"file": "c.jpg"}]}
    assert found.lines["photo.1.file"] == 4


def test_a_table_that_stands_twice_is_one_and_the_first_of_two_values_counts():
    found = read('[size]\nwidth = "62 mm"\n[size]\nheight = "88 mm"\nwidth = "70 mm"\n')
    assert found.raw == {"size": {"width": "62 mm", "height": "88 mm"}}
    (problem,) = found.problems
    assert (problem.code, problem.key, problem.line, problem.severity.value) == ("twice", "size.width", 5, "warning")


def test_a_key_without_a_value_is_not_recorded_and_told():
    found = read("title = \nx = 1")
    assert found.raw == {"x": 1}
    assert [(problem.code, problem.key) for problem in found.problems] == [("no-value", "title")]


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_lines_may_end_as_on_any_system(end):
    toml, _ = parse_forgivingly(f'title = "Owl"{end}[size]{end}width = 62 mm{end}', SHAPE)
    assert toml.raw == {"title": "Owl", "size": {"width": "62 mm"}}
    assert toml.lines["size.width"] == 3


def test_a_sound_text_has_no_problem():
    toml, problems = parse_forgivingly('title = "Owl"\n', SHAPE)
    assert (toml.raw, problems) == ({"title": "Owl"}, ())


@pytest.mark.parametrize("text", ["[" * 5000, "a = " + "[" * 5000, "a." * 500 + "b = 1", "[a.b.c.d.e.f.g.h]\nx = 1"])
def test_what_is_nested_without_end_stays_a_text_or_is_left_out(text):
    assert all(isinstance(value, str) for value in read(text).raw.values())
    assert read(text).problems


@pytest.mark.parametrize(
    ("word", "allowed", "near"),
    [
        ("titel", ("title", "file"), ("title",)),
        ("clinet", ("client",), ("client",)),
        ("clent", ("client",), ("client",)),
        ("cliient", ("client",), ("client",)),
        ("cliant", ("client",), ("client",)),
        ("Touch-Up", ("touch_up",), ("touch_up",)),
        ("note", ("note", "notes"), ("note",)),
        ("us", ("use", "on"), ()),
        ("lcient", ("client",), ("client",)),
        ("tneilc", ("client",), ()),
    ],
)
def test_one_slip_is_forgiven_two_are_not(word, allowed, near):
    assert one_slip_away(word, allowed) == near
