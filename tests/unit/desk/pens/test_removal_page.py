"""A client's removal at the desk: nothing ticked beforehand, one more look, one step, and back again."""

import re
from hashlib import sha256

from tests.unit.desk.conftest import OWL

PAGE = "removal/C-0042.html"


def whole(root):
    return {path.relative_to(root).as_posix(): path.read_bytes() for path in root.rglob("*") if path.is_file()}


def fields_of(page):
    return re.search(r'name="seen" value="([0-9a-f]+)"', page)[1], re.findall(
        r'<b>([^<]+)</b></p><p class="small soft"><code>([^<]+)</code>.*?name="yes" value="(\d+)"', page, re.DOTALL
    )


def test_the_clients_page_leads_to_a_list_on_which_nothing_is_ticked(asker):
    assert 'href="../removal/C-0042.html">If they ask to be forgotten</a>' in asker.get("clients/C-0042.html").text
    page = asker.get(PAGE).text
    assert "checked" not in page
    assert "Photo of them" in page
    assert "<img" in page
    assert "May have to stay for a time" in page
    assert "ask your authority" in page


def test_what_is_ticked_is_shown_once_more_and_goes_only_then(state, asker):
    before = whole(state.root)
    seen, rows = fields_of(asker.get(PAGE).text)
    photo = next(number for what, where, number in rows if where.endswith("owl.jpg"))
    client = next(number for what, where, number in rows if what == "Whose piece it is")
    look = asker.post(PAGE, {"seen": seen, "yes": [photo, client]})
    assert look.status == 200
    assert "Remove 2 now" in look.text
    assert "Note" not in look.text
    assert whole(state.root) == before
    done = asker.post(PAGE, {"seen": seen, "yes": [photo, client], "sure": "yes"})
    assert done.status == 303
    assert done.headers["location"] == "../clients.html?wrote=1"
    after = whole(state.root)
    assert set(before) - set(after) == {"pieces/2026-03-14-barn-owl/photos/owl.jpg"}
    record = after["pieces/2026-03-14-barn-owl/piece.toml"].decode()
    assert record == OWL.replace('client = "C-0042"\n', "").replace(
        '[[photo]]\nfile = "photos/owl.jpg"\nstage = "fresh"\n', ""
    )
    shown = asker.get("clients.html?wrote=1").text
    assert "A client’s removal: 1 file, 1 place in records" in shown
    assert "gone from the archive" in shown
    asker.post("pen/take-back", {"number": "1", "page": "clients.html"})
    assert whole(state.root) == before


def test_nothing_ticked_removes_nothing(state, asker):
    before = whole(state.root)
    seen, _ = fields_of(asker.get(PAGE).text)
    answer = asker.post(PAGE, {"seen": seen, "sure": "yes"})
    assert answer.status == 409
    assert "Nothing was ticked" in answer.text
    assert whole(state.root) == before


def test_a_list_that_is_no_longer_true_removes_nothing(state, asker):
    before = whole(state.root)
    wrong = sha256(b"older").hexdigest()[:16]
    answer = asker.post(PAGE, {"seen": wrong, "yes": ["1"], "sure": "yes"})
    assert answer.status == 409
    assert "changed meanwhile" in answer.text
    assert whole(state.root) == before


def test_a_code_nobody_has_is_said(asker):
    answer = asker.get("removal/C-9999.html")
    assert answer.status == 409
    assert "No client has the code" in answer.text
