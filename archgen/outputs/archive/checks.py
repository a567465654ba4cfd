"""What the checks found, by what to do."""

from collections import Counter
from dataclasses import dataclass

from archgen.findings import Finding, Severity
from archgen.outputs.archive.context import Context, PageProblem, Site, problem, thumbnail
from archgen.outputs.archive.followup import due_now
from archgen.outputs.site_pages import PagePicture
from archgen.wording.severities import SEVERITY_WORDS

# Findings written out per code; a large archive has thousands, and each stands on its piece's page too.
MOST_PER_CODE = 40

_NOTHING = {
    Severity.ERROR: "Nothing stops a piece from being published.",
    Severity.WARNING: "Nobody has to be asked.",
    Severity.NOTE: "Nothing else stood out.",
}


@dataclass(frozen=True, slots=True)
class CheckRow:
    """One finding with the piece it is about."""

    problem: PageProblem
    title: str
    href: str
    picture: PagePicture | None


@dataclass(frozen=True, slots=True)
class CodeCount:
    """How often a code was found, and how many of it are not written out."""

    code: str
    count: int
    left_out: int


@dataclass(frozen=True, slots=True)
class CheckGroup:
    """Findings that ask for the same kind of action."""

    name: str
    shape: str
    nothing: str
    count: int
    rows: tuple[CheckRow, ...]
    codes: tuple[CodeCount, ...]


@dataclass(frozen=True, slots=True)
class ChecksView:
    """The checks page."""

    site: Site
    total: int
    pieces: int
    groups: tuple[CheckGroup, ...]
    due_now: int


def checks_view(context: Context) -> ChecksView:
    """Make the checks page."""
    findings = context.catalogue.findings
    groups = tuple(_group(context, severity) for severity in _NOTHING)
    return ChecksView(context.site, len(findings), len(context.catalogue.pieces), groups, due_now(context.due))


def _group(context: Context, severity: Severity) -> CheckGroup:
    findings = [finding for finding in context.catalogue.findings if finding.severity is severity]
    words = SEVERITY_WORDS[severity]
    counts = Counter(finding.code for finding in findings)
    written: Counter[str] = Counter()
    rows = []
    for finding in findings:
        written[finding.code] += 1
        if written[finding.code] <= MOST_PER_CODE:
            rows.append(_row(context, finding))
    codes = tuple(
        CodeCount(code, count, max(count - MOST_PER_CODE, 0))
        for code, count in sorted(counts.items(), key=lambda item: (-item[1], item[0]))
    )
    return CheckGroup(words.heading, words.shape, _NOTHING[severity], len(findings), tuple(rows), codes)


def _row(context: Context, finding: Finding) -> CheckRow:
    about = problem(context, finding, depth=0)
    overview = context.overviews.get(finding.piece or "")
    if overview is None:
        return CheckRow(about, "The whole archive", "", None)
    return CheckRow(about, overview.title, context.piece_pages[overview.id], thumbnail(overview))
