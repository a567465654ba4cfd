"""The views of the private archive."""

import datetime as dt
import re
import tomllib
from itertools import pairwise
from pathlib import Path

import msgspec
import pytest

from archgen.catalogue import DoubleGroup, Twins
from archgen.config import Config, Limits
from archgen.findings import Finding, Place, Severity
from archgen.outputs.archive.batches import batch_rows, batch_view
from archgen.outputs.archive.body import Figure
from archgen.outputs.archive.cards import piece_list
from archgen.outputs.archive.checks import MOST_PER_CODE, checks_view, recall_of
from archgen.outputs.archive.clients import client_rows, client_view
from archgen.outputs.archive.context import Context
from archgen.outputs.archive.doubles import doubles_view
from archgen.outputs.archive.list_scripts import lasting_name
from archgen.outputs.archive.lists import CARDS_PER_PAGE, CHOICES_AT_ONCE, ROWS_PER_PAGE, month_of, month_rule
from archgen.outputs.archive.piece.healing import WIDTH, healing_rule
from archgen.outputs.archive.piece.lineage import BOX_HEIGHT_PX, BOX_WIDTH_PX, lineage
from archgen.outputs.archive.piece.page import piece_view
from archgen.outputs.archive.piece.work import reference_rows
from archgen.outputs.archive.site import ArchiveSite, make_lists, page_plans, way_to_originals
from archgen.outputs.archive.stencils import stencil_list
from archgen.outputs.known_keys import KnownKeys
from archgen.pieces.survey import survey
from archgen.records import model
from archgen.records.vocabulary.placements import PLACES
from archgen.render.html import load_theme
from archgen.twins.model import Pair, Relation
from tests.builders import TODAY, make_catalogue, make_piece, make_record, paper_facts

Length, Side, Stage = model.Length, model.Side, model.Stage


@pytest.fixture
def figure():
    return Figure(load_theme("archive").files["figure.svg"])


@pytest.fixture
def context_of(tmp_path):
    def made(*pieces, **changes):
        return Context(survey(make_catalogue(tmp_path, *pieces, facts_of=paper_facts, **changes)), "../../content")

    return made


@pytest.fixture
def view_of(context_of, figure):
    def made(piece=None, **changes):
        piece = piece or make_piece()
        context = context_of(piece, **changes)
        return piece_view(context, context.overviews[piece.id], figure)

    return made


def with_record(**changes):
    return make_piece(record=make_record(**changes))


def choices(group):
    return {choice.words: choice.count for choice in (*group.choices, *group.more)}


# Lists


def test_newest_pieces_come_first_and_broken_ones_last(context_of):
    old = make_piece("a", make_record(title="Old", finished=dt.date(2020, 1, 1)))
    new = make_piece("b", make_record(title="New", finished=dt.date(2026, 1, 1)))
    broken = model.Piece(id="c", record=None)
    cards = piece_list(context_of(broken, old, new)).cards
    assert [card.title for card in cards] == ["New", "Old", "c"]
    assert [card.broken for card in cards] == [False, False, True]


def test_a_group_counts_its_choices(context_of):
    one = make_piece("a", make_record(styles=("line", "dots"), finished=dt.date(2020, 1, 1)))
    two = make_piece("b", make_record(styles=("line",)))
    groups = {group.key: choices(group) for group in piece_list(context_of(one, two)).groups}
    assert groups["style"] == {"line": 2, "dots": 1}


def test_a_group_with_one_choice_is_left_out(context_of):
    assert "placement" not in {group.key for group in piece_list(context_of()).groups}


def test_orders_rank_all_cards(context_of):
    small = make_piece("a", make_record(title="b", size=model.Size(width=Length(10))))
    large = make_piece("b", make_record(title="a", size=model.Size(width=Length(90))))
    cards = piece_list(context_of(small, large))
    ranks = dict(zip((order.key for order in cards.orders), cards.ranks, strict=True))
    assert [card.title for card in cards.cards] == ["b", "a"]
    assert ranks["newest"] == (0, 1)
    assert ranks["title"] == ranks["largest"] == (1, 0)


def many_pieces(count):
    """Make pieces with a client and a batch of needles of their own each."""
    for n in range(count):
        needle = model.Needle(code="5RL", batch=f"N-{n:05}")
        record = make_record(title=f"Piece {n}", client=f"C-{n:04}", needle=(needle,), ink=())
        yield make_piece(f"p-{n:04}", record)


@pytest.fixture(scope="module")
def many_files(tmp_path_factory):
    """Give the planned files of an archive of a few more pieces than one page holds."""
    folder = tmp_path_factory.mktemp("many")
    catalogue = survey(make_catalogue(folder, *many_pieces(ROWS_PER_PAGE + 5), facts_of=paper_facts))
    return {artifact.path: artifact for artifact in ArchiveSite(catalogue, folder / "blobs", "..").artifacts()}


def part_of(files, name):
    (path,) = (path for path in files if re.fullmatch(rf"data/{name}-[0-9a-f]{{10}}\.js", path))
    return files[path].make().decode()


