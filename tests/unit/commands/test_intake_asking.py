"""What is asked about one group on the terminal, and what each answer does."""

from dataclasses import replace
from pathlib import Path

import click
import pytest

from archgen.commands.texts import intake_asking
from archgen.commands.texts.intake_text import group_lines, plan_lines
from archgen.intake.plan import (
    GroupKind,
    Guess,
    IntakePlan,
    NotTaken,
    PieceProposal,
    PlannedGroup,
    PlannedPicture,
    What,
)
from archgen.picture_facts.facts import Derivative

PICTURE = PlannedPicture(
    source=Path("a.jpg"),
    name="a.jpg",
    digest="d" * 64,
    file_bytes=1,
    width=3,
    height=4,
    taken=None,
    moment=None,
    guess=Guess(What.FRESH, "cover", "Skin is red.", is_doubtful=True, instead=What.HEALED),
    file="photos/a.jpg",
    small=Derivative(1, 1, "x"),
)
OWL = PieceProposal("2026-owl", "Owl", What.HEALED, 1.0, 80, ("The lines lie on each other.",))
MOTH = PieceProposal("2025-moth", "Moth", What.HEALED, 0.5, 300, ("It is of the same client, C-1.",))


def group(kind=GroupKind.NEW_PIECE, *proposals):
    return PlannedGroup("a", kind, "New piece", "new-piece", None, (PICTURE,), proposals)


@pytest.fixture
def answering(monkeypatch):
    """Answer what is asked, in order; what is left over or missing fails."""

    def answer(*answers):
        left = list(answers)
        monkeypatch.setattr(click, "prompt", lambda *_a, **_k: left.pop(0))
        return left

    return answer


def test_a_title_files_a_new_piece_a_dot_keeps_the_name_and_enter_leaves_it(answering):
    answering("Night moth")
    assert intake_asking.ask_about(group()).title == "Night moth"
    answering(".")
    assert intake_asking.ask_about(group()).title == "New piece"
    answering("  ")
    assert intake_asking.ask_about(group()) is None


def test_yes_sends_it_to_the_filed_piece_with_its_stage(answering):
    left = answering("y")
    decided = intake_asking.ask_about(group(GroupKind.ADDITION, OWL))
    assert (decided.piece, decided.group.pictures[0].guess.what) == ("2026-owl", What.HEALED)
    assert left == []


def test_no_asks_for_a_title_instead(answering):
    answering("n", "Second owl")
    decided = intake_asking.ask_about(group(GroupKind.ADDITION, OWL))
    assert (decided.piece, decided.title) == (None, "Second owl")
    assert decided.group.pictures[0].guess.what is What.FRESH


def test_one_of_several_is_chosen_by_its_number(answering):
    answering("2")
    assert intake_asking.ask_about(group(GroupKind.ADDITION, OWL, MOTH)).piece == "2025-moth"
    answering("7", "")
    assert intake_asking.ask_about(group(GroupKind.ADDITION, OWL, MOTH)) is None


def test_a_group_of_pictures_left_out_asks_nothing(answering):
    answering()
    out = replace(group(), pictures=(PICTURE.taken_for(What.OUT),))
    assert intake_asking.ask_about(out) is None


def test_doubt_is_a_question_mark_and_reasons_stand_below():
    lines = list(group_lines(group(GroupKind.ADDITION, OWL)))
    assert lines[0] == "a. New piece"
    assert "Fresh?" in lines[2]
    assert lines[3].strip() == "Skin is red."
    assert lines[4].strip() == "1) Owl (2026-owl): The lines lie on each other."


def test_thousands_of_files_with_one_reason_take_one_line():
    many = tuple(NotTaken(f"{number}.mov", "This is a video.") for number in range(2000))
    lines = list(plan_lines(IntakePlan("phone", 2000, not_taken=many)))
    assert len([line for line in lines if "This is a video." in line]) == 1
    assert "and 1995 more: This is a video." in lines[-1]
