"""Whatever an artist writes, there is a sheet."""

import datetime as dt

from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from archgen.outputs.sheets.case_sheet import CaseSheets
from archgen.pieces.survey import survey
from archgen.records import model
from tests.builders import make_catalogue, make_piece

TEXT = st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=40)


@settings(max_examples=10, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@example(title="\x1f", notes="\x1f", code="\x1f", language="\x1f")
@given(title=TEXT, notes=TEXT, code=TEXT, language=TEXT)
def test_any_text_gives_a_sheet(tmp_path, title, notes, code, language):
    record = model.PieceRecord(
        title=title,
        client=code,
        styles=(language,),
        needle=(model.Needle(code=code, use=notes),),
        sitting=(model.Sitting(date=dt.date(2026, 3, 1), note=notes),),
        reference=(model.Reference(source=title, creator=code, license=language),),
    )
    catalogue = make_catalogue(tmp_path, make_piece(record=record, notes=f"# {notes}\n\n{notes}", references=()))
    (sheet,) = CaseSheets(survey(catalogue), tmp_path).artifacts()
    assert sheet.make().startswith(b"%PDF-")
