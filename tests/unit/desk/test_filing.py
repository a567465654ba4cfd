"""Filing in the desk from the dropped picture to the written record, without a browser."""

import datetime as dt
import re
import time
import tomllib
from dataclasses import replace

import pytest

from archgen.desk.answering import INCOMING
from archgen.desk.inbox import waiting
from archgen.desk.shown import ShownArchive
from archgen.intake.plan import What
from archgen.writing.changes import KEPT, past_changes
from tests.unit.desk.asking import Asker
from tests.unit.desk.conftest import call_them_photos, copied, moth, opened, stencil


@pytest.fixture(scope="module")
def read_inbox(read_archive_folder, tmp_path_factory):
    """A read archive whose inbox holds three photos of a day and a stencil, read too."""
    folder = copied(read_archive_folder, tmp_path_factory.mktemp("filing") / "desk")
    state = opened(folder / "archive", folder / "archive-built")
    inbox = state.root / "inbox"
    moth(inbox / "IMG_1.jpg", 1, "2026:11:26 11:20:00")
    moth(inbox / "IMG_2.jpg", 2, "2026:11:26 14:45:00")
    moth(inbox / "IMG_3.jpg", 3, "2026:11:26 14:46:00")
    stencil(inbox / "night-moth-1.png")
    with pytest.MonkeyPatch.context() as monkeypatch:
        monkeypatch.setattr(waiting, "SETTLE_SECONDS", 0.0)
        settled(state)
        assert all(state.inbox.facts_of(picture) for picture in state.inbox.plan.pictures)
    return folder


@pytest.fixture
def state(read_inbox, tmp_path):
    """A desk of its own for each test."""
    copied(read_inbox, tmp_path / "desk")
    return opened(tmp_path / "desk/archive", tmp_path / "desk/archive-built")


@pytest.fixture
def filled(state, monkeypatch):
    """A desk whose inbox holds what was read, planned."""
    monkeypatch.setattr(waiting, "SETTLE_SECONDS", 0.0)
    settled(state)
    call_them_photos(state.inbox)
    return Asker(state)


def settled(state):
    state.inbox.look()
    for _ in range(600):
        if not state.inbox.is_planning and state.inbox.plan.looked_at:
            return
        time.sleep(0.05)
    raise AssertionError("the plan was not made in time")


def only_group(state):
    """Put all pictures into the first group and give its key."""
    groups = state.inbox.groups()
    first = next((group for group in groups if group.day), groups[0])
    for group in groups:
        for picture in group.pictures:
            state.inbox.said.group[picture.key] = first.key
    return first.key


def save(asker, state, fields, files=()):
    answer = asker.post_form(f"upload/file/{only_group(state)}.html", fields, files)
    assert answer.status == 303, answer.text
    number = int(re.search(r"saved/(\d+)\.html", answer.headers["location"])[1])
    return number, asker.get(f"saved/{number}.html")


def record_of(state, pattern):
    return tomllib.loads(next(state.root.glob(f"pieces/{pattern}/piece.toml")).read_text(encoding="utf-8"))


def test_the_inbox_says_what_waits_and_that_nothing_is_written(filled, state):
    page = filled.get("inbox.html").text
    assert "4 pictures. Nothing is written yet." in page
    assert "File this piece" in page
    assert "IMG_2.jpg" in page
    assert not list(state.root.glob("pieces/2026-11-26*"))


def test_a_thousand_files_that_cannot_be_filed_are_a_line_or_two(filled, state):
    for number in range(1000):
        (state.root / f"inbox/{number:04}.jpg").write_bytes(str(number).encode())
    (state.root / "inbox/notes.txt").write_text("x")
    settled(state)
    page = filled.get("inbox.html").text
    assert "1001 files that can’t be filed." in page
    assert "0000.jpg, 0001.jpg, 0002.jpg, 0003.jpg, 0004.jpg and 995 more" in page
    assert "notes.txt" in page
    assert "0005.jpg" not in page
    assert "File this piece" in page


