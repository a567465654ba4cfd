"""What an upload changes and in which order: nothing but what changed, and no page ever without its pictures."""

import random
import shutil
from dataclasses import replace

import pytest

from archgen.errors import WithheldError
from archgen.progress import Silent
from archgen.uploading.place import UploadError
from archgen.uploading.places.on_disk import FolderPlace
from archgen.uploading.plan import StepKind, UploadPlan
from archgen.uploading.sent import LIST, UNDER_WAY, SentHere
from tests.unit.uploading.made_sites import (
    Breaking,
    as_built,
    is_whole,
    made,
    missing_from,
    paths_of,
    picture,
    prepare,
    read_folder,
    send,
    visible,
)

PIECES = {name: number for number, name in enumerate(("moth", "owl", "fern", "peony", "koi", "carp", "wave"))}


@pytest.fixture
def web(tmp_path):
    return tmp_path / "web"


@pytest.fixture
def here(tmp_path):
    return tmp_path / "built"


def test_a_first_upload_sends_everything_and_a_second_nothing(tmp_path, web, here):
    site = made(tmp_path / "site", PIECES)
    ready = send(FolderPlace(web), site, here)
    assert sorted(ready.plan.appears) == sorted(site.files)
    assert not ready.doubts
    assert visible(read_folder(web)) == as_built(site)
    again = prepare(FolderPlace(web), site, here)
    assert again.plan.is_empty
    assert not again.doubts


def test_one_changed_piece_of_300_sends_its_own_files_the_pages_that_name_it_feed_and_sitemap(tmp_path, web, here):
    pieces = {f"piece-{number}": number for number in range(300)}
    send(FolderPlace(web), made(tmp_path / "site", pieces), here)
    place = Breaking(web)
    send(place, made(tmp_path / "new", {**pieces, "piece-77": 1000}), here)
    put = {path for what, path in place.done if what == "put"}
    may = {*paths_of("piece-77"), "styles/15.html", "index.html", "feed.xml", "sitemap.xml"}
    assert may - put == {"styles/15.html"}, "a style page that reads the same need not go"
    assert put - may == {LIST, UNDER_WAY}
    assert {path for what, path in place.done if what == "remove"} == {UNDER_WAY}


def test_pictures_come_before_pages_home_after_pieces_and_what_machines_read_last(tmp_path, web, here):
    place = Breaking(web)
    send(place, made(tmp_path / "site", PIECES), here)
    put = [path for _, path in place.done if path not in {LIST, UNDER_WAY}]
    first_page = put.index("pieces/carp.html")
    assert all(path.startswith(("img/", "assets/")) for path in put[:first_page])
    assert not any(path.startswith(("img/", "assets/")) for path in put[first_page:])
    assert put.index("index.html") == max(number for number, path in enumerate(put) if path.endswith(".html"))
    assert [path for path in put if path.endswith((".xml", ".txt"))] == put[-3:]


def test_pages_of_another_language_have_their_turn_with_the_others():
    appears = ("de/index.html", "index.html", "de/styles/line.html", "de/pieces/owl.html", "pieces/owl.html")
    steps = UploadPlan(appears, (), (), (), (), 0).steps()
    assert [step.path for step in steps] == [
        "de/pieces/owl.html", "pieces/owl.html", "de/styles/line.html", "de/index.html", "index.html",
    ]  # fmt: skip


def test_what_was_withdrawn_goes_before_anything_is_sent(tmp_path, web, here):
    send(FolderPlace(web), made(tmp_path / "site", PIECES), here)
    left = {name: tone for name, tone in PIECES.items() if name != "owl"} | {"heron": 40}
    place = Breaking(web)
    ready = send(place, made(tmp_path / "new", left, withdrawn=paths_of("owl")), here)
    steps = list(ready.plan.steps())
    assert [step.path for step in steps[:5]] == paths_of("owl")
    assert [step.kind for step in steps[:5]] == [StepKind.REMOVE, *[StepKind.COVER] * 4]
    assert not {path for path in read_folder(web) if "owl" in path}
    assert b"owl" not in b"".join(visible(read_folder(web)).values())


