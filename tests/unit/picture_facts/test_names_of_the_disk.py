"""An archive may lie in a folder whose name is no text: its pictures are read like any others."""

import os
import sys
from pathlib import Path

import pytest

from archgen.picture_facts.facts import ImageJob, Role
from archgen.picture_facts.stage import read_pictures
from archgen.progress import Silent
from archgen.storage.cache import Cache
from tests.unit.images.pictures import encoded, line_art, photo

SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="30mm" height="20mm"><path d="M9 9h40v30" stroke="#000"/></svg>'
FILES = {
    "a.webp": (Role.PHOTO, encoded(photo(), "WEBP")),
    "a.svg": (Role.STENCIL, SVG.encode()),
    "a.pdf": (Role.STENCIL, encoded(line_art(), "PDF")),
}


@pytest.mark.skipif(sys.platform != "linux", reason="other systems take no such name")
@pytest.mark.parametrize("name", FILES)
def test_pictures_in_a_folder_whose_name_is_no_text_are_read(tmp_path, name):
    root = Path(os.fsdecode(os.fsencode(tmp_path) + b"/M\xfcller"))
    root.mkdir()
    role, content = FILES[name]
    (root / name).write_bytes(content)
    (result,) = read_pictures([ImageJob(name, role)], root, Cache(tmp_path / "cache"), 1, Silent()).values()
    assert result.facts, result.findings
