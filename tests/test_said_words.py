"""What is said has the values its words ask for, and stands whole in the source, where the catalogues find it."""

import ast
from pathlib import Path
from string import Formatter

import pytest

PACKAGE = Path(__file__).resolve().parent.parent / "archgen"
# How many of the first arguments are words.
WORDS = {"say": slice(0, 1), "say_in": slice(1, 2), "say_count": slice(0, 2)}
SAYING = [
    path for path in sorted(PACKAGE.rglob("*.py")) if "languages.house import" in path.read_text(encoding="utf-8")
]


def calls(path):
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in WORDS:
            yield node


def names_in(message):
    return {name for _, name, _, _ in Formatter().parse(message) if name is not None}


@pytest.mark.parametrize("path", SAYING, ids=lambda path: path.relative_to(PACKAGE).as_posix())
def test_what_is_said_gets_the_values_it_names(path):
    wrong = []
    for call in calls(path):
        given = {word.arg for word in call.keywords}
        for words in call.args[WORDS[call.func.id]]:
            if isinstance(words, ast.JoinedStr) and any(isinstance(part, ast.Constant) for part in words.values):
                wrong.append((call.lineno, "an f-string is in no catalogue"))
            elif isinstance(words, ast.Constant) and None not in given and (given or call.func.id == "say_count"):
                wanted = names_in(words.value)
                missing = wanted - given - ({"number"} if call.func.id == "say_count" else set())
                unused = given - wanted if call.func.id != "say_count" else set()
                wrong += [(call.lineno, names) for names in (missing, unused) if names]
    assert wrong == []


TOLD = {"ConfigError", "InputError", "OutputError", "UsageError", "WithheldError", "Finding", "Hit", "Problem"}


def unsaid(path):
    """Give the sentences of errors and findings that stand there in English, past the catalogues."""
    for told in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if not (isinstance(told, ast.Call) and isinstance(told.func, ast.Name) and told.func.id in TOLD):
            continue
        said = {id(node) for call in ast.walk(told) if is_said(call) for node in ast.walk(call)}
        for node in ast.walk(told):
            if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in said:
                words = [word for word in node.value.split() if word.strip(",.:;").isalpha()]
                if len(words) >= 3:
                    yield node.lineno, node.value


def is_said(node):
    return isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in {*WORDS, "to_say"}


def test_errors_and_findings_are_said_in_the_language_of_the_house():
    found = {path.relative_to(PACKAGE).as_posix(): list(unsaid(path)) for path in PACKAGE.rglob("*.py")}
    assert {name: lines for name, lines in found.items() if lines} == {}
