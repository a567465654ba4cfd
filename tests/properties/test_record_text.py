"""A thousand edits of records as people write them: remarks and unknown lines survive, nothing else changes."""

import copy
import datetime as dt
import random
import re
import tomllib

import pytest
import tomlkit

from archgen.writing.record_text import AddTable, RemoveKey, SetKey, edit_bytes

EDITS = 1000
EDITS_OF_ONE = 5
TEXTS = ("Owl", 'a "b"', "C:\\x", "# no remark", "[x]", "a = 1", "ünï", "two\nlines", "")
TOP = ("title", "client", "styles", "subjects", "publish", "finished")
KEYS = ("file", "note", "width", "height", "license", "date", "allows", "hours")
TABLES = ("size", "placement", "release", "price")
ARRAYS = ("reference", "stencil", "photo", "sitting", "ink")


class Writer:
    """Writes a record in one of the many ways in which people write one."""

    def __init__(self, seed):
        self.chance = random.Random(seed)
        self.remarks = []
        self.unknown = []

    def often(self, share):
        return self.chance.random() < share

    def remark(self, share=0.3):
        if not self.often(share):
            return ""
        self.remarks.append(f"#r{len(self.remarks)}r {self.chance.choice(TEXTS[:-2])}")
        return self.remarks[-1]

    def value(self, *, inline=False):
        plain = [
            lambda: self.chance.choice(("7", "true", "2026-03-14", "3.5", "2026-03-14 10:30:00", "0x1f")),
            lambda: f"'{self.chance.choice(('plain', 'with # in it', 'a = [b'))}'",
            lambda: tomlkit.item(self.chance.choice(TEXTS)).as_string(),
            self.inline_table,
        ]
        long = [] if inline else [lambda: '"""\nmany # lines\n[not.a.table]\n"""', self.list_of_texts]
        return self.chance.choice([*plain, *long])()

    def inline_table(self):
        inner = ", ".join(f"{key} = {self.value(inline=True)}" for key in self.chance.sample(KEYS, 2))
        return f"{{ {inner} }}" if self.often(0.8) else "{}"

    def list_of_texts(self):
        gap = "\n  " if self.often(0.5) else " "
        items = [
            f"{tomlkit.item(self.chance.choice(TEXTS[:5])).as_string()},{' ' + self.remark() if gap != ' ' else ''}"
            for _ in range(self.chance.randrange(4))
        ]
        return gap.join(["[", *items, "]"])

    def pairs(self, names, indent=""):
        lines = []
        width = max(map(len, names), default=0) if self.often(0.5) else 0
        for name in names:
            if remark := self.remark(0.15):
                lines.append(f"{indent}{remark}")
            lines.append(
                f"{indent}{name:<{width}} = {self.value()}{'  ' * self.often(0.5)} {self.remark()}".rstrip(" ")
            )
            if self.often(0.1):
                self.unknown.append(f"{indent}x-{len(self.unknown)} = {self.chance.randrange(9)}")
                lines.append(self.unknown[-1])
        return lines

    def some(self, names, most=4):
        return self.chance.sample(names, self.chance.randrange(min(most, len(names)) + 1))

    def record(self):
        lines = [self.remark(0.5), *self.pairs(self.some(TOP))]
        if self.often(0.2):
            lines.append("ready.by.hand = 1")
        blocks = [[f"[{name}] {self.remark()}".rstrip(), *self.pairs(self.some(KEYS))] for name in self.some(TABLES, 3)]
        for name in self.some(ARRAYS):
            block = []
            for _ in range(self.chance.randrange(1, 4)):
                block += ["", f"[[{name}]] {self.remark()}".rstrip(), *self.pairs(self.some(KEYS))]
                for _ in range(self.chance.randrange(3) if name == "stencil" else 0):
                    block += ["  [[stencil.landmark]]", *self.pairs(self.some(("on", "at", "stencil")), "  ")]
            blocks.append(block)
        self.chance.shuffle(blocks)
        for block in blocks:
            lines += ["", *([self.remark(0.2)] if self.often(0.4) else []), *block]
        text = "\n".join(lines) + ("\n" if self.often(0.9) else "")
        return text.replace("\n", "\r\n") if self.often(0.2) else text

    def new_value(self):
        return self.chance.choice(
            (*TEXTS, True, 7, 3.25, dt.date(2026, 5, 4), [], ["a", 'b"'], ["a" * 60, "b" * 60], [412, 980])
        )

    def edit(self, values):
        arrays = [
            key for key, value in values.items() if isinstance(value, list) and value and isinstance(value[0], dict)
        ]
        made = {key: self.new_value() for key in self.some(KEYS, 3)}
        found = [
            SetKey((self.chance.choice(TOP),), self.new_value()),
            SetKey((self.chance.choice(TABLES), self.chance.choice(KEYS)), self.new_value()),
            AddTable((self.chance.choice(ARRAYS),), made),
        ]
        if values:
            found.append(RemoveKey((self.chance.choice(sorted(values)),)))
        if arrays:
            name = self.chance.choice(arrays)
            number = self.chance.randrange(len(values[name]))
            found += [SetKey((name, number, self.chance.choice(KEYS)), self.new_value()), RemoveKey((name, number))]
        if "stencil" in arrays:
            number = self.chance.randrange(len(values["stencil"]))
            found.append(AddTable(("stencil", number, "landmark"), {"stencil": [1, 2], "on": "p", "at": [3, 4]}))
        return self.chance.choice(found)


