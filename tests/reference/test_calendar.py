"""The calendar file read back by the icalendar package (RFC 5545)."""

import datetime as dt

import icalendar
from hypothesis import given
from hypothesis import strategies as st

from archgen.outputs.sheets.calendar import followup_calendar
from archgen.pieces.survey import survey
from archgen.records import model
from archgen.render.calendar import Event, calendar
from tests.builders import TODAY, make_piece, make_record, paper_catalogue

TEXTS = st.text(st.characters(exclude_categories=("Cc", "Cs", "Zl", "Zp")), max_size=120)


def events_of(content):
    return icalendar.Calendar.from_ical(content).walk("VEVENT")


def follow_up(tmp_path, **changes):
    record = make_record(finished=TODAY - dt.timedelta(days=20), photo=(), healing=(), **changes)
    return followup_calendar(survey(paper_catalogue(tmp_path, make_piece("2026-11-05-for-anna", record))))


def test_days_and_codes_are_read_back(tmp_path):
    read = {str(event["SUMMARY"]): event.decoded("DTSTART") for event in events_of(follow_up(tmp_path))}
    start = TODAY - dt.timedelta(days=20)
    assert read == {
        "C-0042: photo of the healed piece": start + dt.timedelta(days=28),
        "C-0042: touch-up possible": start + dt.timedelta(days=42),
        "C-0042: last day for a touch-up": start + dt.timedelta(days=180),
    }


def test_whole_days_last_one_day_and_block_nothing(tmp_path):
    for event in events_of(follow_up(tmp_path)):
        assert event.decoded("DTEND") - event.decoded("DTSTART") == dt.timedelta(days=1)
        assert (event["TRANSP"], event["CLASS"]) == ("TRANSPARENT", "PRIVATE")


def test_an_event_keeps_its_uid_when_its_day_moves():
    uids = []
    for day in (TODAY, TODAY + dt.timedelta(days=9)):
        (event,) = events_of(calendar("x", [Event("owl healed", day, "a", "b")], TODAY))
        uids.append(str(event["UID"]))
    assert uids[0] == uids[1]
    assert "owl" not in uids[0]


def test_nothing_but_days_and_codes_is_in_it(tmp_path):
    # The titles, names and folder names of an archive can tell who somebody is.
    content = follow_up(tmp_path, title="For Anna").decode()
    assert "anna" not in content.lower()
    assert "Private Name" not in content
    assert "GW2-2231" not in content


def test_a_client_without_a_code_is_not_named_by_the_piece(tmp_path):
    summaries = {str(event["SUMMARY"]) for event in events_of(follow_up(tmp_path, client=None))}
    assert all(summary.startswith("A client without a code: ") for summary in summaries)


def test_no_line_is_longer_than_75_octets_and_lines_end_with_crlf(tmp_path):
    content = follow_up(tmp_path, client="昇" * 60)
    assert content.endswith(b"\r\n")
    assert b"\n" not in content.replace(b"\r\n", b"")
    assert max(map(len, content.split(b"\r\n"))) <= 75
    assert {str(e["SUMMARY"]).partition(":")[0] for e in events_of(content)} == {"昇" * 60}


@given(TEXTS, TEXTS)
def test_any_text_is_read_back(summary, description):
    (event,) = events_of(calendar("x", [Event("n", TODAY, summary, description)], TODAY))
    assert (str(event["SUMMARY"]), str(event["DESCRIPTION"])) == (summary, description)


def test_a_hostile_code_adds_no_property():
    hostile = "x\r\nBEGIN:VALARM\r\nACTION:PROCEDURE\nATTACH:file:///etc/passwd\x00"
    read = icalendar.Calendar.from_ical(calendar(hostile, [Event("n", TODAY, hostile, hostile)], TODAY))
    assert [part.name for part in read.walk()] == ["VCALENDAR", "VEVENT"]
    assert set(read.walk("VEVENT")[0]) == {
        "UID", "DTSTAMP", "DTSTART", "DTEND", "SUMMARY", "DESCRIPTION", "CLASS", "TRANSP"
    }  # fmt: skip


def test_what_is_past_is_not_in_the_calendar(tmp_path):
    old = make_piece("old", make_record(finished=dt.date(2020, 1, 1), photo=(), healing=()))
    catalogue = survey(paper_catalogue(tmp_path, old))
    assert catalogue.overviews["old"].follow_up.due
    assert events_of(followup_calendar(catalogue)) == []


def test_a_release_to_ask_for_is_in_it(tmp_path):
    summaries = {str(event["SUMMARY"]) for event in events_of(follow_up(tmp_path, release=model.Release()))}
    assert "C-0042: ask for the photo release" in summaries
