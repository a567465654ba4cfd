"""Who wears a batch, who was told, what is near, and what cannot be ruled out."""

import dataclasses
import datetime as dt

import msgspec
import pytest

from archgen.findings import Finding, Place, Severity
from archgen.records import model
from archgen.records.vocabulary.batch_numbers import Difference
from archgen.tracing.book import BatchBook, BatchKind
from archgen.tracing.recall import recalls, trace, trace_product
from tests.builders import TODAY, make_piece, make_record, paper_catalogue

DAY = dt.date(2026, 3, 14)
RECALLED = dt.date(2026, 5, 2)
BOTTLE = model.InkBatch(batch="GW2-2231", name="grey wash 2", maker="Brackwater", opened=DAY)
UNDER_RECALL = model.InkBatch(batch="GW2-2231", recalled=RECALLED)
FULL = model.Needle(code="3RL", batch="N-1", sterilisation="S-1")


def piece(name, *inks, needles=(), **changes):
    """A piece whose needles are all recorded; its ink is another one unless it is given."""
    changes = {"ink": inks or (model.Ink(batch="OTHER-1"),), "needle": needles or (FULL,), **changes}
    return make_piece(name, make_record(**changes))


def worn(name, batch="GW2-2231", **changes):
    return piece(name, model.Ink(batch=batch), **changes)


def book(tmp_path, *pieces, bottles=(BOTTLE,), **changes):
    inks = {bottle.batch: bottle for bottle in bottles}
    return BatchBook(paper_catalogue(tmp_path, *pieces, inks=inks, **changes))


def ids(uses):
    return [use.piece.id for use in uses]


def test_every_piece_with_the_batch_is_found_however_it_is_written(tmp_path):
    pieces = [worn(f"p{n}", text) for n, text in enumerate(("GW2-2231", "gw2 2231", "lot GW02-2231", "BK-1, GW2-2231"))]
    found = trace(book(tmp_path, *pieces, piece("other")), "Lot: gw22231")
    assert ids(found.matches) == ["p0", "p1", "p2", "p3"]
    assert {use.name for use in found.matches} == {"grey wash 2"}
    assert (found.numbers, found.by_product, found.kinds) == (("GW2-2231",), False, (BatchKind.INK,))


def test_two_numbers_can_be_asked_at_once(tmp_path):
    found = trace(book(tmp_path, worn("a"), worn("b", "BK-7"), piece("c")), "GW2-2231, bk 7")
    assert (ids(found.matches), found.numbers) == (["a", "b"], ("GW2-2231", "BK-7"))


def test_the_latest_piece_comes_first_and_an_undated_one_last(tmp_path):
    days = {"old": dt.date(2024, 1, 1), "new": dt.date(2026, 1, 1), "undated": None}
    pieces = [worn(name, finished=day, sitting=()) for name, day in days.items()]
    assert ids(trace(book(tmp_path, *pieces), "GW2-2231").matches) == ["new", "old", "undated"]


NEAR = [
    ("GW2-2237", Difference.ONE_DIGIT),
    ("GW2-2213", Difference.SWAPPED),
    ("GV2-2231", Difference.ONE_LETTER),
    ("GW2-223I", Difference.LOOK_ALIKE),
    ("GW2-22311", Difference.ONE_MORE),
]


@pytest.mark.parametrize(("written", "how"), NEAR)
def test_a_near_number_in_no_register_stands_apart_with_its_pieces(tmp_path, written, how):
    found = trace(book(tmp_path, worn("slip", written)), "GW2-2231")
    assert found.matches == ()
    assert [(near.batch, near.difference, ids(near.uses)) for near in found.near] == [(written, how, ["slip"])]
    assert found.to_check == found.near


