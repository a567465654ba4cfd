"""Every batch number of an archive."""

import dataclasses
import datetime as dt

from archgen.records import model
from archgen.tracing.book import BatchBook, BatchKind, days_of
from tests.builders import make_piece, make_record, paper_catalogue

DAY = dt.date(2026, 3, 14)


def book(tmp_path, *pieces, **changes):
    return BatchBook(paper_catalogue(tmp_path, *pieces, **{"inks": {}, **changes}))


def piece(name="a", **changes):
    return make_piece(name, make_record(**{"ink": (), "needle": (), **changes}))


def test_all_days_of_a_piece_are_given_in_order(tmp_path):
    days = [dt.date(2026, 4, 2), dt.date(2026, 3, 14), dt.date(2026, 4, 2)]
    sittings = tuple(model.Sitting(date=day) for day in days)
    pieces = (
        piece("sat", ink=(model.Ink(),), sitting=sittings, finished=dt.date(2026, 5, 1)),
        piece("done", ink=(model.Ink(),), sitting=(), finished=DAY),
        piece("undated", ink=(model.Ink(),), sitting=(), finished=None),
    )
    found = {use.piece.id: (use.days, use.last_day) for use in book(tmp_path, *pieces).uses}
    assert found == {
        "sat": ((DAY, dt.date(2026, 4, 2)), dt.date(2026, 4, 2)),
        "done": ((DAY,), DAY),
        "undated": ((), None),
    }


def test_a_piece_without_a_record_has_no_days_and_no_client(tmp_path):
    (use,) = book(tmp_path, piece(ink=(model.Ink(batch="B-1", expiry=dt.date(2020, 1, 1)),), client="C-1")).uses
    nobody = model.Piece(id="a", record=None)
    unread = dataclasses.replace(use, piece=nobody, days=days_of(nobody))
    assert (unread.days, unread.last_day, unread.was_late, unread.client) == ((), None, False, None)
    assert (use.was_late, use.client) == (True, "C-1")


def test_each_number_of_a_field_is_a_use_with_what_the_register_knows_of_it(tmp_path):
    bottles = (
        model.InkBatch(batch="GW2-1", name="grey wash 2", maker="Brackwater", expiry=DAY),
        model.InkBatch(batch="BK-9", name="dense black"),
    )
    ink = model.Ink(batch="lot GW2-1, BK-9, ZZ-3", use="fur")
    found = book(tmp_path, piece(ink=(ink,)), inks={bottle.batch: bottle for bottle in bottles})
    assert [(use.batch, use.name, use.maker, use.expiry, use.use, use.is_certain) for use in found.uses] == [
        ("GW2-1", "grey wash 2", "Brackwater", DAY, "fur", True),
        ("BK-9", "dense black", None, None, "fur", True),
        ("ZZ-3", None, None, None, "fur", True),
    ]
    assert {use.written for use in found.uses} == {ink.batch}


def test_the_record_goes_before_the_register(tmp_path):
    bottle = model.InkBatch(batch="GW2-1", name="grey wash 2", maker="Brackwater", expiry=DAY)
    ink = model.Ink(batch="GW2-1", name="middle grey", maker="Other", expiry=dt.date(2027, 1, 1))
    (use,) = book(tmp_path, piece(ink=(ink,)), inks={"GW2-1": bottle}).uses
    assert (use.name, use.maker, use.expiry) == ("middle grey", "Other", dt.date(2027, 1, 1))
    assert use.products == ("Other middle grey", "Brackwater grey wash 2")


def test_what_the_register_has_exactly_so_is_one_certain_number(tmp_path):
    bottle = model.InkBatch(batch="AKBZ, new")
    (use,) = book(tmp_path, piece(ink=(model.Ink(batch="AKBZ, new"),)), inks={bottle.batch: bottle}).uses
    assert (use.batch, use.is_certain) == ("AKBZ, new", True)


def test_a_field_without_a_number_is_a_use_without_one(tmp_path):
    inks = (model.Ink(name="black"), model.Ink(name="white", batch="see label photo"))
    found = book(tmp_path, piece(ink=inks)).uses
    assert [(use.name, use.batch, use.written, use.is_certain) for use in found] == [
        ("black", None, None, False),
        ("white", None, "see label photo", False),
    ]