def test_a_title_is_enough_and_everything_else_stays_open(filled, state):
    _, page = save(filled, state, {"title": "Night moth"})
    assert "Night moth is in the archive, 4 pictures copied and compared byte by byte." in page.text
    record = record_of(state, "2026-11-26-night-moth")
    assert record["title"] == "Night moth"
    assert not {"size", "placement", "needle", "ink", "release", "publish", "client"} & record.keys()
    assert len(record["photo"]) == 3


def test_the_whole_form_writes_the_record_and_a_new_client_and_the_pages_show_it_at_once(filled, state):
    fields = {
        "title": "Night moth", "client": "Piet Larsmo", "place": "Shoulder blade, right", "as_stencil": "1",
        "hours": "3h25", "needle": ["3RL|N-9", "15 curved mag|N-2"], "needle_order": "15 curved mag|N-2\n3RL|N-9",
        "ink": ["BK-1"], "release": "both", "publish": "yes",
    }  # fmt: skip
    before = (state.root / "clients.toml").read_text()
    number, page = save(filled, state, fields)
    record = record_of(state, "2026-11-26-night-moth")
    assert record["client"] == "C-0044"
    assert record["placement"] == {"region": "shoulder-blade", "side": "right"}
    assert record["size"] == {"width": "34 mm", "height": "25 mm"}  # 801 and 601 dots at 600 to the inch
    assert record["sitting"][0]["hours"] == "3h25"
    assert [one["code"] for one in record["needle"]] == ["15 curved mag", "3RL"]
    assert record["needle"][1]["batch"] == "N-9"
    assert record["release"]["scope"] == ["portfolio", "print"]
    assert record["publish"] is True
    register = (state.root / "clients.toml").read_text()
    assert register.startswith(before.rstrip())
    assert tomllib.loads(register)["client"][-1] == {"code": "C-0044", "name": "Piet Larsmo"}
    for line in ('region = "shoulder-blade"', 'hours = "3h25"', "Shoulder blade, right"):
        assert line in re.sub(r" +=", " =", page.text.replace("&#34;", '"'))
    assert "Night moth" in filled.get("index.html").text
    assert "C-0044" in filled.get("clients.html").text
    assert filled.get("pieces/2026-11-26-night-moth.html").status == 200
    assert number == past_changes(state.out / KEPT)[-1].number


def test_papers_go_into_the_piece_and_the_record_names_them(filled, state):
    key = only_group(state)
    one = next(one for one in state.inbox.group(key).pictures if one.name == "night-moth-1.png")
    state.inbox.said.what[one.key] = What.REFERENCE
    fields = {"title": "Moth", "release": "both", f"right-{one.key}": "letter", f"allows-{one.key}": ["show-tattoo"]}
    files = [("release_paper", "Signed.PDF", b"%PDF signed"), (f"letter-{one.key}", "letter.eml", b"Dear artist")]
    save(filled, state, fields, files)
    folder = state.root / "pieces/2026-11-26-moth"
    record = record_of(state, "2026-11-26-moth")
    assert record["release"]["file"] == "release.pdf"
    assert (folder / "release.pdf").read_bytes() == b"%PDF signed"
    assert record["reference"][0]["permission"] == "references/letter.eml"
    assert record["reference"][0]["allows"] == ["show-tattoo"]
    assert (folder / "references/letter.eml").read_bytes() == b"Dear artist"
    assert not (state.out / INCOMING).exists()


def test_a_letter_for_an_answer_that_was_changed_is_left_out_and_one_that_is_no_paper_stops_the_save(filled, state):
    key = only_group(state)
    one = next(one for one in state.inbox.group(key).pictures if one.name == "night-moth-1.png")
    state.inbox.said.what[one.key] = What.REFERENCE
    fields = {"title": "Moth", f"right-{one.key}": "mine"}
    refused = filled.post_form(f"upload/file/{key}.html", fields, [("release_paper", "run.exe", b"MZ")])
    assert refused.status == 409
    assert "run.exe" in refused.text
    assert not list(state.root.glob("pieces/2026-11-26*"))
    save(filled, state, fields, [(f"letter-{one.key}", "letter.pdf", b"%PDF")])
    assert not list(state.root.glob("pieces/2026-11-26-moth/references/letter*"))