@pytest.mark.parametrize(("written", "how"), NEAR)
def test_a_neighbour_that_the_register_knows_is_another_batch(tmp_path, written, how):
    found = trace(book(tmp_path, worn("own", written), bottles=(BOTTLE, model.InkBatch(batch=written))), "GW2-2231")
    is_far = how in {Difference.ONE_DIGIT, Difference.SWAPPED, Difference.ONE_LETTER}
    assert [near.is_registered for near in found.near] == ([] if is_far else [True])
    assert found.to_check == ()


def test_a_near_number_is_told_once_however_it_is_written(tmp_path):
    found = trace(book(tmp_path, worn("a", "GW2-2237"), worn("b", "gw2 2237"), worn("c", "GW2-2237")), "GW2-2231")
    assert [(near.batch, ids(near.uses)) for near in found.near] == [("GW2-2237", ["a", "b", "c"])]


def test_a_near_number_that_nobody_used_needs_no_look_at_a_label(tmp_path):
    found = trace(book(tmp_path, bottles=(BOTTLE, model.InkBatch(batch="GW2-22310"))), "GW2-2231")
    assert [near.batch for near in found.near] == ["GW2-22310"]
    assert found.to_check == ()


def test_dates_with_moved_hyphens_are_near_and_those_without_hyphens_count(tmp_path):
    pieces = (worn("same", "2024-11-01"), worn("dense", "2024111"), worn("other", "2024-1-11"))
    found = trace(book(tmp_path, *pieces), "2024-11-1")
    assert sorted(ids(found.matches)) == ["dense", "same"]
    assert [(near.batch, near.difference) for near in found.near] == [("2024-1-11", Difference.MOVED_HYPHENS)]


@pytest.mark.parametrize(("number", "kind"), [("n 88213", BatchKind.NEEDLE), ("s7", BatchKind.STERILISATION)])
def test_needles_and_sterilisations_are_traced_too(tmp_path, number, kind):
    needle = model.Needle(code="1003RL", batch="N-88213", sterilisation="S-7")
    found = trace(book(tmp_path, piece("a", needles=(needle,))), number)
    assert (found.kinds, ids(found.matches)) == ((kind,), ["a"])


def test_a_kind_asked_for_leaves_the_others_out(tmp_path):
    both = piece("a", model.Ink(batch="77001"), needles=(model.Needle(code="3RL", batch="77001"),))
    near = piece("b", model.Ink(batch="77002"))
    found = trace(book(tmp_path, both, near, bottles=(model.InkBatch(batch="77001"),)), "77001", BatchKind.NEEDLE)
    assert [use.kind for use in found.matches] == [BatchKind.NEEDLE]
    assert (found.entries, found.near, found.kinds) == ((), (), (BatchKind.NEEDLE,))


def test_what_is_not_used_up_is_open(tmp_path):
    used_up = model.InkBatch(batch="gw2 2231", closed=DAY)
    found = trace(book(tmp_path, piece("a"), bottles=(BOTTLE, used_up)), "GW2-2231")
    assert [entry.batch for entry in found.entries] == ["GW2-2231", "gw2 2231"]
    assert [entry.batch for entry in found.open] == ["GW2-2231"]
    assert found.kinds == (BatchKind.INK,)


def test_the_beginning_of_several_numbers_lists_them(tmp_path):
    pieces = (worn("a"), worn("b", "gw2 2231"), worn("c", "GW2-2299"), worn("d", "BK-1"))
    needle = piece("n", needles=(model.Needle(code="3RL", batch="GW2-9000"),))
    found = trace(book(tmp_path, *pieces, needle), "gw2")
    assert [(one.batch, ids(one.uses)) for one in found.beginnings] == [
        ("GW2-2231", ["a", "b"]), ("GW2-2299", ["c"]), ("GW2-9000", ["n"]),
    ]  # fmt: skip
    inks = trace(book(tmp_path, *pieces, needle), "gw2-22", BatchKind.INK)
    assert [one.batch for one in inks.beginnings] == ["GW2-2231", "GW2-2299"]
    assert inks.near == ()


