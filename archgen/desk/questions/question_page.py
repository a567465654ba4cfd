"""The page of questions with its answers: by whom to ask, each answered by one touch, and what was just answered."""

import datetime as dt
from dataclasses import dataclass
from hashlib import sha256

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from archgen.answers.answer import PenAnswer
from archgen.answers.choices import answers_to, file_of, question_of
from archgen.answers.typed import typed_value
from archgen.desk.answering import Fields, desk_of, desk_page, form_handler
from archgen.desk.pens.saving import Pen, save_pen, seen_digest
from archgen.desk.pens.wrote import WroteView, told
from archgen.desk.state import DeskState
from archgen.errors import UsageError
from archgen.findings import Finding, Severity
from archgen.languages.house import say, to_say
from archgen.outputs.archive.checks import recall_of
from archgen.outputs.archive.context import Context, PageProblem, Site, problem, thumbnail
from archgen.outputs.site_pages import PagePicture
from archgen.rules.asking import Asked, Questions, sort_questions
from archgen.wording.questions import ASKED_WORDS, SEVERITY_WORDS, asked_words
from archgen.writing.changes import KEPT, past_changes
from archgen.writing.journal import Reached
from archgen.writing.record_text import SetKey

PAGE = "checks.html"
# Begins the words of a change that answered a question.
ANSWERED = to_say("Answered: ")
_MOST_ANSWERED = 8
_MOST_OF_GROUP = 40


@dataclass(frozen=True, slots=True)
class AskedRow:
    """One question.

    Attributes:
        key: Which finding it is, whatever else is found.
        effect: What it keeps from happening, in words; empty when nothing.
        way_on: Where it is answered when not here: address and words.
        seen: Of the file it is written to.
    """

    key: str
    problem: PageProblem
    effect: str
    title: str
    href: str
    picture: PagePicture | None
    answers: tuple[PenAnswer, ...]
    way_on: tuple[str, str] | None
    seen: str


@dataclass(frozen=True, slots=True)
class AskedGroup:
    """What goes to one address."""

    asked: str
    name: str
    href: str
    count: int
    rows: tuple[AskedRow, ...]
    left_out: int


@dataclass(frozen=True, slots=True)
class QuestionsView:
    """The page of questions."""

    site: Site
    total: int
    holding: int
    groups: tuple[AskedGroup, ...]
    counts: tuple[tuple[str, int], ...]
    answered: tuple[WroteView, ...]


def questions_view(state: DeskState) -> QuestionsView:
    """Make the page."""
    context = state.current.context
    sorted_out = sort_questions(context.catalogue.findings, context.catalogue)
    counts: dict[Asked, int] = {}
    for one in sorted_out:
        counts[one.asked] = counts.get(one.asked, 0) + len(one.findings)
    findings = context.catalogue.findings
    return QuestionsView(
        site=context.site,
        total=len(findings),
        holding=sum(finding.severity is Severity.ERROR for finding in findings),
        groups=tuple(_group(state, context, questions) for questions in sorted_out),
        counts=tuple((ASKED_WORDS[asked], count) for asked, count in counts.items()),
        answered=tuple(_answered(state)),
    )


def _answered(state: DeskState) -> list[WroteView]:
    """Give what was answered last, so that a slip can be taken back where it happened."""
    done = [one for one in past_changes(state.out / KEPT) if one.reached is Reached.DONE]
    mine = [one for one in done if one.entry.words.startswith((ANSWERED, say(ANSWERED)))]
    today = dt.datetime.now().astimezone().date().isoformat()  # changes are dated by the clock
    return [told(state.root, one, PAGE) for one in reversed(mine) if one.entry.at.startswith(today)][:_MOST_ANSWERED]


def _group(state: DeskState, context: Context, questions: Questions) -> AskedGroup:
    client = context.catalogue.clients.get(questions.client or "")
    name = say("Ask {client}", client=client.name) if client and client.name else asked_words(questions)
    rows = tuple(_row(state, context, finding) for finding in questions.findings[:_MOST_OF_GROUP])
    return AskedGroup(
        asked=questions.asked.value,
        name=name,
        href=context.client_pages.get(questions.client or "", ""),
        count=len(questions.findings),
        rows=rows,
        left_out=len(questions.findings) - len(rows),
    )


def finding_key(finding: Finding) -> str:
    """Tell a finding from all others by what it is about, not by its line."""
    parts = (finding.code, finding.piece or "", finding.place.file, finding.key, finding.problem)
    return sha256("\0".join(parts).encode()).hexdigest()[:16]


def _row(state: DeskState, context: Context, finding: Finding) -> AskedRow:
    question = question_of(finding, context.catalogue)
    overview = context.overviews.get(finding.piece or "")
    answers = answers_to(question)
    return AskedRow(
        key=finding_key(finding),
        problem=problem(context, finding, depth=0),
        effect=SEVERITY_WORDS[finding.severity].heading if finding.severity is Severity.ERROR else "",
        title=overview.title if overview else say("The whole archive"),
        href=context.piece_pages[overview.id] if overview else "",
        picture=thumbnail(overview) if overview else None,
        answers=answers,
        way_on=_way_on(context, finding),
        seen=seen_digest(state.root, file_of(question)) if answers else "",
    )


def _way_on(context: Context, finding: Finding) -> tuple[str, str] | None:
    if recall := recall_of(context, finding):
        return context.batch_pages[recall.numbers[0]], say("Tell them one by one")
    if finding.piece in context.piece_pages and finding.place.file.endswith("piece.toml"):
        return f"change/{finding.piece}.html", say("Open the record")
    return None


def show_questions(request: Request) -> Response:
    """Show what is to be answered."""
    return desk_page(request, "questions.html", questions_view(desk_of(request)))


def show_asking_list(request: Request) -> Response:
    """Show what is to be asked as a list for paper, each question with a line to write on."""
    return desk_page(request, "asking-list.html", questions_view(desk_of(request)))


def save_answer(state: DeskState, request: Request, fields: Fields) -> Response:
    """Write the answer to a question."""
    with state.writing:
        catalogue = state.current.catalogue
        found = next((one for one in catalogue.findings if finding_key(one) == fields.one("question")), None)
        if found is None:
            raise UsageError(
                say("This question is answered already, or asked anew in other words. Nothing was written.")
            )
        question = question_of(found, catalogue)
        answers = answers_to(question)
        number = fields.one("answer")
        numbered = {str(place): answer for place, answer in enumerate(answers)}
        if number not in numbered:
            raise UsageError(say("Choose one of the answers. Nothing was written."))
        answer = numbered[number]
        edits, words = answer.edits, answer.words
        if answer.typed is not None:
            text = fields.one(f"typed-{number}")
            if not text:
                raise UsageError(say("Write the answer first. Nothing was written."))
            value = typed_value(str(answer.typed[-1]), text, catalogue.config.archive.units)
            edits, words = (SetKey(answer.typed, value), *edits), f"{answer.words}: {text}"
        title = question.piece.title if question.piece else say("The archive")
        pen = Pen(f"{say(ANSWERED)}{title}: {words}", file_of(question), edits, PAGE)
        return save_pen(state, request, fields, pen)


ROUTES = (
    Route(f"/{PAGE}", show_questions),
    Route("/asking-list.html", show_asking_list),
    Route("/pen/answer", form_handler(save_answer), methods=["POST"]),
)
