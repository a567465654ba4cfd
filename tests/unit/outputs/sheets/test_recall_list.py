"""The answer to a recall in words, and on paper."""

import datetime as dt
import subprocess

import pytest

from archgen.outputs.sheets.recall_list import trace_list
from archgen.outputs.sheets.recall_pdf import trace_pdf
from archgen.records import model
from archgen.tracing.book import BatchBook
from archgen.tracing.recall import trace, trace_product
from tests.builders import make_piece, make_record, paper_catalogue

DAY = dt.date(2026, 3, 14)
BOTTLE = model.InkBatch(
    batch="GW2-2231", name="grey wash 2", maker="Brackwater", opened=DAY, expiry=DAY, recalled=dt.date(2026, 5, 2)
)
CLIENTS = {
    "C-1": model.Client(code="C-1", name="Ada Sample", contact="ada@example.org"),
    "C-2": model.Client(code="C-2"),
}


def piece(name, *inks, client="C-1", **changes):
    return make_piece(name, make_record(**{"title": name.title(), "ink": inks, "client": client, **changes}))


def worn(name, batch="GW2-2231", **changes):
    return piece(name, model.Ink(batch=batch, use="fur"), **changes)


def book(tmp_path, *pieces, bottles=(BOTTLE,), **changes):
    inks = {one.batch: one for one in bottles}
    return BatchBook(paper_catalogue(tmp_path, *pieces, inks=inks, clients=CLIENTS, **changes))


def listed(tmp_path, *pieces, asked="GW2-2231", with_names=False, **changes):
    archive = book(tmp_path, *pieces, **changes)
    return trace_list(trace(archive, asked), archive, with_names=with_names)


def test_the_head_says_what_it_is_who_made_it_and_when_it_was_recalled(tmp_path):
    found = listed(tmp_path, worn("owl"), asked="lot gw22231")
    assert (found.title, found.read_on) == ("Ink GW2-2231", "25 Nov 2026")
    assert found.facts == (("Product", "grey wash 2"), ("Maker", "Brackwater"), ("Recalled", "2 May 2026"))


def test_what_the_register_does_not_know_is_left_out_of_the_head(tmp_path):
    assert listed(tmp_path, worn("owl"), bottles=()).facts == ()


def test_each_person_is_one_row_with_all_pieces_and_their_uses(tmp_path):
    days = tuple(model.Sitting(date=dt.date(2026, month, 1)) for month in (2, 1))
    twice = piece(
        "moth", model.Ink(batch="gw2 2231", use="wings"), model.Ink(batch="GW2-2231"), client="c1", sitting=days
    )
    found = listed(tmp_path, worn("owl"), twice, worn("fern", client="C-2"), with_names=True)
    first, second = sorted(found.wearers, key=lambda wearer: wearer.client)
    assert (first.client, first.spellings, first.contact) == ("C-1", "c1", "Ada Sample, ada@example.org")
    assert (second.client, second.spellings, second.contact) == ("C-2", "", "")
    owl, moth = first.pieces
    assert (owl.piece, owl.title, owl.days, owl.placement, owl.use) == (
        "owl", "Owl", "14 Mar 2026", "Outer forearm, left", "fur",
    )  # fmt: skip
    assert (moth.days, moth.use, moth.written) == (
        "1 Jan 2026, 1 Feb 2026", "grey wash 2, Brackwater, wings", "gw2 2231",
    )  # fmt: skip
    assert (owl.written, owl.batches, owl.warning) == ("", "", "")


def test_what_was_past_its_date_is_said(tmp_path):
    late = (model.Sitting(date=DAY + dt.timedelta(days=1)),)
    assert listed(tmp_path, worn("owl", sitting=late)).wearers[0].pieces[0].warning


def test_names_stand_beside_every_client_when_asked_for_and_nowhere_else(tmp_path):
    pieces = (worn("owl"), worn("slip", "GW2-2237"), worn("doubt", "unknown", client="c1"))
    for with_names, client in ((True, "C-1, Ada Sample, ada@example.org"), (False, "C-1")):
        found = listed(tmp_path, *pieces, with_names=with_names)
        assert found.near[0].pieces[0].client == client
        assert found.unrecorded[0].client == client
        assert bool(found.wearers[0].contact) is with_names


def test_what_was_told_and_what_is_left_is_said(tmp_path):
    told = model.Told(batch="GW2-2231", client="C-1", date=dt.date(2026, 5, 4), how="phone", by="Tove", note="calm")
    bare = model.Told(batch="GW2-2231", client="C-1")
    found = listed(tmp_path, worn("owl"), worn("fern", client="C-2"), told=(told, bare))
    assert {one.client: one.told for one in found.wearers} == {
        "C-2": (),
        "C-1": ("4 May 2026, phone, by Tove: calm", "date not recorded"),
    }