def test_a_number_that_is_there_needs_no_beginnings(tmp_path):
    found = trace(book(tmp_path, worn("a"), worn("b", "GW2-22310")), "GW2-2231")
    assert found.beginnings == ()
    unregistered = trace(book(tmp_path, worn("a"), worn("b", "GW2-22310"), bottles=()), "GW2-2231")
    assert unregistered.beginnings == ()
    only_bottle = trace(book(tmp_path, worn("b", "GW2-22310")), "GW2-2231")
    assert only_bottle.beginnings == ()


def test_a_part_of_a_number_is_near_unless_it_is_listed_as_its_beginning(tmp_path):
    longer = worn("longer", "GW2-2231-55")
    known, unknown = (trace(book(tmp_path, longer, bottles=bottles), "GW2-2231") for bottles in ((BOTTLE,), ()))
    assert [(near.batch, near.difference) for near in known.near] == [("GW2-2231-55", Difference.PART)]
    assert known.beginnings == ()
    assert unknown.near == ()
    assert [near.batch for near in unknown.beginnings] == ["GW2-2231-55"]


def test_words_are_asked_for_as_they_are(tmp_path):
    found = trace(book(tmp_path, worn("a")), "see label")
    assert (found.asked, found.numbers, found.by_product, found.matches) == ("see label", ("see label",), False, ())


def test_one_character_short_is_a_beginning_and_near(tmp_path):
    found = trace(book(tmp_path, worn("a"), worn("b", "GW2-22411")), "GW2-223")
    assert [near.batch for near in found.near] == ["GW2-2231"]
    assert [one.batch for one in found.beginnings] == ["GW2-2231"]


# What cannot be ruled out.


@pytest.mark.parametrize("written", ["unknown", "?", "n/a", "see label photo", "GW9-1?", "maybe BK-1042", "AKBZ"])
def test_words_instead_of_a_number_rule_nothing_out(tmp_path, written):
    found = trace(book(tmp_path, piece("doubt", model.Ink(batch=written, name="white")), piece("sure")), "GW2-2231")
    ((gap),) = found.unrecorded
    assert (gap.piece.id, written in gap.why, "white" in gap.why) == ("doubt", True, True)


def test_a_doubtful_number_that_is_the_one_asked_for_is_a_match(tmp_path):
    found = trace(book(tmp_path, worn("a", "GW2-2231?")), "GW2-2231")
    assert (ids(found.matches), found.unrecorded) == (["a"], ())


def test_pieces_that_cannot_be_ruled_out_are_named_with_what_is_missing(tmp_path):
    pieces = (
        piece("used", model.Ink(batch="GW2-2231"), model.Ink(name="black")),
        piece("half", model.Ink(batch="BK-1"), model.Ink(name="black"), model.Ink(name="white"), model.Ink()),
        piece("both", model.Ink(name="black"), model.Ink(name="black", batch="?")),
        piece("none", ink=()),
        piece("whole", model.Ink(batch="BK-1")),
        model.Piece(id="broken", record=None),
    )
    found = trace(book(tmp_path, *pieces), "GW2-2231")
    assert {gap.piece.id: gap.why for gap in found.unrecorded} == {
        "half": "no batch for black, white, an ink without a name",
        "both": 'no batch for black; the batch of black reads "?"',
        "none": "no ink is recorded",
        "broken": "the record can't be read",
    }


def test_a_piece_with_a_near_number_and_an_open_one_stands_in_both_lists(tmp_path):
    found = trace(book(tmp_path, piece("a", model.Ink(batch="GW2-2237"), model.Ink(name="black"))), "GW2-2231")
    assert ([ids(near.uses) for near in found.near], [gap.piece.id for gap in found.unrecorded]) == ([["a"]], ["a"])


