"""What the checks found, by whom to ask; the sentence first, code and place folded away."""

from collections import Counter
from collections.abc import Iterable, Sequence

from archgen.answers.choices import answer_words
from archgen.findings import Finding, Severity
from archgen.languages.house import say
from archgen.outputs.archive.context import Context, PageProblem, Site, problem, thumbnail
from archgen.outputs.site_pages import PagePicture
from archgen.rules.asking import EVENT_CODES, Asked, Questions, sort_questions
from archgen.tracing.recall import Trace, Wearer
from archgen.values.frozen import Value
from archgen.wording.questions import ASKED_WORDS, SEVERITY_WORDS, asked_words

# Findings written out per address and code; a large archive has thousands, and each stands on its piece's page too.
MOST_PER_CODE = 40


class PieceLink(Value, frozen=True):
    """A piece a question is about."""

    href: str
    title: str


class ToTell(Value, frozen=True):
    """Who is to be told of a recall, of which pieces; no code where none is recorded."""

    client: str
    href: str
    pieces: tuple[PieceLink, ...]


class CheckRow(Value, frozen=True):
    """One question, with all pieces about which it is the same.

    Attributes:
        problems: What was found, once for each piece.
        severity: What it asks for; `asks` whether anything is to be done.
        answers: What may be answered, in words; the desk has a button for each.
        to_tell: Of a recall: who is still to be told; `batch` is its page.
    """

    problems: tuple[PageProblem, ...]
    severity: str
    asks: bool
    pieces: tuple[PieceLink, ...]
    picture: PagePicture | None
    answers: tuple[str, ...] = ()
    to_tell: tuple[ToTell, ...] = ()
    batch: str = ""

    @property
    def problem(self) -> PageProblem:
        """Give what stands for all."""
        return self.problems[0]


class CheckGroup(Value, frozen=True):
    """What goes to one address; left_out counts what is not written out, href leads to a client's page."""

    asked: str
    name: str
    href: str
    count: int
    rows: tuple[CheckRow, ...]
    left_out: int


class AskedCount(Value, frozen=True):
    """How much goes to one kind of address."""

    asked: str
    words: str
    count: int


class SeverityCount(Value, frozen=True):
    """How many findings ask for one kind of action."""

    words: str
    count: int


class ChecksView(Value, frozen=True):
    """The checks page."""

    site: Site
    total: int
    pieces: int
    groups: tuple[CheckGroup, ...]
    choices: tuple[AskedCount, ...]
    severities: tuple[SeverityCount, ...]


def checks_view(context: Context) -> ChecksView:
    """Make the checks page."""
    findings = context.catalogue.findings
    sorted_out = sort_questions(findings, context.catalogue)
    return ChecksView(
        site=context.site,
        total=len(findings),
        pieces=len(context.catalogue.pieces),
        groups=tuple(_group(context, questions) for questions in sorted_out),
        choices=tuple(_choices(sorted_out)),
        severities=_severities(findings),
    )


def _choices(sorted_out: Iterable[Questions]) -> Iterable[AskedCount]:
    counts = Counter[Asked]()
    for questions in sorted_out:
        counts[questions.asked] += len(questions.findings)
    return (AskedCount(asked.value, say(ASKED_WORDS[asked]), counts[asked]) for asked in Asked if counts[asked])


def _severities(findings: Iterable[Finding]) -> tuple[SeverityCount, ...]:
    counts = Counter(finding.severity for finding in findings)
    return tuple(SeverityCount(say(words.heading), counts[severity]) for severity, words in SEVERITY_WORDS.items())


def _group(context: Context, questions: Questions) -> CheckGroup:
    written: Counter[str] = Counter()
    rows: dict[tuple[str, str], list[Finding]] = {}
    for finding in questions.findings:
        written[finding.code] += 1
        if written[finding.code] <= MOST_PER_CODE:
            # One bottle past its date is one question, however many pieces it went into.
            rows.setdefault((finding.code, finding.problem), []).append(finding)
    return CheckGroup(
        asked=questions.asked.value,
        name=asked_words(questions),
        href=context.client_pages.get(questions.client or "", ""),
        count=len(questions.findings),
        rows=tuple(_row(context, findings) for findings in rows.values()),
        left_out=sum(max(count - MOST_PER_CODE, 0) for count in written.values()),
    )


def _row(context: Context, findings: Sequence[Finding]) -> CheckRow:
    first = findings[0]
    overviews = [overview for one in findings if (overview := context.overviews.get(one.piece or ""))]
    recall = recall_of(context, first)
    return CheckRow(
        problems=tuple(problem(context, finding, depth=0) for finding in findings),
        severity=say(SEVERITY_WORDS[first.severity].heading),
        asks=first.severity is not Severity.NOTE,
        pieces=tuple(PieceLink(context.piece_pages[one.id], one.title) for one in overviews),
        picture=thumbnail(overviews[0]) if overviews else None,
        answers=answer_words(findings, context.catalogue),
        to_tell=tuple(_to_tell(context, wearer) for wearer in recall.to_tell) if recall else (),
        batch=context.batch_pages[recall.numbers[0]] if recall else "",
    )


def recall_of(context: Context, finding: Finding) -> Trace | None:
    """Give the recall that a finding is about."""
    if finding.code not in EVENT_CODES:
        return None
    return next((recall for batch, recall in context.recalls.items() if batch in finding.problem), None)


def _to_tell(context: Context, wearer: Wearer) -> ToTell:
    worn = dict.fromkeys(use.piece.id for use in wearer.uses)
    pieces = tuple(PieceLink(context.piece_pages[one], context.overviews[one].title) for one in worn)
    client = wearer.client or ""
    return ToTell(client, context.client_pages[client] if client else "", pieces)
