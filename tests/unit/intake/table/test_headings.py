"""Which column says what."""

import pytest

from archgen.errors import UsageError
from archgen.intake.table.headings import Column, keep_told, load_told, map_columns, read_told


@pytest.mark.parametrize(
    ("heading", "column", "unit"),
    [
        ("Title", Column.TITLE, None),
        ("MOTIV", Column.TITLE, None),
        ("Título", Column.TITLE, None),
        ("Datum", Column.DATE, None),
        ("Kunde", Column.CLIENT, None),
        ("Körperstelle", Column.PLACEMENT, None),
        ("Größe (cm)", Column.SIZE, "cm"),
        ("Width in mm", Column.WIDTH, "mm"),
        ("Height [in]", Column.HEIGHT, "in"),
        ("Aiguilles", Column.NEEDLES, None),
        ("Prix", Column.PRICE, None),
        ("Anteckningar", Column.NOTE, None),
        ("Photo release", Column.RELEASE, None),
        # A name may be the client's, and a title is public; a time may be that of the day.
        ("Name", None, None),
        ("Time", None, None),
        ("Phone", None, None),
        ("", None, None),
    ],
)
def test_headings_in_several_languages(heading, column, unit):
    (mapped,) = map_columns([heading], {})
    assert (mapped.column, mapped.unit) == (column, unit)


def test_what_was_told_counts_before_the_heading():
    columns = map_columns(["Motif", "Name", "Phone"], read_told(["name=title", "Motif=-", "Phone=note"]))
    assert [one.column for one in columns] == [None, Column.TITLE, Column.NOTE]


def test_a_second_column_of_one_kind_is_left_out_unless_several_may_be():
    columns = map_columns(["Titel", "Motiv", "Needle", "Needles"], {})
    assert [one.column for one in columns] == [Column.TITLE, None, Column.NEEDLES, Column.NEEDLES]


@pytest.mark.parametrize(
    ("told", "said"),
    [(["Motif=colour"], "Write --column"), (["Motif"], "Write --column"), (["Motiff=title"], 'Perhaps "Motif"')],
)
def test_what_cannot_be_told_is_said_in_one_sentence(told, said):
    with pytest.raises(UsageError, match=said):
        map_columns(["Motif", "Name"], read_told(told))


def test_two_columns_cannot_be_the_title():
    with pytest.raises(UsageError, match="Leave one out"):
        map_columns(["Motif", "Name"], read_told(["Motif=title", "Name=title"]))


def test_what_was_told_is_kept_for_tables_with_these_headings(tmp_path):
    file = tmp_path / "columns.toml"
    keep_told(file, read_told(["Name=title", 'A "b"=-']))
    keep_told(file, read_told(["Phone=note"]))
    assert load_told(file, ["NAME", "Phone", 'a "b"', "Where"]) == {
        "NAME": Column.TITLE,
        "Phone": Column.NOTE,
        'a "b"': None,
    }
    assert load_told(file, ["Where"]) == {}
    file.write_text("= broken", encoding="utf-8")
    assert load_told(file, ["Name"]) == {}
