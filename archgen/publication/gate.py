"""What the gate's table is made of: three questions, answers to them, rows, and what settles and lifts an answer.

The three questions: may it be a reference for a tattoo, may the reference itself be shown, may a photo of the finished
tattoo be shown. Knows no rows.
"""

from dataclasses import dataclass
from enum import Enum, StrEnum

from archgen.languages.house import say_in
from archgen.records.model import Use
from archgen.values.frozen import Value


class Answer(Enum):
    """An answer to one of the three questions; from best to worst."""

    YES = "yes"
    HOLD = "hold"
    NO = "no"

    @property
    def rank(self) -> int:
        """Give 0 for yes, 2 for no."""
        return _RANKS[self]


_RANKS = {answer: rank for rank, answer in enumerate(Answer)}


class SettledBy(Enum):
    """What a recorded answer (allows) must rest on to settle a question of the row."""

    ANSWER = "the recorded answer"
    PAPER = "a paper beside it"
    CORRECTION = "nothing: the record must be corrected"


class LiftedBy(Enum):
    """What lets a piece be shown although a question is open or the answer is no; the more a member lets, the later."""

    NOTHING = "nothing"
    OVERRIDE = "a decision for this piece ([rights_override])"
    SETTING = "also require_rights = false"


class RightKind(StrEnum):
    """The rows."""

    OWN = "own work"
    PERMISSION = "permission"
    COMMISSIONED = "commissioned, nothing in writing"
    CLIENT_SUPPLIED = "supplied by the client, nothing in writing"
    STOCK = "paid licence"
    DEDICATED = "dedicated to the public domain"
    PUBLIC_DOMAIN = "marked as public domain"
    CC_BY = "CC BY"
    CC_BY_SA = "CC BY-SA"
    CC_BY_NC = "CC BY-NC"
    CC_BY_NC_SA = "CC BY-NC-SA"
    CC_BY_ND = "CC BY-ND"
    CC_BY_NC_ND = "CC BY-NC-ND"
    OTHER_LICENCE = "another licence"
    RESERVED = "all rights reserved"
    INC = "in copyright"
    INC_OW_EU = "orphan work in the EU"
    INC_EDU = "in copyright, educational use"
    INC_NC = "in copyright, non-commercial use"
    INC_RUU = "in copyright, holder not found"
    NOC_CR = "no copyright, bound by a contract"
    NOC_NC = "no copyright, non-commercial use only"
    NOC_OKLR = "no copyright, bound by another law"
    NOC_US = "no copyright in the United States"
    CNE = "copyright not looked into"
    UND = "copyright not decided"
    NKC = "no copyright known"
    AI_MADE = "made by a trained model"
    AI_NO_TERMS = "made or changed by a trained model, terms not recorded"
    OWN_AND_MODEL = "own work with a trained model"
    EDIT = "changed or merged, from what isn't recorded"
    INHERITED = "as what it was made from"
    UNKNOWN = "recorded as unknown"
    MISSING = "not recorded"
    NO_PAPER = "a paper that isn't there"
    UNDESCRIBED = "not described"
    NO_SUCH_SOURCE = "made from something not described"
    NOT_YET = "not valid yet"
    ENDED = "ended"
    NOT_UNDERSTOOD = "not understood"
    CIRCULAR = "made from itself"


def kind_words(kind: RightKind) -> str:
    """Say a kind of right."""
    return say_in("right", kind.value)


class Cell(Value, frozen=True):
    """One answer and the sentence that goes with it; of a yes, the condition it comes with."""

    answer: Answer
    words: str = ""


def yes(words: str = "") -> Cell:
    """Make a yes, with the condition it comes with."""
    return Cell(Answer.YES, words)


def ask(words: str) -> Cell:
    """Make an answer that holds until somebody is asked."""
    return Cell(Answer.HOLD, words)


def no(words: str) -> Cell:
    """Make a no."""
    return Cell(Answer.NO, words)


def for_all(cell: Cell) -> tuple[Cell, Cell, Cell]:
    """Answer the three questions alike."""
    return cell, cell, cell


@dataclass(frozen=True, slots=True)
class Line:
    """The answers to the three questions.

    Attributes:
        use: May it be a reference for a tattoo?
        show_reference: May the reference itself be shown?
        show_piece: May a photo of the finished tattoo be shown?
    """

    use: Cell
    show_reference: Cell
    show_piece: Cell

    def cell(self, use: Use) -> Cell:
        """Give the answer to one question."""
        by_use = {Use.TATTOO: self.use, Use.SHOW_REFERENCE: self.show_reference, Use.SHOW_TATTOO: self.show_piece}
        return by_use[use]


@dataclass(frozen=True, slots=True)
class Row(Line):
    """One kind of right.

    Attributes:
        changed_by: What could change the answers, as a thing to do.
        source: Where the row is from.
        rests_on: What a yes of this row rests on; empty where nothing is recorded that could carry one.
        settled_by: What a recorded answer must rest on.
        lifted_by: What lets a no or an open question pass.
    """

    changed_by: str
    source: str
    rests_on: str = ""
    settled_by: SettledBy = SettledBy.ANSWER
    lifted_by: LiftedBy = LiftedBy.SETTING


@dataclass(frozen=True, slots=True)
class Condition(Line):
    """Something that is asked beside the right itself; a yes of it changes nothing."""

    changed_by: str
    source: str


class PersonAnswer(Enum):
    """What stands in the record about people in a reference: a row of PEOPLE."""

    NOBODY = "nobody"
    CLIENT = "the client"
    CLIENT_NOT_ASKED = "the client, whose release isn't there"
    CONSENTED = "somebody who agreed"
    PUBLIC_FIGURE = "somebody well known"
    UNKNOWN = "somebody, not known who"
    MINOR = "a minor"
    SILENT = "nothing, though a person may be shown"
    NOT_UNDERSTOOD = "something not understood"