def test_the_gray_that_covers_a_withdrawn_picture_is_a_whole_picture_and_not_the_old_one(tmp_path, web, here):
    site = made(tmp_path / "site", PIECES)
    send(FolderPlace(web), site, here)
    left = {name: tone for name, tone in PIECES.items() if name != "owl"}
    place = Breaking(web, writes=6)  # the list of what is under way, the page, two pictures in two formats
    with pytest.raises(UploadError):
        send(place, made(tmp_path / "new", left, withdrawn=paths_of("owl")), here)
    online = read_folder(web)
    assert "pieces/owl.html" not in online
    for path in paths_of("owl")[1:]:
        assert is_whole(online[path])
        assert online[path] != site.read(path)
    assert missing_from(online) == []


def test_a_picture_that_changes_may_stand_for_a_photo_that_left_and_comes_before_new_ones(tmp_path, web, here):
    send(FolderPlace(web), made(tmp_path / "site", {"owl": 1}), here)
    ready = prepare(FolderPlace(web), made(tmp_path / "new", {"owl": 2, "bee": 3}), here)
    assert [step.path for step in ready.plan.steps()][:8] == [*paths_of("owl")[1:], *paths_of("bee")[1:]]


def test_what_goes_without_being_withdrawn_stays_until_no_page_shows_it(tmp_path, web, here):
    send(FolderPlace(web), made(tmp_path / "site", PIECES), here)
    renamed = {("snowy-owl" if name == "owl" else name): tone for name, tone in PIECES.items()}
    ready = prepare(FolderPlace(web), made(tmp_path / "new", renamed), here)
    assert [step.path for step in list(ready.plan.steps())[-5:]] == paths_of("owl")
    assert ready.plan.withdrawn == ()


def test_an_address_that_belongs_to_another_piece_now_loses_the_withdrawn_one_first(tmp_path, web, here):
    send(FolderPlace(web), made(tmp_path / "site", PIECES), here)
    other = made(tmp_path / "new", {**PIECES, "owl": 500}, withdrawn=paths_of("owl"))
    place = Breaking(web)
    ready = send(place, other, here)
    assert [step.path for step in list(ready.plan.steps())[:5]] == paths_of("owl")
    assert visible(read_folder(web)) == as_built(other)


@pytest.mark.parametrize("change", ["new and gone", "withdrawn", "looks"])
def test_a_cut_at_any_moment_leaves_the_site_whole_and_the_next_upload_goes_on(tmp_path, change):
    pieces = {"moth": 1, "owl": 2}
    old = made(tmp_path / "old", pieces)
    withdrawn = paths_of("owl") if change == "withdrawn" else ()
    after = pieces if change == "looks" else {"heron": 40, "moth": 41}
    new = made(tmp_path / "new", after, withdrawn=withdrawn, look=change)
    writes = 0
    while True:
        top, out = tmp_path / f"web-{writes}", tmp_path / f"out-{writes}"
        send(FolderPlace(top), old, out)
        try:
            send(Breaking(top, writes), new, out)
        except UploadError:
            assert missing_from(read_folder(top)) == [], f"after {writes} writes"
            place = Breaking(top)
            send(place, new, out)
            assert visible(read_folder(top)) == as_built(new)
            assert not {path for path in read_folder(top) if path == UNDER_WAY}
            writes += 1
            continue
        break
    assert writes > 3


def test_a_broken_upload_does_not_send_again_what_arrived(tmp_path, web, here):
    site = made(tmp_path / "site", PIECES)
    first = Breaking(web, writes=12)
    with pytest.raises(UploadError):
        send(first, site, here)
    second = Breaking(web)
    send(second, site, here)
    arrived = {path for _, path in first.done[1:]}
    assert len(arrived) == 11
    assert arrived.isdisjoint(path for _, path in second.done if path not in {LIST, UNDER_WAY})