def test_styles_price_notes_and_another_cover_are_written(filled, state):
    cover = next(one for one in state.inbox.groups()[0].pictures if one.name == "IMG_3.jpg")
    fields = {
        "title": "Moth", "style": ["dotwork"], "styles": "black-and-grey, dotwork", "charged": "420,50",
        "deposit": "100", "notes": "skin slow to take", "cover": cover.key,
    }  # fmt: skip
    save(filled, state, fields)
    record = record_of(state, "2026-11-26-moth")
    assert record["styles"] == ["dotwork", "black-and-grey"]
    assert record["price"] == {"charged": 420.5, "deposit": 100}
    assert [one["file"] for one in record["photo"] if one.get("cover")] == ["photos/IMG_3.jpg"]
    assert (state.root / "pieces/2026-11-26-moth/notes.md").read_text() == "skin slow to take\n"


@pytest.mark.usefixtures("filled")
def test_pictures_a_build_cleared_away_are_read_again(state):
    one = next(one for one in state.inbox.plan.pictures if one.name == "night-moth-1.png")
    blobs = [state.out / "cache/blobs" / name for name in state.inbox.facts_of(one).blobs]
    for blob in blobs:
        blob.unlink(missing_ok=True)
    state.cache.look_again()
    assert state.inbox.facts_of(one).marks is not None
    assert all(blob.is_file() for blob in blobs)


def test_a_form_sent_before_the_stencil_was_measured_measures_it(filled, state):
    state.inbox._facts.clear()
    save(filled, state, {"title": "Night moth", "as_stencil": "1"})
    assert record_of(state, "2026-11-26-night-moth")["size"] == {"width": "34 mm", "height": "25 mm"}


@pytest.mark.usefixtures("filled")
def test_a_picture_called_a_stencil_afterwards_is_measured_as_one(state):
    key = only_group(state)
    one = next(one for one in state.inbox.group(key).pictures if one.name == "night-moth-1.png")
    assert state.inbox.facts_of(one.taken_for(What.REFERENCE)).marks is None
    assert state.inbox.facts_of(one.taken_for(What.STENCIL)).marks is not None


def test_what_a_group_is_said_to_be_follows_its_pictures(filled, state):
    key = only_group(state)
    assert state.inbox.group(key).summary == "4 pictures, taken within 3 h 26 min."
    moved = next(one for one in state.inbox.plan.pictures if one.name == "IMG_1.jpg")
    state.inbox.said.group[moved.key] = "own"
    assert state.inbox.group(key).summary == "3 pictures, taken within 1 min."
    assert f"own-{moved.key[:6]}" in filled.get("inbox.html").text
    assert "1 picture.<" in filled.get("inbox.html").text


def test_a_day_of_another_year_is_said_with_its_year(filled, state):
    assert "A new piece, Thu 26 Nov<" in filled.get("inbox.html").text
    state.shown = ShownArchive(replace(state.current.catalogue, built_on=dt.date(2027, 1, 4)))
    assert "A new piece, Thu 26 Nov 2026<" in filled.get("inbox.html").text
    form = filled.get(f"file/{only_group(state)}.html").text
    assert "One sitting, Thu 26 Nov 2026, by the photos" in form
    assert "Bottles open on Thu 26 Nov 2026" in form


def test_both_boxes_of_the_size_say_which_side_they_are_with_and_without_a_stencil(filled, state):
    key = only_group(state)
    for name in ("", "night-moth-1.png"):
        for one in state.inbox.groups()[0].pictures:
            if one.name == name:
                state.inbox.said.what[one.key] = What.OUT
        form = filled.get(f"file/{key}.html").text
        assert ("gauge--bare" in form) == bool(name)
        assert re.search(r'<label class="lab" for="f-h">Height<', form)
        assert re.search(r'<label class="lab" for="f-w">Width<', form)


def test_pictures_are_copied_byte_by_byte_and_stay_in_the_inbox(filled, state):
    before = {path.name: path.read_bytes() for path in (state.root / "inbox").iterdir()}
    save(filled, state, {"title": "Night moth"})
    assert {path.name: path.read_bytes() for path in (state.root / "inbox").iterdir()} == before
    filed = {path.name: path.read_bytes() for path in state.root.glob("pieces/2026-11-26-night-moth/*/*")}
    assert filed == before
    assert state.inbox.waiting() == 0