def test_needles_without_a_number_matter_to_a_needle_recall_only(tmp_path):
    pieces = (piece("a"), piece("b", needles=(model.Needle(code="7RL"),)), piece("c", needle=()))
    found = trace(book(tmp_path, *pieces), "N-1")
    assert [gap.why for gap in found.unrecorded] == ["no batch for 7RL", "no needle is recorded"]
    assert trace(book(tmp_path, *pieces), "OTHER-1").unrecorded == ()
    assert [gap.piece.id for gap in trace(book(tmp_path, *pieces), "ZZ-9").unrecorded] == ["b", "c"]


def test_a_near_number_tells_which_kind_could_be_missing(tmp_path):
    pieces = (piece("near", needles=(model.Needle(code="3RL", batch="N-88218"),)), piece("no-ink", ink=()))
    assert trace(book(tmp_path, *pieces), "N-88213").unrecorded == ()


def test_a_sterilisation_known_from_the_box_is_no_gap(tmp_path):
    pieces = (piece("a", needles=(model.Needle(code="3RL", batch="N-2"),)), piece("b", needles=(FULL,)))
    unknown = trace(book(tmp_path, *pieces), "S-1")
    known = trace(book(tmp_path, *pieces, boxes=(model.Box(code="3RL", batch="N-2", sterilisation="S-2"),)), "S-1")
    assert [gap.why for gap in unknown.unrecorded] == ["no sterilisation batch for 3RL"]
    assert known.unrecorded == ()


# What rules a batch out although a number is missing.

CRIMSON = model.InkBatch(batch="CR-9", name="Crimson", maker="Brackwater")
SECOND = model.InkBatch(batch="GW2-9999", name="grey wash 2", maker="Brackwater")
VAGUE = model.InkBatch(batch="G-1", name="wash", maker="Brackwater")


def why(gaps):
    return {gap.piece.id: gap.why for gap in gaps}


@pytest.mark.parametrize(
    ("name", "batch", "is_open"),
    [
        ("crimson", None, False),
        ("CRIMSON", "unknown", False),
        ("crimson", "see label", False),
        ("red", None, True),  # the register knows no such ink: it may be anything
        ("grey wash 2", None, True),
        ("Grey Wash", "?", True),
        ("wash", None, True),
        (None, None, True),
        (None, "CR-9?", True),  # that it is crimson follows from the number in doubt alone
    ],
)
def test_an_ink_that_is_named_as_another_product_is_not_this_one(tmp_path, name, batch, is_open):
    pieces = (piece("a", model.Ink(name=name, batch=batch)), worn("worn"))
    found = trace(book(tmp_path, *pieces, bottles=(BOTTLE, CRIMSON, SECOND, VAGUE)), "GW2-2231")
    assert ([gap.piece.id for gap in found.unrecorded] == ["a"]) is is_open
    assert ([gap.piece.id for gap in found.ruled_out] == ["a"]) is not is_open


def test_a_batch_without_a_name_may_be_any_product(tmp_path):
    bare = model.InkBatch(batch="GW2-2231")
    found = trace(book(tmp_path, piece("a", model.Ink(name="crimson")), bottles=(bare, CRIMSON)), "GW2-2231")
    assert [gap.piece.id for gap in found.unrecorded] == ["a"]


@pytest.mark.parametrize(("called", "is_open"), [("crimson", False), ("grey wash 2", True), ("wash", True)])
def test_what_is_named_in_the_pieces_with_an_unregistered_batch_is_the_product_asked_for(tmp_path, called, is_open):
    pieces = (piece("worn", model.Ink(batch="ZZ-1", name="grey wash")), piece("a", model.Ink(name=called)))
    found = trace(book(tmp_path, *pieces, bottles=(CRIMSON, SECOND, VAGUE)), "ZZ-1")
    assert (list(why(found.unrecorded)), list(why(found.ruled_out))) == ((["a"], []) if is_open else ([], ["a"]))


