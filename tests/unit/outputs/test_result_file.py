"""A result is written over an earlier one of its kind, and over nothing else."""

import os

import pytest

from archgen.errors import OutputError
from archgen.outputs.result_file import write_file


def test_an_earlier_one_is_replaced_and_something_else_is_not(tmp_path):
    target = tmp_path / "sheet.pdf"
    for content in (b"%PDF one", b"%PDF two"):
        write_file(target, content, tmp_path / "archive")
        assert target.read_bytes() == content
    target.write_bytes(b"letter")
    with pytest.raises(OutputError, match="something else"):
        write_file(target, b"%PDF", tmp_path / "archive")


def test_what_is_no_file_is_not_read_for_its_beginning(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    for target in (tmp_path / "pipe", tmp_path / "link"):
        if target.name == "link":
            target.symlink_to("/dev/zero")
        with pytest.raises(OutputError, match="something else"):
            write_file(target, b"", tmp_path / "archive", begins=b"")
