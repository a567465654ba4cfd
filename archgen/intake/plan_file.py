"""Write a plan as TOML that an artist can correct, and read the corrected file; a mistake is told with its line.

What may be changed is a title, a client, where a group goes, what a picture is, and in which group it stands; all else
in the file is there to be read. Pictures are known again by their digest, wherever their files lie now.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from archgen.errors import UsageError
from archgen.intake.decided import DecidedGroup
from archgen.intake.plan import GroupKind, IntakePlan, PlannedGroup, PlannedPicture, What
from archgen.languages.house import say, to_say
from archgen.toml.problem import nearest, shown
from archgen.toml.text import TomlFile, UnreadableTextError, read_toml
from archgen.units import date_words
from archgen.writing.values import toml_value

VERSION = 1
_WORDS = tuple(what.value for what in What)
_HEAD = to_say("""# What archgen proposes for {source}.
# Correct what is wrong, save, and run: archgen intake --apply {file}
# Nothing was written into the archive yet. Lines that begin with # only explain.
#
# is    = "fresh", "in-progress", "healed", "stencil", "reference" or "out" (left out)
# title = what a new piece is called
# piece = instead of title: the folder name of a filed piece that the pictures go to. Take the # away to say yes.
# A group with neither is left for another time. To move a picture, move its whole [[group.picture]] block.
""")


@dataclass(frozen=True, slots=True)
class DecidedPlan:
    """A corrected plan: its groups with what was decided, and a sentence for each that was left."""

    groups: tuple[DecidedGroup, ...]
    left: tuple[str, ...]


def write_plan(plan: IntakePlan, sources: tuple[str, ...], file: str, client: str | None = None) -> str:
    """Write a plan as text."""
    head = say(_HEAD, source=plan.source, file=file)
    parts = [head, f"version = {VERSION}\nsources = {toml_value(list(sources))}"]
    parts += [_group(group, client) for group in plan.groups]
    parts += [_filed(plan)] if plan.filed else []
    if plan.not_taken:
        parts += [
            "\n".join([f"# {say('Left out:')}", *(_remark(f"{one.name}: {one.sentence}") for one in plan.not_taken)])
        ]
    return "\n\n".join(part.rstrip() for part in parts) + "\n"


def _group(group: PlannedGroup, client: str | None) -> str:
    lines = [_remark(f"{group.title}: {group.summary}"), *map(_remark, group.questions), "[[group]]"]
    for number, one in enumerate(group.proposals):
        piece = f"{one.title} ({say(one.what.value)})"
        start = say("Perhaps {piece}", piece=piece) if number == 0 else say("Or {piece}", piece=piece)
        lines.append(_remark(f"{start}: {' '.join(one.words)}"))
        if one.piece != group.into:
            lines.append(f"# piece = {toml_value(one.piece)}")
    if group.into:
        lines.append(f"piece = {toml_value(group.into)}")
    if group.kind is GroupKind.NEW_PIECE:
        lines.append(f"title = {toml_value(group.title)}")
    lines.append(f"client = {toml_value(client)}" if client else '# client = "C-0000"')
    return "\n".join(lines) + "\n\n" + "\n\n".join(_picture(one) for one in group.pictures)


def _picture(one: PlannedPicture) -> str:
    day = f"{date_words(one.moment.date())}." if one.moment else say("No date.")
    doubt = say("Doubtful, so look at it.") if one.guess.is_doubtful else ""
    return (
        f"  {_remark(f'{day} {one.guess.reason} {doubt}')}\n"
        f"  [[group.picture]]\n"
        f"  file   = {toml_value(one.name)}\n"
        f"  is     = {toml_value(one.guess.what.value)}\n"
        f"  digest = {toml_value(one.digest)}"
    )


def _remark(text: str) -> str:
    """Write a remark of one line, whatever a title or a file's name holds."""
    return "# " + " ".join("".join(one if one.isprintable() else " " for one in text).split())


def _filed(plan: IntakePlan) -> str:
    lines = [f"# {say('Filed already, so left out:')}"]
    lines += [_remark(f"{one.picture.name}: {one.words} {one.title}, {one.place}.") for one in plan.filed]
    return "\n".join(lines)


class PlanMistakeError(UsageError):
    """A plan's file says something that cannot be carried out; every mistake with its line."""


def read_sources(path: Path) -> tuple[str, ...]:
    """Give what a plan was made from.

    Raises:
        UsageError: The file cannot be read, or is not a plan.
    """
    sources = _read(path).raw.get("sources")
    if not isinstance(sources, list) or not all(isinstance(one, str) for one in sources) or not sources:
        raise PlanMistakeError(
            say("{file} isn't a plan of archgen intake: it has no sources. Write it with --plan.", file=path)
        )
    return tuple(sources)


def read_plan(path: Path, plan: IntakePlan, pieces: Mapping[str, str]) -> DecidedPlan:
    """Read a corrected plan against what lies in the sources now; `pieces` are the titles of the filed ones by id.

    Raises:
        UsageError: It cannot be read, or says what cannot be: all mistakes at once, each with its line.
    """
    toml = _read(path)
    reading = _Reading(path, toml, plan, pieces)
    groups = tuple(reading.groups())
    if reading.mistakes:
        raise PlanMistakeError("\n".join(reading.mistakes))
    return DecidedPlan(groups, tuple(reading.left))


