"""Only what may be at a piece's place or of its client is read, whatever way it is written."""

import pytest

from archgen.reading.related import read_related
from archgen.records.find import read_one
from tests.cli.archive import add_piece

RECORD = 'title = "{0}"\n{1}\n[[sitting]]\nnote = "slow"\n'
OWL = 'client = "C-0007"\n[placement]\nregion = "forearm-outer"'


@pytest.mark.parametrize(
    ("fields", "is_read"),
    [
        ('client = "C-0008"\n[placement]\nregion = "calf"', False),
        ('client = "c7"\n[placement]\nregion = "calf"', True),
        ("client = 'C-0008'\n[placement]\nregion = 'outer forearm'", True),
        ('[placement]\nregion = "Unterarm außen"', True),
        ('placement = {region = "forearm outer"}', True),
        ('[placement]\nregion = "somewhere"', True),
        ("", True),
    ],
)
def test_what_may_belong_to_it_is_read(tmp_path, fields, is_read):
    for name, text in (("owl", OWL), ("other", fields)):
        add_piece(tmp_path, name, RECORD.format(name, text))
    found = [piece.id for piece in read_related(tmp_path, read_one(tmp_path, "owl"), "mm")]
    assert found == (["other", "owl"] if is_read else ["owl"])


def test_what_has_no_notes_is_left_alone(tmp_path):
    add_piece(tmp_path, "owl", 'title = "Owl"\n' + OWL)
    assert list(read_related(tmp_path, read_one(tmp_path, "owl"), "mm")) == []
