"""Remembered keys are those that would be worked out: what a file is made of holds whatever shapes it."""

import datetime as dt
import sys
from dataclasses import replace
from pathlib import PurePath

import msgspec
import pytest

from archgen.catalogue import PortfolioFolder
from archgen.clock import WatchedDay
from archgen.config import ArchiveSettings, Config, Limits
from archgen.findings import Finding, Place, Severity
from archgen.languages.house import speak
from archgen.outputs.archive.body import Figure
from archgen.outputs.archive.context import Context
from archgen.outputs.archive.piece.page import made_of_piece, piece_view
from archgen.outputs.archive.search import _pieces, _stencils
from archgen.outputs.known_keys import KnownKeys
from archgen.outputs.sheets.view import case_sheet, made_of_sheet
from archgen.pieces.survey import survey
from archgen.records import model
from archgen.render.html import load_theme
from archgen.storage.plain_files import sealed, unsealed
from archgen.values.digests import value_digest
from tests.builders import TODAY, make_catalogue, make_piece, make_record, paper_facts


@pytest.fixture
def file(tmp_path):
    return tmp_path / "cache/keys.json"


def asked_for(file, *made_of, key=lambda: "the key"):
    keys, worked_out = KnownKeys(file), []
    found = [keys.key(one, lambda: worked_out.append(1) or key()) for one in made_of]
    keys.save()
    return found, len(worked_out)


def test_a_key_is_worked_out_once_for_what_it_is_made_of(file):
    made_of = (make_record(), {"a": frozenset({"x", "y"})}, dt.date(2026, 1, 2), Severity.NOTE, None)
    assert asked_for(file, made_of) == (["the key"], 1)
    assert asked_for(file, made_of) == (["the key"], 0)
    assert asked_for(file, made_of, (1, 2)) == (["the key"] * 2, 1)
    assert asked_for(None, made_of) == asked_for(None, made_of) == (["the key"], 1)


def test_what_is_not_asked_for_is_forgotten(file):
    asked_for(file, (1,), (2,))
    asked_for(file, (1,))
    assert asked_for(file, (1,), (2,))[1] == 1


@pytest.mark.parametrize(("old", "new"), [(b"the", b"any"), (b"}", b""), (b"{", b"[")])
def test_a_damaged_memory_is_empty(file, old, new):
    asked_for(file, (1,))
    file.write_bytes(file.read_bytes().replace(old, new))
    assert asked_for(file, (1,)) == (["the key"], 1)


def test_another_program_works_everything_out_anew(file, monkeypatch):
    asked_for(file, (1,))
    content = unsealed(file.read_bytes(), file.name)
    file.write_bytes(sealed(content, file.name))
    assert asked_for(file, (1,))[1] == 0
    monkeypatch.setattr("archgen.outputs.known_keys.program_state", lambda: "another")
    assert asked_for(file, (1,))[1] == 1


def test_a_day_that_is_part_of_a_key_is_asked(file):
    day = WatchedDay.of(TODAY)
    asked_for(file, (day,))
    assert day.same_days == (TODAY, TODAY)


FINDING = Finding(
    "record.x", Severity.NOTE, "2026-03-14-barn-owl", Place("pieces/2026-03-14-barn-owl/piece.toml", 3), "So.", "Do."
)
RECALLED = model.InkBatch(batch="GW2-2231", name="grey wash 2", recalled=dt.date(2026, 6, 1))
LATER = {"built_on": dt.date(2029, 1, 1)}
# What differs on the page of the owl, on its sheet, or on both.
CHANGES = {
    "finding": {"findings": (FINDING,)},
    "settings": {"config": Config(PurePath("content"), limits=Limits(stroke_mm=0.9))},
    "portfolio": {"portfolio": PortfolioFolder(frozenset({"2026-03-14-barn-owl"}))},
    "recall": {"inks": {"GW2-2231": RECALLED}},
    "told": {
        "inks": {"GW2-2231": RECALLED},
        "told": (model.Told(batch="GW2-2231", client="C-0042", date=dt.date(2026, 7, 1)),),
    },
    "number as it is registered": {"inks": {"gw2 2231": model.InkBatch(batch="gw2 2231", name="grey wash 2")}},
    "client as it is registered": {"clients": {"c42": model.Client(code="c42")}},
    "name of the client": {"clients": {"C-0042": model.Client(code="C-0042", name="Ann Nobody")}},
    "units": {"config": Config(PurePath("content"), archive=ArchiveSettings(units="in"))},
    "day": LATER,
}
OTHERS = {
    "neighbour": (make_piece("2027-01-01-moth", make_record(title="Moth", client=None)),),
    "page of another name": (make_piece("2026-03-14-BARN-OWL", make_record(title="Owl", client=None)),),
    "same number": (make_piece("a", make_record(ink=(model.Ink(batch="gw2-2231"),))),),
}