def test_a_registered_batch_that_nobody_used_has_its_name_from_the_register(tmp_path):
    found = trace(book(tmp_path, piece("a", model.Ink(name="crimson")), bottles=(BOTTLE, CRIMSON)), "GW2-2231")
    assert why(found.ruled_out) == {"a": "crimson: another product"}


def test_of_a_batch_nobody_heard_of_any_product_may_be(tmp_path):
    found = trace(book(tmp_path, piece("a", model.Ink(name="crimson")), bottles=(CRIMSON,)), "ZZ-9", BatchKind.INK)
    assert list(why(found.unrecorded)) == ["a"]


def test_another_product_rules_a_piece_out_only_if_every_ink_in_doubt_is_one(tmp_path):
    inks = (model.Ink(name="crimson"), model.Ink(name="Crimson", batch="?"))
    pieces = (piece("red", *inks), piece("both", *inks, model.Ink(name="black")))
    found = trace(book(tmp_path, *pieces, bottles=(BOTTLE, CRIMSON)), "GW2-2231")
    assert why(found.ruled_out) == {"red": "crimson and Crimson: another product"}
    assert why(found.unrecorded) == {"both": "no batch for black"}


def test_a_sitting_without_a_day_may_have_been_while_the_batch_was_open(tmp_path):
    early = DAY - dt.timedelta(days=9)
    sittings = {"sure": (early,), "unsure": (early, None)}
    pieces = [
        piece(name, ink=(), finished=None, sitting=tuple(model.Sitting(date=day) for day in days))
        for name, days in sittings.items()
    ]
    found = trace(book(tmp_path, *pieces), "GW2-2231")
    assert (list(why(found.ruled_out)), list(why(found.unrecorded))) == (["sure"], ["unsure"])


@pytest.mark.parametrize(("length", "cut"), [(38, False), (39, True)])
def test_a_field_is_quoted_up_to_forty_characters(tmp_path, length, cut):
    doubtful = "see the label of " + "x" * (length - 17)
    found = trace(book(tmp_path, piece("a", model.Ink(name="white", batch=doubtful))), "GW2-2231")
    quoted = found.unrecorded[0].why.removeprefix("the batch of white reads ")
    assert (len(quoted), quoted.endswith("…")) == (40, cut)


def test_a_needle_without_a_code_is_one_without_a_name(tmp_path):
    bare = piece("a", needles=(model.Needle(),))
    assert why(trace(book(tmp_path, bare), "N-9", BatchKind.NEEDLE).unrecorded) == {
        "a": "no batch for a needle without a name"
    }
    assert why(trace(book(tmp_path, bare), "S-9", BatchKind.STERILISATION).unrecorded) == {
        "a": "no sterilisation batch for a needle without a name"
    }
    known = piece("b", needles=(model.Needle(code="3RL", batch="N-5"),))
    assert why(trace_product(book(tmp_path, bare, known), "3RL").unrecorded) == {"a": "a needle without name and maker"}


def test_a_sterilisation_is_missing_where_no_needle_is_recorded(tmp_path):
    found = trace(book(tmp_path, piece("a", needle=())), "S-9", BatchKind.STERILISATION)
    assert why(found.unrecorded) == {"a": "no needle is recorded"}


@pytest.mark.parametrize(("day", "is_open"), [(DAY, True), (RECALLED, True), (dt.date(2026, 5, 3), False)])
def test_a_use_after_the_end_in_the_register_says_that_its_days_are_wrong(tmp_path, day, is_open):
    ended = msgspec.structs.replace(BOTTLE, closed=RECALLED)
    used = worn("worn", sitting=(model.Sitting(date=day),), finished=day)
    late = piece("late", ink=(), sitting=(model.Sitting(date=dt.date(2027, 1, 1)),), finished=dt.date(2027, 1, 1))
    found = trace(book(tmp_path, used, late, bottles=(ended,)), "GW2-2231")
    # Only days that agree with every use rule a piece out.
    assert ([gap.piece.id for gap in found.ruled_out] == ["late"]) is is_open