def test_a_page_carries_a_bounded_number_of_cards_and_parts_the_others(many_files):
    assert many_files["index.html"].make().count(b"<article") == CARDS_PER_PAGE
    counts = [part_of(many_files, f"pieces-{number}").count("\\u003carticle") for number in (1, 2)]
    assert counts == [CARDS_PER_PAGE, ROWS_PER_PAGE + 5 - CARDS_PER_PAGE]
    assert "\\u003carticle" not in part_of(many_files, "pieces")


@pytest.mark.parametrize(
    ("first", "later", "left"),
    [("clients.html", "clients-2.html", 5), ("batches.html", "batches-2.html", 6)],  # and the register's bottle
)
def test_an_index_goes_over_pages_that_need_no_script(many_files, first, later, left):
    one, two = many_files[first].make().decode(), many_files[later].make().decode()
    folder = first.partition(".")[0]
    linked = [re.findall(rf'href="({folder}/[^"]+)"', text) for text in (one, two)]
    assert [len(set(links)) for links in linked] == [ROWS_PER_PAGE, left]
    assert f'rel="next" href="{later}"' in one
    assert f'rel="prev" href="{first}"' in two


def test_every_piece_can_be_reached_without_a_script(many_files):
    pages = [many_files[path].make().decode() for path in ("index.html", "pieces-2.html")]
    linked = {link for page in pages for link in re.findall(r'href="(pieces/[^"]+)"', page)}
    assert len(linked) == ROWS_PER_PAGE + 5


def test_one_changed_piece_makes_one_part_new(tmp_path):
    def parts(*pieces):
        catalogue = survey(make_catalogue(tmp_path, *pieces, facts_of=paper_facts))
        return {a.path for a in ArchiveSite(catalogue, tmp_path, "..").artifacts() if "data/pieces-" in a.path}

    pieces = list(many_pieces(CARDS_PER_PAGE + 5))
    changed = [*pieces[:-1], msgspec.structs.replace(pieces[-1], record=make_record(title="Other", client="C-0064"))]
    new = parts(*changed) - parts(*pieces)
    assert sorted(re.sub("-[0-9a-f]{10}.js", "", path) for path in new) == [
        "data/pieces",
        "data/pieces-2",
    ]


def test_hundreds_of_choices_are_sought_and_not_written_into_the_page(many_files):
    home = many_files["index.html"].make().decode()
    assert "Find among 105" in home
    assert home.count('value="client:') == CHOICES_AT_ONCE
    assert '"client:C-0104"' in part_of(many_files, "pieces")


# The page of a piece


def test_a_piece_page_says_what_the_record_says(view_of):
    cells = {cell.label: cell for cell in view_of().cells}
    assert cells["Placement"].text == "Outer forearm, left"
    assert cells["Size on skin"].text == "57 × 88 mm"
    assert cells["Girth there"].soft == "wraps 77°"  # 360 × 57 / 268
    assert cells["Time"].text == "3 h 30 min"
    assert cells["Client"].href == "../clients/C-0042.html"


def test_a_girth_that_was_not_measured_is_never_passed_off_as_one(view_of):
    placement = model.Placement(region="forearm-outer", side=Side.LEFT)
    cell = next(cell for cell in view_of(with_record(placement=placement)).cells if cell.label == "Girth there")
    assert cell.text == "Not measured"
    assert "average" in cell.soft


def test_a_fresh_and_a_healed_photo_stand_side_by_side(view_of):
    assert [shot.stage for shot in view_of().first] == ["fresh", "healed"]


def test_all_other_photos_follow_by_stage(view_of):
    photos = tuple(model.Photo(file=f"photos/{n}.jpg", stage=list(Stage)[n % 3]) for n in range(9))
    view = view_of(with_record(photo=photos))
    assert sum(len(group.shots) for group in view.more) == 7
    assert [group.words for group in view.more] == ["Fresh", "Healed", "In progress"]


def test_a_photo_the_record_does_not_name_is_shown(view_of):
    piece = make_piece()
    piece = msgspec.structs.replace(piece, photos=(*piece.photos, f"{piece.folder}/photos/found.jpg"))
    more = view_of(piece).more
    assert [shot.file for shot in more[0].shots] == ["found.jpg"]


def test_a_photo_that_cannot_be_read_keeps_its_place(view_of):
    view = view_of(facts={})
    shots = [shot for group in view.more for shot in group.shots]
    assert [shot.picture for shot in shots] == [None, None]
    assert view.first == ()


def test_originals_are_linked_where_they_are(view_of):
    assert view_of().first[0].original == "../../../content/pieces/2026-03-14-barn-owl/photos/owl-fresh.jpg"


def test_an_original_is_linked_by_its_address_when_no_way_is_given(tmp_path):
    context = Context(survey(make_catalogue(tmp_path, facts_of=paper_facts)), "file:///archive")
    assert context.original("pieces/a b/ö.jpg", depth=1) == "file:///archive/pieces/a%20b/%C3%B6.jpg"


def test_the_way_to_the_originals_leads_from_the_site(tmp_path):
    assert way_to_originals(tmp_path / "my content", tmp_path / "build") == "../../my%20content"


