"""How groups of doubles are named on the terminal."""

from archgen.catalogue import DoubleGroup
from archgen.commands.texts.twins_text import title_of
from tests.builders import make_catalogue, make_piece, make_record, paper_facts


def test_a_group_is_named_by_its_pieces_whatever_their_folders_are_called(tmp_path):
    one = make_piece("owl", make_record(title="Owl"))
    folder = "zz\x1b[35mQZ"
    two = make_piece(
        "zz-QZ", make_record(title="Moth"), folder_name=folder, photos=(f"pieces/{folder}/photos/owl.jpg",)
    )
    catalogue = make_catalogue(tmp_path, one, two, facts_of=paper_facts)
    group = DoubleGroup((one.photos[0], two.photos[0]), mirrored=False)
    assert title_of(catalogue, group).startswith("Owl, Moth: ")
