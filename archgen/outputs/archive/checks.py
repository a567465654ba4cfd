"""What the checks found, by what to do."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from archgen.findings import Finding, Severity
from archgen.outputs.archive.context import Context, PageProblem, Site, problem
from archgen.outputs.archive.followup import due_now
from archgen.outputs.site_pages import PagePicture

# Findings written out per code; a large archive has thousands, and each stands on its piece's page too.
MOST_PER_CODE = 40

_GROUPS = (
    (Severity.ERROR, "Stops publishing", "check-stop", "Nothing stops a piece from being published."),
    (Severity.WARNING, "Ask, then record", "check-ask", "Nobody has to be asked."),
    (Severity.NOTE, "Good to know", "check-note", "Nothing else stood out."),
)


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
    groups = tuple(
        _group(context, [f for f in findings if f.severity is severity], name, shape, nothing)
        for severity, name, shape, nothing in _GROUPS
    )
    return ChecksView(context.site, len(findings), len(context.catalogue.pieces), groups, due_now(context.due))


def _group(context: Context, findings: Sequence[Finding], name: str, shape: str, nothing: str) -> CheckGroup:
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
    return CheckGroup(name, shape, nothing, len(findings), tuple(rows), codes)


def _row(context: Context, finding: Finding) -> CheckRow:
    piece = context.by_id.get(finding.piece or "")
    title, href = (piece.title, context.piece_pages[piece.id]) if piece else ("The whole archive", "")
    return CheckRow(problem(context, finding, depth=0), title, href, context.thumbnail(piece) if piece else None)
