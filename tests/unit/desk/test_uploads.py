"""Pictures that arrive: on the disk as they come, whole or not at all, refused in a sentence."""

import collections
import tracemalloc

import pytest

from archgen.desk import uploads
from tests.unit.desk.asking import Asker

OURS = {"sec-fetch-site": "same-origin"}


def inbox_files(state):
    folder = state.root / "inbox"
    return sorted(path.name for path in folder.iterdir()) if folder.is_dir() else []


def send(asker, name, body=b"picture", **more):
    return asker.ask("POST", f"upload?name={name}", headers=OURS, body=body, **more)


def test_a_picture_is_kept_under_its_name_and_the_same_one_once(asker, state):
    assert send(asker, "owl.jpg").status == 200
    assert send(asker, "owl.jpg").status == 200
    assert send(asker, "owl.jpg", b"another").status == 200
    assert inbox_files(state) == ["owl-2.jpg", "owl.jpg"]
    assert (state.root / "inbox/owl.jpg").read_bytes() == b"picture"


@pytest.mark.parametrize("name", ["run.exe", "page.html", "letter.docx", "owl", "a.jpg.html", ".htaccess"])
def test_what_is_no_picture_is_left_out_and_said(asker, state, name):
    answer = send(asker, name)
    assert answer.status == 422
    assert "a picture that archgen reads" in answer.text
    assert inbox_files(state) == []


def test_pictures_in_a_zip_are_taken_as_they_come(asker, state):
    assert send(asker, "pictures.zip").status == 200
    assert inbox_files(state) == ["pictures.zip"]


@pytest.mark.parametrize("name", ["..%2f..%2fpieces%2fowl.jpg", "%2Fetc%2Fowl.jpg", "..%5C..%5Cowl.jpg"])
def test_a_name_leads_nowhere_else(asker, state, name):
    assert send(asker, name).status == 200
    assert inbox_files(state) == ["owl.jpg"]


def test_an_empty_picture_is_said(asker, state):
    assert "empty" in send(asker, "owl.jpg", b"").text
    assert inbox_files(state) == []


def test_a_picture_beyond_the_limit_is_let_go_as_it_comes_and_memory_stays_small(asker, state, monkeypatch):
    monkeypatch.setattr(uploads, "LARGEST_PICTURE", 5_000_000)
    block = b"x" * 1_000_000
    tracemalloc.start()
    answer = send(asker, "scan.tif", chunks=(block for _ in range(200)))
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert answer.status == 422
    assert "scan.tif is larger than 5 MB, so it was left out." in answer.text
    assert inbox_files(state) == []
    assert peak < 40_000_000


def test_the_limit_lets_any_scan_through_and_no_film():
    assert 300_000_000 <= uploads.LARGEST_PICTURE < 2_000_000_000


def test_a_picture_announced_as_too_large_is_refused_before_it_comes(asker, state):
    headers = {**OURS, "content-length": str(uploads.LARGEST_PICTURE + 1)}
    answer = asker.ask("POST", "upload?name=roll.tif", headers=headers, chunks=_Unread())
    assert answer.status == 413
    assert "roll.tif is larger than 400 MB, so it was left out." in answer.text
    assert inbox_files(state) == []


class _Unread(list):
    """A body that nobody may ask for."""

    def __bool__(self):
        raise AssertionError("the body was read")


def test_a_disk_without_room_is_said_and_left_as_it_was(asker, state, monkeypatch):
    full = collections.namedtuple("usage", "total used free")(10, 10, 1000)
    monkeypatch.setattr(uploads.shutil, "disk_usage", lambda _path: full)
    answer = send(asker, "owl.jpg", b"x" * 5000)
    assert "no room on the disk" in answer.text
    assert inbox_files(state) == []


def test_a_picture_cut_off_half_way_leaves_nothing(state):
    asker = Asker(state)
    assert send(asker, "owl.jpg", chunks=_Breaking([b"half", b"more"])).status >= 400
    assert inbox_files(state) == []


class _Breaking(list):
    """A connection that breaks after its first piece."""

    def pop(self, place=0):
        if len(self) == 1:
            raise ConnectionError
        return super().pop(place)


def form_of(files, boundary=b"xyz"):
    parts = []
    for name, body in files:
        head = f'Content-Disposition: form-data; name="pictures"; filename="{name}"\r\nContent-Type: image/jpeg\r\n\r\n'
        parts.append(b"--" + boundary + b"\r\n" + head.encode() + body + b"\r\n")
    return b"".join(parts) + b"--" + boundary + b"--\r\n"


def test_a_form_without_script_brings_many_pictures_and_says_what_was_left_out(asker, state):
    body = form_of([("a.jpg", b"one"), ("b.png", b"two"), ("../c.jpg", b"three"), ("run.exe", b"four")])
    headers = {**OURS, "content-type": "multipart/form-data; boundary=xyz"}
    answer = asker.ask(
        "POST", "upload-form", headers=headers, chunks=[body[at : at + 7] for at in range(0, len(body), 7)]
    )
    assert answer.status == 303
    assert answer.headers["location"].startswith("inbox.html?said=run.exe")
    assert inbox_files(state) == ["a.jpg", "b.png", "c.jpg"]


def test_ten_thousand_pictures_in_one_form_are_all_kept(asker, state):
    body = form_of([(f"IMG_{number:05}.jpg", str(number).encode()) for number in range(10_000)])
    headers = {**OURS, "content-type": "multipart/form-data; boundary=xyz"}
    answer = asker.ask(
        "POST", "upload-form", headers=headers, chunks=[body[at : at + 65_536] for at in range(0, len(body), 65_536)]
    )
    assert answer.status == 303
    assert len(inbox_files(state)) == 10_000


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        ("text/plain", b"x"),
        ("multipart/form-data", b"x"),
        ("multipart/form-data; boundary=xyz", b"no form at all"),
        ("multipart/form-data; boundary=xyz", b"--xyz\r\n" + b"H" * 9000 + b": x\r\n\r\n"),
        (
            "multipart/form-data; boundary=xyz",
            b'--xyz\r\nContent-Disposition: form-data; name="a"\r\n\r\n' + b"v" * 9000,
        ),
    ],
)
def test_a_form_that_is_none_is_said_and_keeps_nothing(asker, state, kind, body):
    answer = asker.ask("POST", "upload-form", headers={**OURS, "content-type": kind}, body=body)
    assert answer.status == 409
    assert "That did not work" in answer.text
    assert inbox_files(state) == []
