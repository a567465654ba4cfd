"""What the checks found, by whom to ask; the sentence first, code and place folded away."""

from collections import Counter
from collections.abc import Iterable

from archgen.findings import Finding, Severity
from archgen.outputs.archive.context import Context, PageProblem, Site, problem, thumbnail
from archgen.outputs.archive.followup import due_now
from archgen.outputs.site_pages import PagePicture
from archgen.rules.asking import Asked, Questions, sort_questions
from archgen.values.frozen import Value
from archgen.wording.questions import ASKED_WORDS, SEVERITY_WORDS, asked_words

# Findings written out per address and code; a large archive has thousands, and each stands on its piece's page too.
MOST_PER_CODE = 40


class CheckRow(Value, frozen=True):
    """One finding with the piece it is about; severity says what it asks for, asks whether anything is to be done."""

    problem: PageProblem
    severity: str
    asks: bool
    title: str
    href: str
    picture: PagePicture | None


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
    due_now: int


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
        due_now=due_now(context.due),
    )


def _choices(sorted_out: Iterable[Questions]) -> Iterable[AskedCount]:
    counts = Counter[Asked]()
    for questions in sorted_out:
        counts[questions.asked] += len(questions.findings)
    return (AskedCount(asked.value, ASKED_WORDS[asked], counts[asked]) for asked in Asked if counts[asked])


def _severities(findings: Iterable[Finding]) -> tuple[SeverityCount, ...]:
    counts = Counter(finding.severity for finding in findings)
    return tuple(SeverityCount(words.heading, counts[severity]) for severity, words in SEVERITY_WORDS.items())


def _group(context: Context, questions: Questions) -> CheckGroup:
    written: Counter[str] = Counter()
    rows = []
    for finding in questions.findings:
        written[finding.code] += 1
        if written[finding.code] <= MOST_PER_CODE:
            rows.append(_row(context, finding))
    return CheckGroup(
        asked=questions.asked.value,
        name=asked_words(questions),
        href=context.client_pages.get(questions.client or "", ""),
        count=len(questions.findings),
        rows=tuple(rows),
        left_out=len(questions.findings) - len(rows),
    )


def _row(context: Context, finding: Finding) -> CheckRow:
    about = problem(context, finding, depth=0)
    words, asks = SEVERITY_WORDS[finding.severity].heading, finding.severity is not Severity.NOTE
    overview = context.overviews.get(finding.piece or "")
    if overview is None:
        return CheckRow(about, words, asks, "The whole archive", "", None)
    href = context.piece_pages[overview.id]
    return CheckRow(about, words, asks, overview.title, href, thumbnail(overview))
