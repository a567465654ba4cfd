"""Tables added at the end of a register."""

import pytest

from archgen.errors import ConfigError, InputError
from archgen.writing.addition import addition

TABLE = '[[told]]\nbatch = "A"'


@pytest.fixture
def root(tmp_path):
    (tmp_path / "archive").mkdir()
    return tmp_path / "archive"


@pytest.mark.parametrize(
    ("before", "after", "lines"),
    [
        (None, f"{TABLE}\n\n{TABLE}\n", (1, 5)),
        ("", f"{TABLE}\n\n{TABLE}\n", (1, 5)),
        ("\n\n", f"\n\n{TABLE}\n\n{TABLE}\n", (3, 7)),
        ("# mine\n\n\n", f"# mine\n\n{TABLE}\n\n{TABLE}\n", (3, 7)),
        ("\ufeff# mine\r\n", f"\ufeff# mine\n\n{TABLE}\n\n{TABLE}\n".replace("\n", "\r\n"), (3, 7)),
    ],
)
def test_everything_above_stays_and_the_place_is_told(root, before, after, lines):
    path = root / "told.toml"
    if before is not None:
        path.write_bytes(before.encode())
    added = addition(root, "told.toml", [TABLE, TABLE])
    assert (added.written[0].number, added.written[-1].number) == lines
    assert added.place(root) == f"{path}, lines {lines[0]} to {lines[1]}"
    assert added.after.decode() == after
    assert added.before == (None if before is None else before.encode())


def test_nothing_is_written_before_it_is_asked_for(root):
    addition(root, "told.toml", [TABLE])
    assert list(root.iterdir()) == []


@pytest.mark.parametrize("content", [b"[[told\n", b"told = 1\n", b"told = []\nx = [\n"])
def test_what_is_not_a_register_takes_no_lines(root, content):
    (root / "told.toml").write_bytes(content)
    with pytest.raises(ConfigError):
        addition(root, "told.toml", [TABLE])


def test_another_encoding_is_told(root):
    (root / "told.toml").write_bytes("# für\n".encode("latin-1"))
    with pytest.raises(InputError):
        addition(root, "told.toml", [TABLE])


def test_a_folder_in_its_place_is_told(root):
    (root / "told.toml").mkdir()
    with pytest.raises(ConfigError):
        addition(root, "told.toml", [TABLE])