def test_an_end_alone_does_not_rule_a_piece_out_for_it_may_have_begun_before(tmp_path):
    ended = msgspec.structs.replace(BOTTLE, closed=RECALLED)
    late = {"finished": dt.date(2027, 1, 1), "ink": ()}
    pieces = (piece("end", **late, sitting=()), piece("days", **late, sitting=(model.Sitting(date=late["finished"]),)))
    found = trace(book(tmp_path, *pieces, bottles=(ended,)), "GW2-2231")
    assert ([gap.piece.id for gap in found.unrecorded], [gap.piece.id for gap in found.ruled_out]) == (
        ["end"],
        ["days"],
    )


# Supplies, which no record names.

SOAP = model.Supply(name="soap", maker="M", batch="P-1", opened=DAY, closed=RECALLED)


@pytest.mark.parametrize(
    ("days", "why"),
    [
        ((DAY - dt.timedelta(1),), None),
        ((DAY,), "worked on while soap was open"),
        ((RECALLED,), "worked on while soap was open"),
        ((RECALLED + dt.timedelta(1),), None),
        ((DAY - dt.timedelta(1), RECALLED), "worked on while soap was open"),
        ((DAY - dt.timedelta(1), None), "the day of a sitting is not known"),
        ((), "no date is recorded"),
    ],
)
def test_who_was_worked_on_while_a_supply_was_open_may_have_met_it(tmp_path, days, why):
    sittings = tuple(model.Sitting(date=day) for day in days)
    one = piece("a", sitting=sittings, finished=None, ink=(), needle=())
    found = trace(book(tmp_path, one, bottles=(), supplies=(SOAP,)), "P-1")
    assert found.kinds == (BatchKind.SUPPLY,)
    assert [gap.why for gap in found.unrecorded] == ([why] if why else [])


@pytest.mark.parametrize(
    ("opened", "closed", "before", "after"), [(None, RECALLED, True, False), (DAY, None, False, True)]
)
def test_an_end_that_is_not_written_down_leaves_a_supply_open(tmp_path, opened, closed, before, after):
    days = {"before": dt.date(2020, 1, 1), "after": dt.date(2026, 11, 1)}
    pieces = [piece(name, sitting=(), finished=day, ink=(), needle=()) for name, day in days.items()]
    soap = model.Supply(name="soap", batch="P-1", opened=opened, closed=closed)
    found = trace(book(tmp_path, *pieces, bottles=(), supplies=(soap,)), "P-1")
    assert set(why(found.unrecorded)) == {name for name, met in (("before", before), ("after", after)) if met}


# Products.


@pytest.mark.parametrize("asked", ["grey wash 2", "GREY WASH", "brackwater", "Brackwater grey"])
@pytest.mark.parametrize("written", ["gw2 2231", "Lot GW2-2231", "BK-1, GW2-2231"])
def test_all_batches_of_a_product_or_maker_are_found_through_the_register(tmp_path, asked, written):
    found = trace_product(book(tmp_path, worn("a", written), piece("b")), asked)
    assert (ids(found.matches), found.by_product) == (["a"], True)
    assert [entry.batch for entry in found.entries] == ["GW2-2231"]


def test_the_register_knows_a_product_that_the_record_calls_by_another_name(tmp_path):
    found = trace_product(book(tmp_path, piece("a", model.Ink(batch="GW2-2231", name="my middle grey"))), "grey wash 2")
    assert ids(found.matches) == ["a"]


def test_a_product_without_a_number_counts_among_all_batches(tmp_path):
    found = trace_product(book(tmp_path, piece("a", model.Ink(name="Grey wash 2"))), "grey wash 2")
    assert [(use.piece.id, use.batch) for use in found.matches] == [("a", None)]