def test_what_is_not_recorded_is_named(view_of):
    missing = view_of(make_piece(record=model.PieceRecord(title="x"), notes=None, story=None)).missing
    assert {"size on skin", "placement", "client", "healed photo", "needles"} <= set(missing)
    assert "girth of the limb" not in view_of().missing


def test_findings_stand_on_the_page_with_file_and_line(view_of):
    piece = make_piece()
    place = Place(f"{piece.folder}/piece.toml", 31)
    finding = Finding("rights.missing", Severity.ERROR, piece.id, place, "Problem.", "Remedy.")
    (problem,) = view_of(piece, findings=(finding,)).problems
    assert problem.where == "piece.toml, line 31"
    assert problem.remedy == "Remedy."


def test_a_broken_piece_shows_its_problems_and_pictures(view_of):
    piece = model.Piece(id="broken", record=None, photos=("pieces/broken/photos/a.jpg",))
    finding = Finding("record.toml", Severity.ERROR, "broken", Place(piece.toml, 3), "Problem.", "Remedy.")
    view = view_of(piece, findings=(finding,))
    assert view.broken
    assert len(view.problems) == 1
    assert view.first[0].picture
    assert view.sheet == ""


def test_neighbours_follow_the_home_page(context_of, figure):
    pieces = [make_piece(name, make_record(title=name)) for name in "abc"]
    context = context_of(*pieces)
    view = piece_view(context, context.overviews["b"], figure)
    assert (view.newer.title, view.older.title) == ("a", "c")
    assert view.newer.href == "../pieces/a.html"
    assert piece_view(context, context.overviews["a"], figure).newer is None


def test_why_a_piece_is_kept_out_is_said(view_of):
    release = model.Release(status=model.ReleaseStatus.REFUSED)
    assert any("refused" in reason for reason in view_of(with_record(release=release)).kept_out)
    assert view_of().kept_out == ()


def test_an_ink_past_its_date_or_recalled_is_marked(view_of):
    bottle = model.InkBatch(batch="GW2-2231", expiry=dt.date(2026, 1, 1), recalled=dt.date(2026, 5, 2))
    row = view_of(inks={"GW2-2231": bottle}).inks[0]
    assert [mark.words for mark in row.marks] == ["Recalled 2 May 2026", "Past its date when used"]


def test_the_mark_of_a_recall_is_quiet_when_the_wearer_was_told(view_of):
    bottle = model.InkBatch(batch="GW2-2231", recalled=dt.date(2026, 5, 2))
    told = (model.Told(batch="GW2-2231", client="c0042", date=dt.date(2026, 5, 4)),)
    for entries, asks in (((), True), (told, False)):
        assert [mark.asks for mark in view_of(inks={"GW2-2231": bottle}, told=entries).inks[0].marks] == [asks]


def test_a_recall_is_told_at_the_head_of_the_piece_and_asks_until_the_wearer_was_told(view_of):
    bottle = model.InkBatch(batch="GW2-2231", name="grey wash 2", maker="Inkworks", recalled=dt.date(2026, 5, 2))
    told = (model.Told(batch="GW2-2231", client="c0042", date=dt.date(2026, 5, 4)),)
    twice = with_record(ink=(model.Ink(batch="GW2-2231", use="fur"), model.Ink(batch="GW2-2231", use="eyes")))
    for entries, asks in (((), True), (told, False)):
        (notice,) = view_of(twice, inks={"GW2-2231": bottle}, told=entries).recalls
        assert notice.words == "Recalled on 2 May 2026: grey wash 2, Inkworks, batch GW2-2231."
        assert (notice.href, notice.asks) == ("../batches/GW2-2231.html", asks)


def test_without_a_recall_nothing_is_told_at_the_head(view_of):
    assert view_of(inks={"GW2-2231": model.InkBatch(batch="GW2-2231")}).recalls == ()
    assert view_of(inks={"GW2-2231": RECALLED}).recalls[0].words == "Recalled on 2 May 2026: batch GW2-2231."


def test_each_number_of_an_ink_has_its_page_and_words_have_none(view_of):
    inks = (model.Ink(batch="GW2-2231, BK-1"), model.Ink(batch="see label"), model.Ink(name="black"))
    rows = view_of(with_record(ink=inks)).inks
    assert [[(link.text, link.href) for link in row.batches] for row in rows] == [
        [("GW2-2231", "../batches/GW2-2231.html"), ("BK-1", "../batches/BK-1.html")],
        [("see label", "")],
        [],
    ]


def test_a_needle_is_read_in_words_with_its_bundle(view_of):
    row = view_of().needles[0]
    assert row.read_as == ("3 round liner, 0.30 mm",)
    assert row.bundle == ("0.65 mm",)  # (1 + 2/√3) × 0.30, circle packing of three


def test_a_source_that_is_no_web_address_is_not_linked(view_of):
    reference = model.Reference(source="javascript:alert(1)", creator="x", license="own-work")
    assert view_of(with_record(reference=(reference,))).references[0].source_href == ""


# Healing


def rule_for(context_of, **changes):
    piece = with_record(**changes)
    return healing_rule(context_of(piece).overviews[piece.id], piece.record, Limits())