def test_taken_back_the_piece_is_gone_and_its_pictures_wait_again(filled, state):
    number, _ = save(filled, state, {"title": "Night moth", "client": "Piet Larsmo"})
    assert filled.post(f"take-back/{number}").status == 303
    assert not list(state.root.glob("pieces/2026-11-26*"))
    assert "Piet Larsmo" not in (state.root / "clients.toml").read_text()
    assert state.inbox.waiting() == 4
    assert "Night moth" not in filled.get("index.html").text
    assert "taken back" in filled.get(f"saved/{number}.html").text


def test_without_a_title_nothing_is_written_and_what_was_typed_is_still_there(filled, state):
    answer = filled.post_form(
        f"upload/file/{only_group(state)}.html", {"title": "  ", "client": "Piet Larsmo", "place": "arm"}
    )
    assert answer.status == 422
    assert "Write a title: it is the one thing that is needed." in answer.text
    assert 'value="Piet Larsmo"' in answer.text
    assert not list(state.root.glob("pieces/2026-11-26*"))


def test_words_that_are_not_understood_are_written_as_typed_and_cost_nothing_else(filled, state):
    fields = {
        "title": "Night moth",
        "place": "arm somewhere",
        "width": "a hand",
        "hours_own": "long",
        "needle_own": "the fat one",
    }
    _, page = save(filled, state, fields)
    record = record_of(state, "2026-11-26-night-moth")
    assert record["placement"]["region"] == "arm somewhere"
    assert record["size"]["width"] == "a hand"
    assert record["sitting"][0]["hours"] == "long"
    assert record["needle"][0]["code"] == "the fat one"
    assert page.status == 200


def test_two_pieces_of_one_name_and_day_lie_in_two_folders(filled, state):
    (state.root / "pieces/2026-11-26-night-moth").mkdir()
    (state.root / "pieces/2026-11-26-night-moth/piece.toml").write_text('title = "Night moth"\n')
    state.refresh()
    save(filled, state, {"title": "Night moth"})
    assert (state.root / "pieces/2026-11-26-night-moth-2/piece.toml").is_file()


def test_what_was_filed_cannot_be_filed_twice(filled, state):
    key = only_group(state)
    save(filled, state, {"title": "Night moth"})
    answer = filled.post_form(f"upload/file/{key}.html", {"title": "Again"})
    assert answer.status == 409
    assert "not in the inbox any more" in answer.text


def test_a_guess_is_changed_by_one_answer_and_back_by_another(filled, state):
    picture = state.inbox.groups()[0].pictures[0]
    filled.post("inbox/say", {"picture": picture.key, "what": "out"})
    assert state.inbox.groups()[0].pictures[0].guess.what.value == "out"
    assert "Left out" in filled.get("inbox.html").text
    save(filled, state, {"title": "Night moth"})
    assert not list(state.root.glob(f"pieces/2026-11-26-night-moth/*/{picture.name}"))


def test_a_record_changed_in_another_program_meanwhile_is_not_overwritten(filled, state):
    record = state.root / "pieces/2026-03-14-barn-owl/piece.toml"
    group = state.inbox.groups()[0]
    record.write_text(record.read_text() + "\n# by hand\n")
    answer = filled.post("inbox/add", {"group": group.key, "piece": "2026-03-14-barn-owl", "what": ""})
    assert answer.status == 303
    assert "# by hand" in record.read_text()
    assert tomllib.loads(record.read_text())["photo"][-1]["file"].startswith("photos/IMG_")


@pytest.mark.parametrize(
    ("field", "text", "question"),
    [
        ("place", "arm", "several places"),
        ("place", "outer forearm", ""),
        ("place", "zzz", "Where is"),
        ("width", "78", ""),
        ("width", "a hand", "?"),
        ("hours_own", "3h25", ""),
        ("hours_own", "long", "?"),
        ("title", "anything", ""),
        ("nothing", "x", ""),
    ],
)
def test_a_field_that_is_not_understood_is_asked_about_in_one_sentence(still, field, text, question):
    answer = still.get(f"ask?field={field}&text={text.replace(' ', '+')}")
    assert answer.status == 200
    assert (question in answer.text) if question else '"question":""' in answer.text
