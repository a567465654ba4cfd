"""The help of commands in the language of the house; in English a command is left as it stands."""

import inspect
from collections.abc import Iterator
from copy import copy

import click

from archgen.languages.house import house, say


def in_house_words(command: click.Command) -> click.Command:
    """Give a command whose help is in the language of the house."""
    if house().is_source:
        return command
    said = copy(command)
    said._help_option = None
    said.help = "\n\n".join(map(_said, _paragraphs(command.help)))
    said.params = [_parameter(one) for one in command.params]
    return said


def help_messages(command: click.Command) -> Iterator[str]:
    """Give all that its help says, as it is looked up."""
    for paragraph in _paragraphs(command.help):
        yield paragraph.split("\n")[1] if paragraph.startswith("\b\n") else _unbroken(paragraph)
    yield from (one.help for one in command.params if isinstance(one, click.Option) and one.help)


def _parameter(one: click.Parameter) -> click.Parameter:
    if not isinstance(one, click.Option) or not one.help:
        return one
    said = copy(one)
    said.help = say(one.help)
    return said


def _paragraphs(text: str | None) -> list[str]:
    return inspect.cleandoc(text or "").split("\n\n")


def _said(paragraph: str) -> str:
    if not paragraph.startswith("\b\n"):  # click's mark for lines that are not to be filled
        return say(_unbroken(paragraph))
    mark, title, *lines = paragraph.split("\n")
    return "\n".join((mark, say(title), *lines))


def _unbroken(paragraph: str) -> str:
    return " ".join(paragraph.split())