def test_photos_and_checks_stand_at_their_days(context_of):
    assert [(post.day, post.words) for post in rule_for(context_of).posts] == [
        (0, "Day 0, fresh"),
        (37, "Day 37, check"),
        (61, "Day 61, healed"),
    ]


def test_a_burst_of_photos_is_one_post(context_of):
    burst = tuple(model.Photo(file=f"photos/{n}.jpg", stage=Stage.FRESH, taken=dt.date(2026, 3, 14)) for n in range(12))
    assert rule_for(context_of, photo=burst, healing=()).posts[0].words == "Day 0, 12 fresh photos"


def test_words_below_the_rule_never_run_into_each_other(context_of):
    healing = tuple(model.Healing(date=dt.date(2026, 3, 14) + dt.timedelta(days=n * n)) for n in range(1, 25))
    posts = rule_for(context_of, healing=healing).posts
    for row in {post.row for post in posts if post.row is not None}:
        in_row = [post for post in posts if post.row == row]
        for post, following in pairwise(in_row):
            assert post.x + 7 * len(post.words) < following.x
    assert all(0 <= post.x <= WIDTH for post in posts)


def test_without_an_end_there_is_no_rule(context_of):
    assert rule_for(context_of, finished=None, sitting=(), photo=()) is None


# Stencils


def stencil(version, parent=None, width=None, **changes):
    return model.Stencil(file=f"stencils/{version}.png", version=version, parent=parent, width=width, **changes)


def versions_of(context_of, *stencils):
    piece = with_record(stencil=stencils)
    context = context_of(piece)
    return lineage(context, context.overviews[piece.id])


def test_versions_are_drawn_to_one_scale(context_of):
    large, small = versions_of(context_of, stencil(1, width=Length(100)), stencil(2, 1, Length(50)))
    assert large.drawing.width == pytest.approx(2 * small.drawing.width, abs=1)
    assert large.drawing.width <= BOX_WIDTH_PX
    assert large.drawing.height <= BOX_HEIGHT_PX


def test_only_the_marks_are_drawn(context_of):
    (version,) = versions_of(context_of, stencil(1, width=Length(100)))
    assert version.drawing.view_box == "200.0 200.0 400.0 600.0"  # the box the builder draws in
    assert version.size == "100 × 150 mm"


def test_a_version_follows_the_one_it_was_made_from(context_of):
    rows = versions_of(context_of, stencil(1), stencil(2, 1), stencil(3, 1), stencil(4, 2))
    assert [(row.name, row.leads_on) for row in rows] == [
        ("Version 1", True),
        ("Version 2", True),
        ("Version 4", False),
        ("Version 3", False),
    ]


def test_a_branch_starts_a_row_in_the_column_after_its_parent(context_of):
    rows = versions_of(context_of, stencil(1), stencil(2, 1), stencil(3, 1), stencil(4, 2))
    assert [(row.column, row.starts_row) for row in rows] == [(0, True), (1, False), (2, False), (1, True)]


def test_versions_made_from_each_other_are_all_shown(context_of):
    assert len(versions_of(context_of, stencil(1, 2), stencil(2, 1), stencil(3, 9))) == 3


def test_a_drawing_stored_mirrored_is_turned_over(context_of):
    (version,) = versions_of(context_of, stencil(1, width=Length(50), mirrored=True))
    assert version.drawing.flip == "matrix(-1 0 0 1 800.0 0)"


# Body figure


def test_the_figure_has_every_place(figure):
    assert set(PLACES) == set(figure.regions)


def test_the_recorded_side_is_marked_and_no_other(figure):
    regions = figure.marked(model.Placement(region="forearm-outer", side=Side.LEFT))
    assert {region.side for region in regions} == {"left"}


def test_without_a_side_a_paired_place_is_not_marked(figure):
    assert figure.marked(model.Placement(region="forearm-outer")) == ()
    assert figure.body([model.Placement(region="forearm-outer")], "", numbered=True) is None


def test_a_place_on_the_middle_line_needs_no_side(figure):
    assert figure.marked(model.Placement(region="spine"))


def test_discs_of_one_place_stand_apart(figure):
    places = [model.Placement(region="forearm-outer", side=Side.LEFT)] * 5
    discs = figure.body(places, "", numbered=True).callouts
    for one, other in pairwise(discs):
        assert abs(one.x - other.x) + abs(one.y - other.y) > 30


# Clients, batches


def test_a_client_page_numbers_the_pieces(context_of, figure):
    view = client_view(context_of(make_piece("a"), make_piece("b")), "C-0042", figure)
    assert [piece.number for piece in view.pieces] == [1, 2]
    assert view.summary == "2 pieces, 2026, 7 h"


def test_a_client_of_the_register_without_pieces_has_a_page(context_of, figure):
    context = context_of(clients={"C-0099": model.Client(code="C-0099")})
    assert client_view(context, "C-0099", figure).pieces == ()
    assert context.client_pages["C-0099"] == "clients/C-0099.html"