def _read(path: Path) -> TomlFile:
    try:
        return read_toml(path)
    except UnreadableTextError as error:
        raise PlanMistakeError(f"{path}, {error.problem}") from error


class _Reading:
    """Goes through a plan's file and keeps every mistake."""

    def __init__(self, path: Path, toml: TomlFile, plan: IntakePlan, pieces: Mapping[str, str]) -> None:
        self.path, self.toml, self.plan, self.pieces = path, toml, plan, pieces
        self.mistakes: list[str] = []
        self.left: list[str] = []
        self.seen: dict[str, str] = {}
        self.known = {one.digest: one for one in (*plan.pictures, *(filed.picture for filed in plan.filed))}
        self.filed = {one.picture.digest: one.title for one in plan.filed if one.is_same_file}
        self.home = {one.digest: group for group in plan.groups for one in group.pictures}

    def groups(self) -> Iterator[DecidedGroup]:
        """Give the groups that are to be written."""
        tables = self.toml.raw.get("group", [])
        if not isinstance(tables, list) or not all(isinstance(one, dict) for one in tables):
            self._say("group", say("Groups stand in double brackets: [[group]]."))
            return
        for number, table in enumerate(tables):
            decided = self._group(f"group.{number}", table)
            if decided is not None:
                yield decided

    def _group(self, key: str, table: Mapping[str, Any]) -> DecidedGroup | None:
        self._unknown(key, table, ("title", "client", "piece", "picture"))
        pictures = tuple(self._pictures(key, table.get("picture", [])))
        filed = tuple(one for one in pictures if one.guess.what is not What.OUT)
        piece, client = self._text(key, table, "piece"), self._text(key, table, "client")
        title = self._text(key, table, "title")
        if piece is not None and piece not in self.pieces:
            near = nearest(piece, self.pieces)
            self._say(f"{key}.piece", say("There is no piece {piece}.", piece=shown(piece)), near)
        if not filed:
            return None
        if piece is None and not title:
            self.left.append(
                say("The group in line {line} has neither title nor piece, so it is left.", line=self.toml.line(key))
            )
            return None
        origin = next((self.home[one.digest] for one in filed if one.digest in self.home), None)
        if origin is None:
            origin = PlannedGroup("", GroupKind.NEW_PIECE, title or "", "", filed[0].day, ())
        group = replace(origin, pictures=filed, into=piece)
        return DecidedGroup(group, title or "", client, piece)

    def _pictures(self, key: str, tables: object) -> Iterator[PlannedPicture]:
        if not isinstance(tables, list) or not all(isinstance(one, dict) for one in tables):
            self._say(f"{key}.picture", say("Pictures stand in double brackets: [[group.picture]]."))
            return
        for number, table in enumerate(tables):
            picture = self._picture(f"{key}.picture.{number}", table)
            if picture is not None:
                yield picture

    def _picture(self, key: str, table: Mapping[str, Any]) -> PlannedPicture | None:
        self._unknown(key, table, ("file", "is", "digest"))
        digest, word = self._text(key, table, "digest"), self._text(key, table, "is")
        name = self._text(key, table, "file") or say("This picture")
        if word not in _WORDS:
            near = nearest(word or "", _WORDS)
            if word is not None or "is" not in table:
                words = say("{word} isn't one of {words}.", word=shown(word or ""), words=", ".join(_WORDS))
                self._say(f"{key}.is", words, near)
            return None
        if digest is None or (digest not in self.known and What(word) is not What.OUT):
            self._say(
                f"{key}.digest",
                say("{name} isn't there any more, or was changed since the plan was written.", name=name),
            )
            return None
        if digest in self.seen:
            self._say(f"{key}.digest", say("{name} stands in two groups. Leave it in one.", name=name))
            return None
        self.seen[digest] = name
        picture = self.known.get(digest)
        if picture is None:
            return None
        if digest in self.filed and What(word) is not What.OUT:
            self.left.append(
                say("{name} is in the archive already, in {title}, so it is left.", name=name, title=self.filed[digest])
            )
            return None
        return picture if picture.guess.what is What(word) else picture.taken_for(What(word))

    def _text(self, key: str, table: Mapping[str, Any], name: str) -> str | None:
        value = table.get(name)
        if value is None or (isinstance(value, str) and not value.strip()):
            return None
        if not isinstance(value, str):
            self._say(f"{key}.{name}", say("{name} is a text in quotes.", name=name))
            return None
        return value.strip()

    def _unknown(self, key: str, table: Mapping[str, Any], names: tuple[str, ...]) -> None:
        for name in table:
            if name not in names:
                words = say("{name} isn't a key of a plan.", name=shown(name))
                self._say(f"{key}.{name}", words, nearest(name, names))

    def _say(self, key: str, words: str, near: str | None = None) -> None:
        line = self.toml.line(key) or self.toml.line(key.rpartition(".")[0])
        place = say("{file}, line {line}", file=self.path, line=line) if line else self.path
        hint = f" {say('Nearest: {names}.', names=shown(near))}" if near else ""
        self.mistakes.append(f"{place}: {words}{hint}")