def owl(**changes):
    release = model.Release(status=model.ReleaseStatus.GRANTED, scope=("print",), expires=dt.date(2028, 1, 1))
    return make_piece(record=make_record(publish=False, release=release, **changes))


@pytest.fixture
def made(tmp_path):
    """Give page, sheet, the answers of the search, and what each is made of, encoded."""
    figure = Figure(load_theme("archive").files["figure.svg"])

    def of(*others, not_made=frozenset(), originals="..", **changes):
        catalogue = survey(make_catalogue(tmp_path, owl(), *others, facts_of=paper_facts, **changes))
        context = Context(replace(catalogue, not_made=not_made), originals)
        overview = context.overviews[owl().id]
        (piece,) = _pieces(context, [overview])
        (stencil,) = _stencils(context, [(overview, overview.versions[0])])
        made_of = (
            made_of_piece(context, overview),
            (repr(catalogue.config), made_of_sheet(overview, overview.record, catalogue)),
            piece.made_of,
            stencil.made_of,
        )
        page, sheet = piece_view(context, overview, figure), case_sheet(overview, overview.record, catalogue)
        made = repr(page), msgspec.json.encode(sheet), piece.made(), stencil.made()
        return tuple(zip(made, map(value_digest, made_of), strict=True))

    return of


@pytest.mark.parametrize("name", [*CHANGES, *OTHERS, "no sheet", "originals"])
def test_where_a_page_or_sheet_differs_what_it_is_made_of_does(made, name):
    more = {"no sheet": {"not_made": frozenset({f"sheets/{owl().id}.pdf"})}, "originals": {"originals": "../else"}}
    before = made()
    after = made(*OTHERS.get(name, ()), **CHANGES.get(name, more.get(name, {})))
    differs = [one[0] != other[0] for one, other in zip(before, after, strict=True)]
    assert any(differs)
    assert all(one[1] != other[1] for one, other, differ in zip(before, after, differs, strict=True) if differ)
    assert made() == before


class Noting:
    """Something of which is noted what the modules of the piece's page, or its sheet, ask for."""

    def __init__(self, own, asked, modules, more=None):
        self.__dict__.update(own=own, asked=asked, modules=modules, more=more or {})

    def __getattr__(self, name):
        frame = sys._getframe(1)
        if frame.f_code.co_filename.endswith(self.modules) or frame.f_code.co_name in ("problem", "also_used"):
            self.asked.add(name)
        return self.more.get(name) or getattr(self.own, name)


def test_page_and_sheet_of_a_piece_ask_for_nothing_else(tmp_path):
    """What is asked for here and is not part of what they are made of yet belongs there first."""
    catalogue = survey(
        make_catalogue(
            tmp_path, owl(), *OTHERS["neighbour"], facts_of=paper_facts, findings=(FINDING,), **CHANGES["told"]
        )
    )
    asked, asked_of_catalogue = set(), set()
    modules = tuple(f"archive/piece/{name}.py" for name in ("page", "work", "photos", "lineage", "reading", "healing"))
    context = Noting(
        Context(catalogue, ".."), asked, modules, {"catalogue": Noting(catalogue, asked_of_catalogue, modules)}
    )
    overview = catalogue.overviews[owl().id]
    piece_view(context, overview, Figure(load_theme("archive").files["figure.svg"]))
    assert asked == {
        "site", "catalogue", "original", "units", "piece_pages", "client_pages", "batch_pages_of", "pieces_to_tell",
    }  # fmt: skip
    assert asked_of_catalogue == {"findings_of", "not_made", "config", "is_in_portfolio", "built_on", "piece_at"}
    asked_of_catalogue.clear()
    noting = Noting(catalogue, asked_of_catalogue, ("sheets/view.py", "sheets/rows.py"))
    case_sheet(overview, overview.record, noting)
    assert asked_of_catalogue == {"config", "built_on"}


def test_what_the_search_keeps_is_made_once_for_what_it_is_made_of(tmp_path, file):
    keys = KnownKeys(file)
    context = Context(survey(make_catalogue(tmp_path, owl(), facts_of=paper_facts)), "..")
    (answer,) = _pieces(context, context.overviews.values())
    kept = answer.kept(keys)
    keys.save()
    assert kept == answer.made()
    unmade = replace(answer, shown=None)
    assert unmade.kept(KnownKeys(file)) == unmade.kept(keys) == kept


def test_who_was_told_of_a_recall_shapes_the_answer(made):
    """The bottle is recalled in both: only what is still to be said differs."""
    recalled, told = (made(**CHANGES[name])[2] for name in ("recall", "told"))
    assert recalled[0] != told[0]
    assert recalled[1] != told[1]


def test_what_the_search_keeps_speaks_the_language_of_the_house(tmp_path):
    keys = KnownKeys()
    context = Context(survey(make_catalogue(tmp_path, owl(), facts_of=paper_facts)), "..")
    (answer,) = _pieces(context, context.overviews.values())
    english = answer.kept(keys)
    speak("de")
    assert answer.kept(keys).text != english.text