def test_a_client_is_one_person_however_the_code_is_written(context_of, figure):
    ways = ("C-0042", "c0042", "C 42")
    pieces = [make_piece(f"p{number}", make_record(client=way)) for number, way in enumerate(ways)]
    context = context_of(*pieces, make_piece("other", make_record(client="C-0043")))
    assert {way: context.client_pages[way] for way in ways} == dict.fromkeys(ways, "clients/C-0042.html")
    rows = [(row.code, row.pieces) for row in client_rows(context)]
    assert rows == [("C-0042", "3 pieces"), ("C-0043", "1 piece")]
    assert len(client_view(context, "C-0042", figure).pieces) == 3
    assert choices(next(group for group in piece_list(context).groups if "C-0042" in choices(group)))["C-0042"] == 3


RECALLED = model.InkBatch(batch="GW2-2231", recalled=dt.date(2026, 5, 2), note="sealed the same day")
TOLD = model.Told(
    batch="GW2-2231", client="C-0042", date=dt.date(2026, 5, 4), how="phone", by="Tove", note="no reaction"
)


def worn(name, batch="GW2-2231", **changes):
    return make_piece(name, make_record(ink=(model.Ink(batch=batch, use="fur"),), **changes))


def recalled(context_of, *pieces, **changes):
    return context_of(*pieces, inks={"GW2-2231": RECALLED}, **changes)


def test_a_recall_says_who_is_still_to_be_told(context_of):
    later = worn("b", client="C-7", sitting=(model.Sitting(date=dt.date(2026, 6, 1)),))
    context = recalled(context_of, later, worn("a"), worn("c", client=None), told=(TOLD,))
    view = batch_view(context, "GW2-2231")
    assert view.recall.asks
    assert view.recall.words == "Recalled 2 May 2026. 1 client and 1 piece without a client are still to be told."
    assert view.recall.summary == "Used on 1 client and 1 piece without a client until that day, on 1 client after it."
    assert [(row.piece.client, row.told) for row in view.traced] == [
        ("C-7", ()),
        ("C-0042", ("4 May 2026, phone, by Tove: no reaction",)),
        ("", ()),
    ]
    assert [line for _, line in view.recall.commands] == [
        "archgen trace GW2-2231 --names --save recall.pdf",
        "archgen trace GW2-2231 --told C-7 --how phone",
    ]
    assert (view.clients, view.pieces, view.note) == (2, 3, "sealed the same day")


def test_a_recall_of_which_everybody_was_told_is_quiet(context_of):
    context = recalled(context_of, worn("a"), told=(TOLD,))
    view = batch_view(context, "GW2-2231")
    assert (view.recall.asks, view.recall.words) == (False, "Recalled 2 May 2026. Everybody was told.")
    assert len(view.recall.commands) == 1
    (mark,) = batch_rows(context)[0].marks
    assert (mark.asks, mark.words) == (False, "Recalled 2 May 2026")
    assert context.pieces_to_tell("GW2-2231") == frozenset()


def test_a_recall_of_what_nobody_wears_asks_for_nothing(context_of):
    view = batch_view(recalled(context_of, worn("a", "BK-1")), "GW2-2231")
    assert (view.recall.asks, view.recall.words, view.recall.commands) == (False, "Recalled 2 May 2026.", ())
    assert view.traced == ()


def test_a_recall_with_a_near_number_asks_to_look_at_its_label(context_of):
    context = recalled(context_of, worn("a"), worn("slip", "GW2-2237", client="C-9"), told=(TOLD,))
    (near,) = batch_view(context, "GW2-2231").similar
    assert (near.batch, near.asks, [(p.client, p.title) for p in near.pieces]) == (
        "GW2-2237",
        True,
        [("C-9", "Barn owl")],
    )
    assert batch_rows(context)[0].marks[0].asks


def test_without_a_recall_a_near_number_asks_for_nothing(context_of):
    (near,) = batch_view(context_of(worn("a"), worn("slip", "GW2-2237")), "GW2-2231").similar
    assert not near.asks


def test_a_recall_names_what_cannot_be_ruled_out(context_of):
    context = recalled(context_of, worn("a", "see label", client="C-9"))
    (gap,) = batch_view(context, "GW2-2231").recall.open
    assert (gap.piece.client, gap.piece.title) == ("C-9", "Barn owl")
    assert "see label" in gap.why


def test_the_index_counts_who_is_to_be_told(context_of):
    (mark,) = batch_rows(recalled(context_of, worn("a"), worn("b", client="c0042")))[0].marks
    assert (mark.asks, mark.words) == (True, "Recalled 2 May 2026: 1 client to tell")


def test_all_days_of_a_piece_stand_on_the_page_of_a_batch(context_of):
    days = tuple(model.Sitting(date=dt.date(2026, month, 1)) for month in (3, 1))
    view = batch_view(context_of(worn("a", sitting=days)), "GW2-2231")
    assert view.traced[0].piece.dates == "1 Jan 2026, 1 Mar 2026"
    assert {("First used", "1 Jan 2026"), ("Last used", "1 Mar 2026")} <= set(view.cells)
    assert view.recall is None


