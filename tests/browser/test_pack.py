"""A pack opened from the disk, as on a phone without a connection."""

import pytest
from click.testing import CliRunner

from archgen.cli import archgen
from tests.cli.test_pack import write_archive

pytestmark = pytest.mark.browser


def test_a_pack_opens_by_itself_and_reads_well(tmp_path, visit, axe, vnu):
    file = tmp_path / "two.html"
    where = ["--archive", str(write_archive(tmp_path / "content")), "--out", str(tmp_path / "built")]
    assert CliRunner().invoke(archgen, ["pack", "owl", "moth", "--to", str(file), *where]).exit_code == 0
    for width, scheme in ((390, "light"), (1440, "dark")):
        seen = visit(file, width=width, scheme=scheme)
        assert seen.console == []
        assert seen.outside == []
        assert seen.overhang == 0
        shown = seen.page.evaluate("[...document.images].map(one => one.complete && one.naturalWidth > 0)")
        assert shown == [True] * 3
        assert axe(seen.page) == []
    assert vnu(file) == []
