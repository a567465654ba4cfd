"""The pens on a piece's page, as a browser without script uses them."""

import datetime as dt

import pytest

from tests.unit.desk.pens.desk import MOTH_PAGE, OWL, OWL_PAGE, a_photo

THERE = {"fresh.jpg", "gray.jpg"}
TODAY = dt.date(2026, 9, 21)


def test_a_touch_up_is_written_shown_and_taken_back(desk):
    fields, _ = desk.form(OWL_PAGE, "pen/touch-up")
    shown = desk.post("pen/touch-up", fields | {"hours": "0.5"})
    assert desk.last.status_code == 200
    assert desk.record()["sitting"][1] == {"date": TODAY, "hours": 0.5, "kind": "touch-up"}
    assert "Written." in shown
    assert 'kind = "touch-up"' in shown
    assert "30 min" in shown  # the table of sittings shows it at once
    for kept in ("# my owl", "# as the client says it", 'x-mine = "kept"'):
        assert kept in desk.text()
    back = desk.take_back()
    assert "Taken back." in back
    assert desk.text() == OWL
    assert "touch-up</td>" not in back


def test_a_touch_up_of_another_day_with_a_time_of_its_own(desk):
    fields, _ = desk.form(OWL_PAGE, "pen/touch-up")
    desk.post("pen/touch-up", fields | {"other-hours": "1h20", "day": "2026-09-01", "note": "whiskers"})
    assert desk.record()["sitting"][1] == {
        "date": dt.date(2026, 9, 1),
        "hours": "1h20",
        "kind": "touch-up",
        "note": "whiskers",
    }


@pytest.mark.parametrize("wrong", [{"day": "2026-09-22"}, {"day": "soon"}, {"other-hours": "long"}, {"piece": "none"}])
def test_what_cannot_be_is_said_and_nothing_is_written(desk, wrong):
    fields, _ = desk.form(OWL_PAGE, "pen/touch-up")
    desk.post("pen/touch-up", fields | wrong)
    assert desk.last.status_code == 409
    assert desk.text() == OWL


def test_a_record_changed_underneath_is_shown_beside_and_not_written_over(desk):
    fields, _ = desk.form(OWL_PAGE, "pen/touch-up")
    by_hand = OWL + "\n[price]\ncharged = 4\n"
    (desk.root / "pieces" / "owl" / "piece.toml").write_text(by_hand, "utf-8")
    shown = desk.post("pen/touch-up", fields | {"hours": "0.5"})
    assert desk.last.status_code == 409
    assert "charged = 4" in shown
    assert 'kind = "touch-up"' in shown
    assert desk.text() == by_hand
    again = fields | {"hours": "0.5", "seen": shown.partition('name="seen" value="')[2].partition('"')[0]}
    desk.post("pen/touch-up", again)
    assert desk.last.status_code == 200
    assert desk.text().startswith(OWL.partition("[[ink]]")[0].rstrip())
    assert desk.record()["price"] == {"charged": 4}
    assert len(desk.record()["sitting"]) == 2


def test_a_healed_photo_is_copied_with_its_day_and_taken_back(desk):
    fields, _ = desk.form(OWL_PAGE, "upload/photo")
    content = a_photo((10, 200, 30))
    shown = desk.post("upload/photo", fields, {"photo": ("IMG 1.jpg", content, "image/jpeg")})
    assert desk.last.status_code == 200
    (new,) = [path for path in (desk.root / "pieces" / "owl" / "photos").iterdir() if path.name not in THERE]
    assert new.read_bytes() == content
    assert desk.record()["photo"][1] == {
        "file": f"photos/{new.name}",
        "stage": "healed",
        "taken": dt.date(2026, 6, 20),
    }
    assert "day 98" in shown.lower()
    assert not (desk.state.out / "incoming").exists()
    desk.take_back()
    assert desk.text() == OWL
    assert not new.exists()


def test_a_photo_of_a_name_that_is_taken_gets_another_and_may_be_kept_private(desk):
    fields, _ = desk.form(OWL_PAGE, "upload/photo")
    sent = fields | {"stage": "fresh", "taken": "2026-03-15", "show": "no"}
    desk.post("upload/photo", sent, {"photo": ("FRESH.jpg", a_photo((1, 2, 3), ""), "image/jpeg")})
    assert desk.record()["photo"][1] == {
        "file": "photos/FRESH-2.jpg",
        "stage": "fresh",
        "taken": dt.date(2026, 3, 15),
        "publish": False,
    }


@pytest.mark.parametrize(("name", "content"), [("x.jpg", b"no picture"), ("x.exe", b"MZ"), ("x.jpg", b"")])
def test_what_is_no_photo_is_refused_in_a_sentence(desk, name, content):
    fields, _ = desk.form(OWL_PAGE, "upload/photo")
    shown = desk.post("upload/photo", fields, {"photo": (name, content, "image/jpeg")})
    assert desk.last.status_code == 409
    assert name in shown
    assert desk.text() == OWL
    assert {path.name for path in (desk.root / "pieces" / "owl" / "photos").iterdir()} == THERE


def test_into_the_portfolio_says_first_what_will_be_shown(desk):
    page = desk.get(MOTH_PAGE)
    assert "Not meant for the portfolio." in page
    assert "stands in the portfolio with 1 photo" in page
    assert "<code>photos/fresh.jpg</code>" in page
    fields, _ = desk.form(MOTH_PAGE, "pen/publish")
    assert "On the next build: 1 photo." in desk.post("pen/publish", fields) or "Shown: 1 photo." in desk.last.text
    assert desk.record("moth")["publish"] is True


def test_what_holds_a_piece_is_said(desk):
    page = desk.get(OWL_PAGE)
    assert "Wanted, and it waits." in page
    desk.post("pen/take-out", desk.form(OWL_PAGE, "pen/take-out")[0])
    assert desk.record()["publish"] is False
    page = desk.get(OWL_PAGE)
    assert "waits for what stands below" in page
    assert "release" in page.partition("waits for what stands below")[2][:600].lower()


def test_a_release_taken_back_is_written_with_its_day(desk):
    desk.post("pen/publish", desk.form(MOTH_PAGE, "pen/publish")[0])
    fields, _ = desk.form(MOTH_PAGE, "pen/take-out")
    assert "leave the portfolio at once" in desk.get(MOTH_PAGE)
    desk.post("pen/take-out", fields | {"why": "withdrawn"})
    record = desk.record("moth")
    assert record["publish"] is False
    assert record["release"] == {
        "status": "withdrawn",
        "scope": ["portfolio"],
        "date": dt.date(2026, 6, 1),
        "withdrawn": TODAY,
    }


def test_a_page_of_another_site_is_not_gone_to(desk):
    fields, _ = desk.form(OWL_PAGE, "pen/touch-up")
    desk.post("pen/touch-up", fields | {"hours": "1"})
    number = desk.last.text.partition('name="number" value="')[2].partition('"')[0]
    desk.post("pen/take-back", {"number": number, "page": "//evil.example/x"})
    assert desk.last.location.startswith("../index.html")


@pytest.mark.parametrize("number", ["", "x", "-1", "0", "99", "9" * 5000])
def test_a_change_that_is_none_is_not_taken_back(desk, number):
    fields, _ = desk.form(OWL_PAGE, "pen/touch-up")
    desk.post("pen/touch-up", fields | {"hours": "1"})
    before = desk.text()
    desk.post("pen/take-back", {"number": number, "page": OWL_PAGE})
    assert desk.last.status_code == 409
    assert desk.text() == before