@pytest.mark.parametrize("asked", ["gre", "", "   "])
def test_a_part_of_a_word_and_nothing_are_no_product(tmp_path, asked):
    assert trace_product(book(tmp_path, worn("a")), asked).matches == ()


def test_a_product_has_near_numbers_too(tmp_path):
    found = trace_product(book(tmp_path, worn("a"), worn("slip", "GW2-2213")), "grey wash 2")
    assert [near.batch for near in found.near] == ["GW2-2213"]
    named = piece("named", model.Ink(batch="ZZ-77401", name="grey wash 2"))  # in no register
    found = trace_product(book(tmp_path, named, worn("slip", "ZZ-77410")), "grey wash 2")
    assert [near.batch for near in found.near] == ["ZZ-77410"]
    found = trace_product(book(tmp_path, worn("slip", "GW2-2213")), "grey wash 2")  # a bottle nobody used
    assert [near.batch for near in found.near] == ["GW2-2213"]


def test_a_product_nobody_heard_of_is_taken_for_an_ink(tmp_path):
    found = trace_product(book(tmp_path, piece("none", ink=()), piece("named", model.Ink(name="black"))), "soft teal")
    assert why(found.unrecorded) == {"none": "no ink is recorded"}


def test_inks_nobody_named_in_full_cannot_be_ruled_out_by_product(tmp_path):
    pieces = (
        worn("nameless", "ZZ-1"),
        piece("none", ink=()),
        piece("vague", model.Ink(name="wash 2")),
        piece("named", model.Ink(name="black", maker="Brackwater")),
        piece("maker", model.Ink(maker="Brackwater")),
        model.Piece(id="broken", record=None),
    )
    found = trace_product(book(tmp_path, *pieces), "Brackwater grey wash 2")
    assert [gap.piece.id for gap in found.unrecorded] == ["nameless", "none", "vague", "maker", "broken"]
    assert 'only as "wash 2"' in found.unrecorded[2].why


def test_needles_are_products_as_well_and_counted_once(tmp_path):
    pieces = (
        piece("a", needles=(model.Needle(code="1003RL", batch="N-5", sterilisation="S-5"),)),
        piece("b", needle=()),
        piece("c", needles=(model.Needle(code="7RL"),)),
    )
    box = model.Box(code="1003RL", batch="N-5", sterilisation="S-5")
    found = trace_product(book(tmp_path, *pieces, boxes=(box,)), "1003RL")
    assert [(use.kind, use.piece.id) for use in found.matches] == [(BatchKind.NEEDLE, "a")]
    assert [(entry.kind, entry.batch) for entry in found.entries] == [(BatchKind.NEEDLE, "N-5")]
    assert why(found.unrecorded) == {"b": "no needle is recorded"}


# People.


def test_people_are_counted_once_over_spellings_of_their_code(tmp_path):
    pieces = (worn("a", client="C-0007"), worn("b", client="c0007"), worn("c", client="C-0012"))
    clients = {"C-0007": model.Client(code="C-0007")}
    found = trace(book(tmp_path, *pieces, clients=clients), "GW2-2231").wearers
    assert [(one.client, one.spellings, ids(one.uses)) for one in found] == [
        ("C-0007", ("c0007",), ["a", "b"]),
        ("C-0012", (), ["c"]),
    ]


def test_pieces_without_a_client_stand_each_by_itself(tmp_path):
    found = trace(book(tmp_path, worn("a", client=None), worn("b", client=None)), "GW2-2231").wearers
    assert [(one.client, ids(one.uses)) for one in found] == [(None, ["a"]), (None, ["b"])]


def told(client="C-1", day=dt.date(2026, 5, 4), batch="GW2-2231"):
    return model.Told(batch=batch, client=client, date=day, how="phone")