def test_a_box_tells_the_sterilisation_and_expiry_of_a_needle(tmp_path):
    boxes = (
        model.Box(code="3RL", batch="N 88213", sterilisation="S-19", expiry=DAY),
        model.Box(code="3RL", batch="N-88213", sterilisation="S-20"),
    )
    needles = (model.Needle(code="3RL", batch="n-88213"), model.Needle(code="7RL", batch="N-1", sterilisation="S-2"))
    found = book(tmp_path, piece(needle=needles), boxes=boxes)
    assert [(use.kind, use.batch, use.expiry) for use in found.uses] == [
        (BatchKind.NEEDLE, "n-88213", DAY),
        (BatchKind.STERILISATION, "S-19", DAY),
        (BatchKind.NEEDLE, "N-1", None),
        (BatchKind.STERILISATION, "S-2", None),
    ]


def test_what_the_needle_says_itself_goes_before_its_box(tmp_path):
    box = model.Box(code="3RL", batch="N-1", sterilisation="S-19", expiry=DAY)
    needle = model.Needle(code="3RL", batch="N-1", sterilisation="S-7", expiry=dt.date(2027, 1, 1))
    found = book(tmp_path, piece(needle=(needle,)), boxes=(box,)).uses
    assert [(use.batch, use.expiry) for use in found] == [("N-1", needle.expiry), ("S-7", needle.expiry)]


def test_the_register_is_read_as_entries_of_four_kinds(tmp_path):
    bottle = model.InkBatch(batch="B-1", name="black", maker="M", opened=DAY, closed=DAY, expiry=DAY, recalled=DAY)
    box = model.Box(code="3RL", batch="N-1", sterilisation="S-1", opened=DAY, closed=DAY, expiry=DAY)
    supplies = (model.Supply(name="soap", maker="M", batch="P-1", opened=DAY, closed=DAY), model.Supply(name="film"))
    found = book(tmp_path, piece(), inks={"B-1": bottle}, boxes=(box, model.Box(code="7RL")), supplies=supplies)
    assert [(entry.kind, entry.batch, entry.name, entry.maker, entry.expiry) for entry in found.entries] == [
        (BatchKind.INK, "B-1", "black", "M", DAY),
        (BatchKind.NEEDLE, "N-1", "3RL", None, DAY),
        (BatchKind.STERILISATION, "S-1", "3RL", None, DAY),
        (BatchKind.SUPPLY, "P-1", "soap", "M", None),
    ]
    assert {(entry.opened, entry.closed) for entry in found.entries} == {(DAY, DAY)}
    assert [entry.recalled for entry in found.entries] == [DAY, None, None, None]
    assert found.numbers == ("B-1", "N-1", "P-1", "S-1")


def test_a_number_is_shown_as_the_register_spells_it_else_as_most_pieces_do(tmp_path):
    written = ("gw2 2231", "GW2 2231", "GW2 2231", "n1", "N1", "n1")
    pieces = [piece(f"p{n}", ink=(model.Ink(batch=text),)) for n, text in enumerate(written)]
    found = book(tmp_path, *pieces, inks={"GW2-2231": model.InkBatch(batch="GW2-2231")})
    assert [found.name_of(text) for text in ("gw22231", "N-1", "ZZ")] == ["GW2-2231", "n1", "ZZ"]


def test_uses_and_entries_can_be_asked_by_kind(tmp_path):
    both = piece(ink=(model.Ink(batch="77001"),), needle=(model.Needle(code="3RL", batch="77-001"),))
    box = model.Box(code="3RL", batch="77 001")
    found = book(tmp_path, both, inks={"77001": model.InkBatch(batch="77001")}, boxes=(box,))
    assert {use.kind for use in found.uses_of("77001")} == {BatchKind.INK, BatchKind.NEEDLE}
    assert [use.kind for use in found.uses_of("77001", kind=BatchKind.NEEDLE)] == [BatchKind.NEEDLE]
    assert [one.kind for one in found.entries_of("77001", kind=BatchKind.INK)] == [BatchKind.INK]
    assert len(found.entries_of("77001")) == 2


def test_what_a_person_was_told_is_found_under_every_spelling(tmp_path):
    told = tuple(model.Told(batch="B-1", client=code) for code in ("c7", "C-0007", "C-0008"))
    pieces = [piece(code.lower(), client=code) for code in ("C-0007", "C-0008")]
    found = book(tmp_path, *pieces, told=told)
    assert found.told_of("C-0007") == told[:2]
    assert found.told_of("C-9") == ()