def test_a_batch_is_told_with_what_the_register_and_the_pieces_know(context_of):
    day = dt.date(2026, 1, 2)
    bottle = model.InkBatch(batch="GW2-2231", name="grey wash 2", maker="M", opened=day, closed=day, expiry=day)
    context = context_of(worn("a"), inks={"GW2-2231": bottle}, boxes=(model.Box(code="3RL", batch="N-5", expiry=day),))
    view, box = batch_view(context, "GW2-2231"), batch_view(context, "N-5")
    assert {("Maker", "M"), ("Opened", "2 Jan 2026"), ("Expires", "2 Jan 2026"), ("Used up", "2 Jan 2026")} <= set(
        view.cells
    )
    assert (view.kind, view.name, box.kind, box.name, box.cells) == (
        "Ink", "grey wash 2", "Needle", "3RL", (("Expires", "2 Jan 2026"),),
    )  # fmt: skip
    row, needles, unused = batch_rows(context)
    assert (row.pieces, row.last_used, row.expiry) == ("1 piece", "14 Mar 2026", "2 Jan 2026")
    assert [mark.words for mark in row.marks] == ["Past its date on 1 piece"]
    assert (needles.batch, unused.pieces, unused.last_used) == ("N-88213", "not used", "")


def test_a_field_with_two_numbers_links_to_both_and_words_to_none(context_of):
    context = context_of(worn("a", "GW2-2231, BK-1"), worn("b", "see label"), worn("c", "lot GW2-2231"))
    assert context.batch_pages_of("GW2-2231, BK-1") == (
        ("GW2-2231", "batches/GW2-2231.html"),
        ("BK-1", "batches/BK-1.html"),
    )
    assert context.batch_pages_of("see label") == (("see label", ""),)
    assert context.batch_pages_of("lot GW2-2231") == (("lot GW2-2231", "batches/GW2-2231.html"),)
    assert context.batch_pages_of(None) == ()
    assert context.batches == ("BK-1", "GW2-2231", "N-88213")


def test_batches_of_needles_are_traced_too(context_of):
    context = context_of()
    assert "N-88213" in context.batches
    assert batch_view(context, "N-88213").kind == "Needle"


@pytest.mark.parametrize("written", ["GW2-2213", "GW2-223I", "GW2-22310"])
def test_a_number_written_a_little_differently_is_pointed_out(context_of, written):
    piece = with_record(ink=(model.Ink(batch="GW2-2231"), model.Ink(batch=written)))
    context = context_of(piece)
    assert [row.batch for row in batch_view(context, "GW2-2231").similar] == [written]


@pytest.mark.parametrize("written", ["GW2 2231", "gw2_2231", "GW02-2231"])
def test_one_number_spelt_twice_has_one_page(context_of, written):
    context = context_of(with_record(ink=(model.Ink(batch=written),)))
    assert context.batch_pages[written] == "batches/GW2-2231.html"
    assert [row.written for row in batch_view(context, "GW2-2231").traced] == [written]


def test_the_next_number_of_the_register_is_another_batch(context_of):
    bottles = {name: model.InkBatch(batch=name) for name in ("GW2-2231", "GW2-2232")}
    context = context_of(worn("a"), worn("b", "GW2-2232"), inks=bottles)
    assert batch_view(context, "GW2-2231").similar == ()


def test_recalled_batches_come_first(context_of):
    bottles = {name: model.InkBatch(batch=name) for name in ("a", "b")}
    bottles["z"] = model.InkBatch(batch="z", recalled=TODAY)
    context = context_of(inks=bottles)
    assert batch_rows(context)[0].batch == "z"


# questions, doubles


def test_checks_of_one_code_are_written_out_up_to_a_bound(context_of):
    piece = make_piece()
    found = tuple(
        Finding("a.b", Severity.NOTE, piece.id, Place(piece.toml, n), f"Problem {n}.", "Remedy.") for n in range(100)
    )
    group = checks_view(context_of(piece, findings=found)).groups[0]
    assert len(group.rows) == MOST_PER_CODE
    assert (group.count, group.left_out) == (100, 100 - MOST_PER_CODE)


def test_what_is_the_same_about_several_pieces_is_one_question(context_of):
    pieces = [make_piece(name) for name in ("owl", "moth")]

    def found(piece, problem):
        return Finding("batch.expired", Severity.WARNING, piece.id, Place(piece.toml, 3), problem, "Check the label.")

    findings = (*(found(piece, "Ink B-1 was past its date.") for piece in pieces), found(pieces[0], "Ink B-2 was."))
    (group,) = checks_view(context_of(*pieces, findings=findings)).groups
    assert group.count == 3
    assert [[link.href for link in row.pieces] for row in group.rows] == [
        ["pieces/moth.html", "pieces/owl.html"],
        ["pieces/owl.html"],
    ]
    assert len(group.rows[0].problems) == 2


def test_a_question_shows_in_words_what_may_be_answered(context_of):
    piece = make_piece()
    finding = Finding("photo.no-stage", Severity.NOTE, piece.id, Place(piece.toml, 3), "A photo.", "R.", key="photo.0")
    (row,) = checks_view(context_of(piece, findings=(finding,))).groups[0].rows
    assert row.answers == ("Fresh", "Healed", "In progress")