@pytest.mark.parametrize(
    ("entry", "counts"),
    [
        (told(), True),
        (told("c1"), True),
        (told(batch="lot gw2 2231"), True),
        (told(day=RECALLED), True),
        (told(day=TODAY), True),
        (told(day=None), True),
        (told(day=RECALLED - dt.timedelta(days=1)), False),
        (told(day=TODAY + dt.timedelta(days=1)), False),
        (told("C-2"), False),
        (told(batch="GW2-2498"), False),
    ],
)
def test_a_telling_counts_for_its_person_and_batch_from_the_day_of_the_recall(tmp_path, entry, counts):
    found = trace(book(tmp_path, worn("a", client="C-1"), bottles=(UNDER_RECALL,), told=(entry,)), "GW2-2231")
    assert (found.wearers[0].told, found.wearers[0].is_to_tell) == ((entry,) if counts else (), not counts)
    assert bool(found.to_tell) is not counts


def test_without_a_recall_nobody_is_to_be_told(tmp_path):
    found = trace(book(tmp_path, worn("a", client="C-1")), "GW2-2231")
    assert (found.recalled, found.to_tell, [one.client for one in found.wearers]) == (None, (), ["C-1"])


def test_those_still_to_be_told_come_first(tmp_path):
    pieces = [worn(f"p{n}", client=f"C-{n}", sitting=(), finished=dt.date(2026, 1, n)) for n in (1, 2, 3)]
    found = trace(book(tmp_path, *pieces, bottles=(UNDER_RECALL,), told=(told("C-3"),)), "GW2-2231")
    assert [one.client for one in found.wearers] == ["C-2", "C-1", "C-3"]
    assert found.recalled == RECALLED


def test_of_a_product_only_those_with_the_recalled_batch_are_to_be_told(tmp_path):
    bottles = (
        model.InkBatch(batch="GW2-2231", name="grey wash 2", recalled=RECALLED),
        model.InkBatch(batch="GW2-2498", name="grey wash 2"),
    )
    pieces = (worn("a", client="C-1"), worn("b", "GW2-2498", client="C-2"), worn("c", client=None))
    found = trace_product(book(tmp_path, *pieces, bottles=bottles), "grey wash")
    assert {one.client: one.is_to_tell for one in found.wearers} == {"C-1": True, "C-2": False, None: True}


def test_each_recall_of_the_register_is_given_once(tmp_path):
    bottles = (UNDER_RECALL, model.InkBatch(batch="gw2 2231", recalled=RECALLED), model.InkBatch(batch="BK-1"))
    later = model.InkBatch(batch="WH-1", recalled=TODAY)
    found = list(recalls(book(tmp_path, worn("a"), bottles=(*bottles, later))))
    assert [one.numbers for one in found] == [("GW2-2231",), ("WH-1",)]
    assert ids(found[0].matches) == ["a"]


def test_a_record_of_which_something_is_not_read_is_not_ruled_out(tmp_path):
    lost = make_piece("lost", make_record(ink=(model.Ink(batch="OTHER-1"),), needle=(FULL,)))
    kept = msgspec.structs.replace(lost, id="kept", as_written=(model.AsWritten(key="ink.1", text="batch = 3"),))
    other = msgspec.structs.replace(lost, id="other", as_written=(model.AsWritten(key="size.width", text='"big"'),))
    needle = msgspec.structs.replace(lost, id="needle", as_written=(model.AsWritten(key="needle.0", text="lot = 4"),))
    broken = Finding("record.broken", Severity.ERROR, "lost", Place("pieces/lost/piece.toml", 3), "x.", "x.")
    catalogue = paper_catalogue(tmp_path, lost, kept, other, needle, inks={BOTTLE.batch: BOTTLE})
    found = trace(BatchBook(dataclasses.replace(catalogue, findings=(broken,))), "GW2-2231")
    assert {gap.piece.id: gap.why for gap in found.unrecorded} == {
        "lost": "some lines of the record can't be read",
        "kept": "batch = 3 isn't understood",
        "needle": "lot = 4 isn't understood",
    }
