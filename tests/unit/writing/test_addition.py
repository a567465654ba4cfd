"""Tables added at the end of a register."""

import pytest

from archgen.errors import ConfigError, InputError, OutputError
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
    assert (added.first_line, added.last_line) == lines
    assert added.place == f"{path}, lines {lines[0]} to {lines[1]}"
    added.write()
    assert path.read_bytes().decode() == after
    assert [entry.name for entry in root.iterdir()] == ["told.toml"]


def test_nothing_is_written_before_it_is_asked_for(root):
    addition(root, "told.toml", [TABLE])
    assert list(root.iterdir()) == []


@pytest.mark.parametrize("before", [None, b"# mine\n"])
def test_a_file_that_was_changed_in_the_meantime_is_left_alone(root, before):
    path = root / "told.toml"
    if before is not None:
        path.write_bytes(before)
    added = addition(root, "told.toml", [TABLE])
    path.write_bytes(b"# somebody else's\n")
    with pytest.raises(OutputError):
        added.write()
    assert path.read_bytes() == b"# somebody else's\n"


def test_a_link_inside_the_archive_stays_a_link(root):
    (root / "kept-elsewhere.toml").write_text("# mine\n")
    (root / "told.toml").symlink_to(root / "kept-elsewhere.toml")
    addition(root, "told.toml", [TABLE]).write()
    assert (root / "told.toml").is_symlink()
    assert (root / "kept-elsewhere.toml").read_text() == f"# mine\n\n{TABLE}\n"


def test_the_version_before_is_kept_under_its_digest(root, tmp_path):
    out = tmp_path / "build"
    assert addition(root, "told.toml", [TABLE]).keep_before(out, root) is None
    assert not out.exists()
    names = set()
    for text in ("# one\n", "# two\n", "# one\n"):
        (root / "told.toml").write_text(text)
        kept = addition(root, "told.toml", [TABLE]).keep_before(out, root)
        assert kept.read_text() == text
        names.add(kept.name)
    assert len(names) == 2


def test_the_version_before_is_kept_in_no_folder_of_somebody_else(root, tmp_path):
    out = tmp_path / "mine"
    out.mkdir()
    (out / "picture.jpg").write_bytes(b"x")
    (root / "told.toml").write_text("# one\n")
    with pytest.raises(OutputError):
        addition(root, "told.toml", [TABLE]).keep_before(out, root)
    assert [entry.name for entry in out.iterdir()] == ["picture.jpg"]


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