def applied(values, edit):
    """Do the edit to the values, in the plainest way."""
    values = copy.deepcopy(values)
    inner = values
    for step in edit.way[:-1]:
        inner = inner.setdefault(step, {}) if isinstance(inner, dict) else inner[step]
    last = edit.way[-1]
    if isinstance(edit, SetKey):
        inner[last] = edit.value
    elif isinstance(edit, AddTable):
        inner.setdefault(last, []).append(dict(edit.values))
    else:
        del inner[last]
    return {key: value for key, value in values.items() if value not in ({}, [])}


def read(content):
    return {key: one for key, one in tomllib.loads(content.decode("utf-8-sig")).items() if one not in ({}, [])}


@pytest.mark.parametrize("seed", range(EDITS // EDITS_OF_ONE))
def test_remarks_and_unknown_lines_survive_and_only_what_was_wanted_changes(seed):
    writer = Writer(seed)
    content = writer.record().encode()
    if seed % 7 == 0:
        content = b"\xef\xbb\xbf" + content
    line_ends = content.count(b"\r\n") == content.count(b"\n")
    for _ in range(EDITS_OF_ONE):
        before = tomllib.loads(content.decode("utf-8-sig"))
        edit = writer.edit(before)
        is_wrong = any(
            not isinstance(before.get(edit.way[0], {} if isinstance(edit, SetKey) else []), (dict, list))
            for _ in edit.way[1:] or [0] * isinstance(edit, AddTable)
        )
        assert not is_wrong
        done = edit_bytes(content, [edit], "piece.toml")
        assert read(done.after) == applied(before, edit), (edit, content.decode())
        text = done.after.decode()
        for remark in writer.remarks:
            assert remark in text, (edit, remark)
        gone = isinstance(edit, RemoveKey)
        assert [line for line in writer.unknown if line.strip() in text or gone] == writer.unknown
        writer.unknown = [line for line in writer.unknown if line.strip() in text]
        old, new = (re.split(r"\r?\n", one.decode()) for one in (content, done.after))
        lost = [line for line in old if line not in new]
        first = old.index(lost[0]) if lost else 0
        above = old[max(first - 2 * len(TEXTS), 0) : first + 1]  # a list may stand on so many lines
        is_old_value = isinstance(edit, SetKey) and any(line.lstrip().startswith(edit.way[-1]) for line in above)
        assert gone or not lost or is_old_value, (edit, lost)
        assert (done.after.count(b"\r\n") == done.after.count(b"\n")) == line_ends or not line_ends
        assert text.startswith("\ufeff") == (seed % 7 == 0)
        content = done.after


@pytest.mark.parametrize("seed", range(100))
def test_the_same_holds_where_lines_are_no_toml(seed):
    writer = Writer(seed)
    lines = writer.record().split("\n")
    broken = writer.chance.choice(("width = 62 mm", "finished = 7/3/26", "no equals", '= "x"', "note = 'it's'"))
    places = [number for number, line in enumerate(lines) if re.match(r"\[(?!not)|x-|#r", line)] or [0]
    lines.insert(writer.chance.choice(places), broken)
    text = "\n".join(lines)
    done = edit_bytes(text.encode(), [SetKey(("client",), "C-7"), AddTable(("photo",), {"file": "n"})], "piece.toml")
    assert broken in done.after.decode().split("\n") or broken in done.after.decode().split("\r\n")
    rest = "\n".join(line for line in done.after.decode().split("\n") if line != broken)
    wanted = tomllib.loads("\n".join(line for line in lines if line != broken))
    wanted["client"] = "C-7"
    wanted.setdefault("photo", []).append({"file": "n"})
    assert tomllib.loads(rest) == wanted
