"""Templates stay compiled between two runs, and nothing kept is ever taken for something else."""

import sys

import jinja2
import pytest

from archgen.render.compiled_templates import CompiledTemplates


@pytest.fixture(autouse=True)
def _writing_allowed(monkeypatch):
    monkeypatch.setattr(sys, "dont_write_bytecode", False)


@pytest.fixture
def compiled(monkeypatch):
    """List the templates that are compiled."""
    names = []
    compile_ = jinja2.Environment.compile

    def noting(self, source, name=None, filename=None, *more, **named):
        names.append(name)
        return compile_(self, source, name, filename, *more, **named)

    monkeypatch.setattr(jinja2.Environment, "compile", noting)
    return names


def render(folder, text="Hello {{ name }}.", made_with=""):
    loader = jinja2.DictLoader({"page.html": text})
    environment = jinja2.Environment(
        loader=loader, bytecode_cache=CompiledTemplates(made_with, folder), autoescape=True
    )
    return environment.get_template("page.html").render(name="owl")


def test_a_later_run_compiles_nothing(tmp_path, compiled):
    assert render(tmp_path) == "Hello owl."
    compiled.clear()
    assert render(tmp_path) == "Hello owl."
    assert compiled == []


@pytest.mark.parametrize("changed", [{"text": "Bye {{ name }}."}, {"made_with": "other options"}])
def test_another_text_or_other_options_are_compiled_anew(tmp_path, compiled, changed):
    render(tmp_path)
    compiled.clear()
    render(tmp_path, **changed)
    assert compiled == ["page.html"]
    assert render(tmp_path) == "Hello owl."


@pytest.mark.parametrize("content", [b"", b"no code", b"\xe9\x01\x00\x00\x00"])
def test_what_is_damaged_is_compiled_anew(tmp_path, content):
    render(tmp_path)
    for file in tmp_path.iterdir():
        file.write_bytes(content)
    assert render(tmp_path) == "Hello owl."


def test_a_bit_that_turned_is_noticed(tmp_path):
    render(tmp_path)
    for file in tmp_path.iterdir():
        assert b"Hello" in file.read_bytes()
        file.write_bytes(file.read_bytes().replace(b"Hello", b"Iello"))
    assert render(tmp_path) == "Hello owl."


def test_a_folder_nobody_may_write_costs_time_only(tmp_path):
    (tmp_path / "file").touch()
    assert render(tmp_path / "file") == "Hello owl."


def test_nothing_is_written_where_python_writes_nothing(tmp_path, monkeypatch):
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    render(tmp_path)
    assert not any(tmp_path.iterdir())