def test_a_broken_upload_goes_on_from_a_computer_that_knows_nothing_of_it(tmp_path, web, here):
    old = made(tmp_path / "old", PIECES)
    send(FolderPlace(web), old, here)
    new = made(tmp_path / "new", {"heron": 40})
    rng = random.Random(4)
    for number in range(6):
        with pytest.raises(UploadError):
            send(Breaking(web, rng.randrange(1, 14)), new, tmp_path / f"computer-{number}")
    send(FolderPlace(web), new, tmp_path / "last")
    assert visible(read_folder(web)) == as_built(new)


def test_what_arrived_before_two_breaks_counts_as_sent_on_a_computer_that_knows_nothing(tmp_path, web, here):
    with pytest.raises(UploadError):
        send(Breaking(web, 12), made(tmp_path / "first", PIECES), here)
    arrived = set(visible(read_folder(web)))
    with pytest.raises(UploadError):
        send(Breaking(web, 3), made(tmp_path / "first", PIECES), here)
    ready = prepare(FolderPlace(web), made(tmp_path / "second", {"heron": 40}), tmp_path / "laptop")
    assert arrived - {*ready.site.files} <= {*ready.plan.goes}


def test_nothing_is_deleted_that_archgen_never_sent(tmp_path, web, here):
    (web / "img").mkdir(parents=True)
    (web / "img/logo.webp").write_bytes(picture(9))
    (web / ".htaccess").write_text("deny")
    (web / "pieces").mkdir()
    (web / "pieces/mine.html").write_text("mine")
    send(FolderPlace(web), made(tmp_path / "site", PIECES), here)
    send(FolderPlace(web), made(tmp_path / "new", {"heron": 40}, withdrawn=["pieces/mine.html"]), here)
    assert (web / ".htaccess").read_text() == "deny"
    assert (web / "img/logo.webp").read_bytes() == picture(9)
    assert (web / "pieces/mine.html").read_text() == "mine"


def test_a_file_of_somebody_else_in_the_way_is_a_doubt(tmp_path, web, here):
    web.mkdir()
    (web / "index.html").write_text("somebody's")
    ready = prepare(FolderPlace(web), made(tmp_path / "site", PIECES), here)
    assert ready.plan.others == ("index.html",)
    assert any("index.html" in doubt for doubt in ready.doubts)


def test_a_place_that_has_forgotten_everything_is_a_doubt_and_is_sent_everything(tmp_path, web, here):
    site = made(tmp_path / "site", PIECES)
    send(FolderPlace(web), site, here)
    ready = prepare(FolderPlace(tmp_path / "empty"), site, here)
    assert ready.doubts
    assert sorted(ready.plan.appears) == sorted(site.files)


def test_what_another_archive_sent_is_a_doubt_before_it_goes(tmp_path, web, here):
    send(FolderPlace(web), made(tmp_path / "site", PIECES), here)
    ready = prepare(FolderPlace(web), made(tmp_path / "new", {"heron": 40}), tmp_path / "other")
    assert ready.doubts
    assert set(ready.plan.goes) > set(paths_of("owl"))


def test_what_this_computer_remembers_does_not_outweigh_a_later_upload_from_another(tmp_path, web, here):
    first, second = made(tmp_path / "first", {"owl": 1}), made(tmp_path / "second", {"owl": 2})
    send(FolderPlace(web), first, here)
    send(FolderPlace(web), second, tmp_path / "laptop")
    send(FolderPlace(web), first, here)
    assert visible(read_folder(web)) == as_built(first)
    assert not prepare(FolderPlace(web), second, tmp_path / "laptop").doubts


def test_a_place_that_another_archive_has_taken_over_is_a_doubt(tmp_path, web, here):
    site = made(tmp_path / "site", {"owl": 1})
    send(FolderPlace(web), site, here)
    shutil.rmtree(web)
    send(FolderPlace(web), made(tmp_path / "other", {"koi": 7}), tmp_path / "other-out")
    assert prepare(FolderPlace(web), site, here).doubts