def test_a_recall_is_one_question_with_those_who_are_to_be_told(context_of):
    owl = make_piece("owl", make_record(client="C-0042", ink=(model.Ink(batch="GW2-2231"),)))
    stranger = make_piece("moth", make_record(client=None, ink=(model.Ink(batch="GW2-2231"),)))
    recalled = model.InkBatch(batch="GW2-2231", recalled=dt.date(2026, 5, 2))
    finding = Finding(
        "batch.recalled", Severity.WARNING, None, Place("inks.toml", 2), "GW2-2231 recalled 2 May 2026.", "Tell them."
    )
    context = context_of(owl, stranger, inks={"GW2-2231": recalled}, findings=(finding,))
    (row,) = checks_view(context).groups[0].rows
    assert row.batch == "batches/GW2-2231.html"
    assert [(one.client, one.href, [link.title for link in one.pieces]) for one in row.to_tell] == [
        ("", "", [stranger.title]),
        ("C-0042", "clients/C-0042.html", [owl.title]),
    ]
    other = Finding("a.b", Severity.NOTE, None, Place("inks.toml", 2), finding.problem, "Remedy.")
    assert recall_of(context, finding)
    assert recall_of(context, other) is None


@pytest.mark.parametrize(
    ("problem", "about", "said"),
    [
        ("references/a.jpg: neither this nor that.", "a.jpg", "Neither this nor that."),
        ("references/a b.jpg (CC BY-NC): The licence: no.", "a b.jpg (CC BY-NC)", "The licence: no."),
        ("photos/a.jpg is not described.", "", "a.jpg is not described."),
        ('"stencils/a.png" or "notes/a"?', "", '"a.png" or "notes/a"?'),
        ("A sentence: with a colon.", "", "A sentence: with a colon."),
    ],
)
def test_the_sentence_comes_first_and_the_picture_after_it(context_of, problem, about, said):
    piece = make_piece()
    finding = Finding("a.b", Severity.NOTE, piece.id, Place(piece.toml, 3), problem, "Remedy.")
    shown = checks_view(context_of(piece, findings=(finding,))).groups[0].rows[0].problem
    assert (shown.about, shown.said) == (about, said)


def test_lines_of_a_decision_are_toml(context_of):
    piece = make_piece()
    group = DoubleGroup((piece.photos[0], 'pieces/"odd"\\name.jpg'), mirrored=False)
    (view,) = doubles_view(context_of(piece, twins=Twins(doubles=(group,)))).groups
    same, different = tomllib.loads(view.same)["same"][0], tomllib.loads(view.different)["different"][0]
    assert same["images"] == different["images"] == list(group.paths)
    assert same["keep"] == piece.photos[0]


def test_what_a_reference_was_made_from_stands_on_the_page_as_a_tree(view_of):
    references = (
        model.Reference(file="references/m.jpg", made_from=("references/a.jpg",)),
        model.Reference(file="references/a.jpg", license="own-work", made_from=("references/b.jpg",)),
        model.Reference(file="references/b.jpg", license="InC"),
    )
    row = view_of(with_record(reference=references)).references[0]
    (branch,) = row.sources
    (below,) = branch.sources
    assert (branch.name, branch.right, branch.mark.words) == ("a.jpg", "own work", "Yes")
    assert (below.name, below.right, below.mark.words) == ("b.jpg", "in copyright", "No")
    assert row.show_tattoo.words == "No"


def test_a_tree_of_sources_is_written_on_the_page(tmp_path):
    record = make_record(
        reference=(
            model.Reference(file="references/m.jpg", made_from=("references/a<b>.jpg",)),
            model.Reference(file="references/a<b>.jpg", license="InC"),
        )
    )
    catalogue = survey(make_catalogue(tmp_path, make_piece(record=record), facts_of=paper_facts))
    page = next(one for one in ArchiveSite(catalogue, tmp_path).artifacts() if one.path.startswith("pieces/"))
    assert "a&lt;b&gt;.jpg</span>, in copyright" in page.make().decode()


def test_what_was_only_looked_at_has_no_answers_and_says_so(view_of):
    row = view_of(with_record(reference=(model.Reference(file="references/a.jpg", used=False),))).references[0]
    assert (row.as_reference, row.show_it, row.show_tattoo) == (None, None, None)
    assert "looked at, not drawn from" in row.facts


def test_an_edit_by_a_trained_model_says_what_it_stands_on(view_of):
    edit = model.Reference(file="references/a.jpg", digital_source="compositeWithTrainedAlgorithmicMedia")
    assert any("stands on the right" in fact for fact in view_of(with_record(reference=(edit,))).references[0].facts)


def test_a_file_that_nobody_described_has_answers_too(view_of):
    piece = with_record(reference=())
    piece = msgspec.structs.replace(piece, references=(f"{piece.folder}/references/film.jpg",))
    (row,) = view_of(piece).references
    assert (row.right, row.show_tattoo.words) == ("Not described in the record", "No")


def test_a_release_that_is_not_understood_is_shown_as_written(view_of):
    piece = with_record(release=model.Release())
    piece = msgspec.structs.replace(piece, as_written=(model.AsWritten(key="release.status", text='"maybe"'),))
    cell = next(cell for cell in view_of(piece).cells if cell.label == "Photo release")
    assert cell.mark.words == 'Release not understood ("maybe", as written)'