@pytest.mark.parametrize(
    ("clients", "told", "summary"),
    [
        (("C-1", "C-2"), (), "Used on 2 pieces: 2 clients. All are still to be told."),
        (("C-1",), (), "Used on 1 piece: 1 client. 1 client is still to be told."),
        (("C-1", "C-2", "C-3"), ("C-1",), "Used on 3 pieces: 3 clients. 2 clients are still to be told."),
        (("C-1", "C-2"), ("C-1", "C-2"), "Used on 2 pieces: 2 clients. Everybody was told."),
        ((None,), (), "Used on 1 piece: 1 piece without a client. 1 piece without a client is still to be told."),
        (("C-1", None), ("C-1",), "Used on 2 pieces: 1 client and 1 piece without a client. "
         "1 piece without a client is still to be told."),
    ],
)  # fmt: skip
def test_the_summary_counts_people(tmp_path, clients, told, summary):
    pieces = [worn(f"p{number}", client=client) for number, client in enumerate(clients)]
    entries = tuple(model.Told(batch="GW2-2231", client=client) for client in told)
    assert listed(tmp_path, *pieces, told=entries).summary == summary


@pytest.mark.parametrize(
    ("asked", "summary"),
    [
        ("BK-7", "This number is in inks.toml and in no piece."),
        ("ZZ-1", "This number is in no record."),
        ("GW2", "This number is in no record. 1 number in your records begins like it."),
        ("GW", "This number is in no record. 2 numbers in your records begin like it."),
    ],
)
def test_a_number_that_nobody_wears_is_said_to_be_nowhere(tmp_path, asked, summary):
    bottles = (BOTTLE, model.InkBatch(batch="BK-7"))
    assert listed(tmp_path, worn("owl"), worn("moth", "GW3-9"), asked=asked, bottles=bottles).summary == summary


def test_without_a_recall_nothing_is_said_of_telling(tmp_path):
    found = listed(tmp_path, worn("owl"), bottles=(model.InkBatch(batch="GW2-2231"),))
    assert found.summary == "Used on 1 piece: 1 client."


def test_of_a_product_every_batch_is_named(tmp_path):
    archive = book(tmp_path, worn("owl"), piece("moth", model.Ink(name="grey wash 2")))
    found = trace_list(trace_product(archive, "grey wash"), archive)
    assert found.title == "All batches of grey wash"
    assert ("Recalled", "GW2-2231, 2 May 2026") in found.facts
    assert {line.batches for line in found.wearers[0].pieces} == {"batch not recorded", "GW2-2231"}


def test_bottles_near_numbers_and_beginnings_are_lines_of_their_own(tmp_path):
    found = listed(tmp_path, worn("owl"), worn("slip", "GW2-2237"), bottles=(BOTTLE, model.InkBatch(batch="GW2-22310")))
    (bottle,) = found.bottles
    assert (bottle.batch, bottle.product, bottle.opened, bottle.expires) == (
        "GW2-2231", "grey wash 2, Brackwater", "14 Mar 2026", "14 Mar 2026",
    )  # fmt: skip
    assert [(near.batch, near.used, len(near.pieces)) for near in found.near] == [
        ("GW2-2237", "used on 1 piece", 1), ("GW2-22310", "not used", 0),
    ]  # fmt: skip
    begun = listed(tmp_path, worn("owl"), asked="GW2")
    assert [(one.batch, one.product) for one in begun.beginnings] == [("GW2-2231", "grey wash 2, Brackwater")]


def pages_of(tmp_path, found, archive):
    path = tmp_path / "list.pdf"
    path.write_bytes(trace_pdf(found, archive.catalogue))
    return subprocess.run(["pdftotext", "-layout", path, "-"], capture_output=True, text=True, check=True).stdout


def test_the_printed_list_has_one_row_for_each_client_and_room_to_write(tmp_path):
    told = (model.Told(batch="GW2-2231", client="C-2", date=dt.date(2026, 5, 4), how="phone"),)
    pieces = (worn("owl"), worn("moth", client="c1"), worn("fern", client="C-2"), worn("reed", client=None))
    archive = book(tmp_path, *pieces, worn("slip", "GW2-2237"), worn("doubt", "unknown"), told=told)
    text = pages_of(tmp_path, trace_list(trace(archive, "GW2-2231"), archive, with_names=True), archive)
    lines = [" ".join(line.split()) for line in text.splitlines()]
    assert "Product Maker Recalled" in lines
    assert "grey wash 2 Brackwater 2 May 2026" in lines
    assert "Client Pieces Told on How By whom" in lines
    assert sum(line.startswith("C-1 ") for line in lines) == 1
    assert sum("Ada Sample" in line for line in lines) == 3  # her row, her slip and her piece that cannot be ruled out
    assert any(line.startswith("C-2 Fern 4 May 2026, phone") for line in lines)
    assert "c1" in text.split()
    for words in ("Owl", "Moth", "Reed", "not recorded", "GW2-2237", "unknown", "Label says"):
        assert words in text


def test_a_printed_list_of_beginnings_names_them(tmp_path):
    archive = book(tmp_path, worn("owl"))
    text = pages_of(tmp_path, trace_list(trace(archive, "GW2"), archive), archive)
    assert "GW2-2231" in text
    assert "used on 1 piece" in text