def test_what_is_not_there_any_more_need_not_go(tmp_path, web, here):
    send(FolderPlace(web), made(tmp_path / "site", {"owl": 1, "koi": 2}), here)
    (web / "pieces/owl.html").unlink()
    assert prepare(FolderPlace(web), made(tmp_path / "new", {"koi": 2}), here).plan.goes == tuple(paths_of("owl")[1:])


@pytest.mark.parametrize("harm", ["damage", "leave the tree", "another name"])
def test_a_list_that_nobody_can_rely_on_deletes_nothing(tmp_path, web, here, harm):
    from archgen.uploading.sent import Sent, packed

    outside = tmp_path / "precious.txt"
    outside.write_text("precious")
    site = made(tmp_path / "site", PIECES)
    send(FolderPlace(web), site, here)
    lists = {
        "damage": (web / LIST).read_bytes()[:-1] + b"?",
        "leave the tree": packed(Sent("a", "b", {"../precious.txt": "x"}), LIST),
        "another name": packed(Sent("a", "b", {"pieces/owl.html": "x"}), "other"),
    }
    (web / LIST).write_bytes(lists[harm])
    SentHere(here, prepare(FolderPlace(web), site, here).target).forget()
    ready = prepare(FolderPlace(web), made(tmp_path / "new", {"heron": 40}), here)
    assert ready.plan.goes == ()
    assert outside.read_text() == "precious"


def test_a_file_that_was_lost_or_cut_short_there_is_sent_again(tmp_path, web, here):
    site = made(tmp_path / "site", PIECES)
    send(FolderPlace(web), site, here)
    (web / "img/owl-1.webp").unlink()
    (web / "index.html").write_bytes(b"<!doc")
    assert set(prepare(FolderPlace(web), site, here).plan.appears) == {"img/owl-1.webp"}
    assert prepare(FolderPlace(web), site, here).plan.changes == ("index.html",)


def test_a_half_written_file_left_behind_is_taken_away(tmp_path, web, here):
    site = made(tmp_path / "site", PIECES)
    send(FolderPlace(web), site, here)
    (web / "img/.owl-1.webp.archgen-part").write_bytes(b"half")
    send(FolderPlace(web), site, here)
    assert visible(read_folder(web)) == as_built(site)
    assert not list(web.rglob("*.archgen-part"))


def test_a_portfolio_that_changes_while_it_is_sent_is_not_sent(tmp_path, web, here):
    site = made(tmp_path / "site", PIECES)
    ready = prepare(FolderPlace(web), site, here)
    (site.folder / "index.html").write_text("a name")
    with pytest.raises(WithheldError):
        ready.carry_out(Silent())
    assert b"a name" not in b"".join(read_folder(web).values())


def test_only_what_was_withdrawn_can_go_and_the_pages_that_stay_lack_nothing(tmp_path, web, here):
    old = made(tmp_path / "site", PIECES)
    send(FolderPlace(web), old, here)
    left = {name: tone for name, tone in PIECES.items() if name != "owl"} | {"heron": 40}
    new = made(tmp_path / "new", left, withdrawn=paths_of("owl"))
    ready = prepare(FolderPlace(web), new, here)
    only = replace(ready, plan=ready.plan.withdrawing())
    assert not only.plan.is_empty
    only.carry_out(Silent())
    online = visible(read_folder(web))
    assert "pieces/owl.html" not in online
    assert online["img/owl-1.webp"] != old.read("img/owl-1.webp")
    assert online["index.html"] == old.read("index.html")
    assert missing_from(online) == []
    send(FolderPlace(web), new, here)
    assert visible(read_folder(web)) == as_built(new)


def test_the_list_names_nothing_that_is_not_there_any_more(tmp_path, web, here):
    send(FolderPlace(web), made(tmp_path / "site", PIECES), here)
    send(FolderPlace(web), made(tmp_path / "new", {"heron": 40}, withdrawn=paths_of("owl")), here)
    listed = prepare(FolderPlace(web), made(tmp_path / "new", {"heron": 40}), here).known.there
    assert listed is not None
    assert set(listed.files) == set(visible(read_folder(web)))