def test_a_stencil_and_a_reference_of_two_pieces_are_linked_on_both_pages(context_of):
    owl, moth = make_piece("owl"), make_piece("moth")
    flat = (1.0, 0.0, 0.0, 0.0, 1.0, 0.0)
    pairs = (
        Pair(moth.stencils[0], owl.stencils[1], Relation.MIRRORED, True, 0, flat, 0.99),
        Pair(moth.references[0], owl.references[0], Relation.IDENTICAL, False, 0, flat, 1.0),
    )
    context = context_of(owl, moth, twins=Twins(pairs=pairs))
    owls, moths = (lineage(context, context.overviews[name]) for name in ("owl", "moth"))
    assert [one.words for one in owls[1].also] == ["mirrored"]
    assert [one.href for one in moths[0].also] == ["pieces/owl.html"]
    assert owls[0].also == ()
    references = reference_rows(context, context.overviews["owl"])
    assert [one.href for one in references[0].also] == ["pieces/moth.html"]
    assert sum(len(card.also) for card in stencil_list(context).cards) == 2


def test_a_large_group_is_shown_in_part(context_of):
    piece = make_piece()
    paths = tuple(f"{piece.folder}/photos/{n}.jpg" for n in range(2000))
    (view,) = doubles_view(context_of(piece, twins=Twins(doubles=(DoubleGroup(paths, mirrored=False),)))).groups
    assert len(view.pictures) + view.left_out == 2000
    assert len(view.pictures) < 20


# The folder


def test_the_same_catalogue_gives_the_same_bytes(tmp_path):
    catalogue = survey(make_catalogue(tmp_path, facts_of=paper_facts))
    made = [
        {a.path: a.make() if a.make else a.source for a in ArchiveSite(catalogue, tmp_path / "blobs", "..").artifacts()}
        for _ in range(2)
    ]
    assert made[0] == made[1]


def test_a_change_of_one_piece_changes_the_key_of_its_page_only(tmp_path):
    first, second = make_piece("a"), make_piece("b")
    changed = msgspec.structs.replace(second, notes="Other words.")

    def keys(*pieces):
        site = ArchiveSite(survey(make_catalogue(tmp_path, *pieces, facts_of=paper_facts)), tmp_path / "blobs", "..")
        return {artifact.path: artifact.key for artifact in site.artifacts() if artifact.path.startswith("pieces/")}

    before, after = keys(first, second), keys(first, changed)
    assert before["pieces/a.html"] == after["pieces/a.html"]
    assert before["pieces/b.html"] != after["pieces/b.html"]


def test_no_page_of_a_limit_of_the_artists_own_calls_it_a_default(view_of):
    rule = view_of(config=Config(root=Path("/"), limits=Limits(touch_up_from_days=30))).healing
    assert not rule.is_default_window
    assert rule.window_days[0] == 30


def test_a_client_whose_code_is_spelled_otherwise_has_one_page_and_every_piece_leads_to_it(context_of, figure):
    registered, spelled = (
        make_piece(id=f"piece-{code.lower()}", record=make_record(client=code)) for code in ("C-0042", "c0042")
    )
    context = context_of(registered, spelled)
    plans = page_plans(context, make_lists(load_theme("archive"), context, figure, KnownKeys()), figure)
    pages = [plan.view() for path, plan in plans.items() if path.startswith("clients/")]
    assert [page.code for page in pages] == ["C-0042"]
    assert len(pages[0].pieces) == 2
    assert context.client_pages["c0042"] == context.client_pages["C-0042"]


def test_a_new_client_or_another_day_writes_one_small_file_and_no_page_that_does_not_speak_of_them(tmp_path):
    def made(**changes):
        site = ArchiveSite(survey(make_catalogue(tmp_path, facts_of=paper_facts, **changes)), tmp_path, "..")
        return {one.path: (one.key, one.make()) for one in site.artifacts() if one.make}

    def changed(**changes):
        after = made(**changes)
        return {path for path, (_, content) in after.items() if content != before.get(path, (None, None))[1]}

    before = made(clients={})
    assert changed(clients={}, built_on=TODAY + dt.timedelta(1)) <= {"data/now.css", "follow-up.ics", "doubles.html"}
    assert {lasting_name(path) for path in changed(clients={"C-0815": model.Client(code="C-0815")})} == {
        "data/now.css", "data/search", "data/found-0", "clients.html", "clients/C-0815.html",
    }  # fmt: skip
    assert b'.n[data-of="Clients"]::after { content: "1"; }' in before["data/now.css"][1]


def test_months_lie_on_a_rule_from_the_first_to_the_last():
    days = [dt.date(2024, 11, 3), dt.date(2025, 2, 1), dt.date(2025, 2, 28), None]
    rule = month_rule(month_of(day) for day in days)
    assert rule.ends == ("Nov 2024", "Feb 2025")
    assert rule.bars == (0.5, 0.0, 0.0, 1.0)
    assert rule.ticks == (False, False, True, False)
    assert month_rule(month_of(day) for day in days[1:]) is None
