"""What a build says at its end, as plain values that can be kept and said again, and how they are printed."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from archgen.commands.texts.told_again import SECONDS, terminal_kind
from archgen.errors import ExitCode
from archgen.findings import Severity
from archgen.languages.house import say, to_say

# The marks the pages use.
BARS = {Severity.ERROR: "▌▌▌", Severity.WARNING: "▌▌ ", Severity.NOTE: "▖  "}
FOLDERS = (
    ("archive/index.html", to_say("private archive, open this first")),
    ("portfolio/index.html", to_say("public portfolio")),
    ("sheets", to_say("case sheets to print")),
    ("reprints", to_say("stencils to print at their exact size")),
)


@dataclass(frozen=True, slots=True)
class FindingLine:
    """One finding: the value of its severity, what and what to do, the piece and the place."""

    severity: str
    said: str
    where: str


@dataclass(frozen=True, slots=True)
class Report:
    """What a build read, found, published and wrote.

    Attributes:
        read: How many pieces and pictures, in words.
        counts: How much of what kind was found, in words.
        found: The first findings; `more` are not among them.
        kept_back: What was not renewed, in sentences, and why.
        shown: How many pieces are in the portfolio; `not_shown` are not.
        hidden: The first of those that are not, by title, and the reasons.
        added: Folders that other packages made.
    """

    title: str
    read: str
    counts: str
    found: Sequence[FindingLine]
    more: int
    kept_back: Sequence[str]
    why_kept_back: Sequence[FindingLine]
    shown: int
    hidden: Sequence[Sequence[str]]
    not_shown: int
    added: Sequence[str]
    exit_code: ExitCode

    def plain(self) -> dict[str, Any]:
        """Give plain values."""
        return asdict(self)

    @staticmethod
    def of(plain: Mapping[str, Any]) -> "Report":
        """Take up what `plain` gave.

        Raises:
            TypeError: It is something else.
        """
        lines = {key: [FindingLine(**line) for line in plain[key]] for key in ("found", "why_kept_back")}
        return Report(**{**plain, **lines, "exit_code": ExitCode(plain["exit_code"])})


def print_report(console: Console, report: Report, seconds: str, out: Path, *, is_changed: bool) -> None:
    """Print it all."""
    console.print(Text.assemble((report.title, "bold"), "  ", say("read in {seconds} s", seconds=seconds)))
    console.print(Padding(report.read, (0, 0, 1, 2)))
    console.print(report.counts)
    for finding in report.found:
        print_line(console, finding)
    if report.more:
        more = say("and {number} more: archgen audit, or the page Questions.", number=report.more)
        console.print(Padding(more, (0, 0, 0, 2)))
    console.print()
    _print_published(console, report)
    _print_written(console, report.added, out, is_changed=is_changed)


def print_line(console: Console, line: FindingLine) -> None:
    """Print one finding."""
    grid = Table.grid(padding=(0, 1))
    grid.add_column(no_wrap=True)
    grid.add_column(overflow="fold")
    grid.add_row(Text(BARS[Severity(line.severity)]), Text.assemble(line.said, "\n", (line.where, "dim")))
    console.print(Padding(grid, (0, 0, 0, 2)), soft_wrap=False)


def _print_published(console: Console, report: Report) -> None:
    for text in report.kept_back:
        console.print(Text(text, "bold"))
    for finding in report.why_kept_back:
        print_line(console, finding)
    counts = say("Portfolio: {shown} published, {hidden} not", shown=report.shown, hidden=report.not_shown)
    console.print(counts + (":" if report.hidden else "."))
    grid = Table.grid(padding=(0, 2))
    grid.add_column(max_width=34, overflow="ellipsis", no_wrap=True)
    grid.add_column(overflow="fold")
    for title, reasons in report.hidden:
        grid.add_row(Text(title), Text(reasons))
    if more := report.not_shown - len(report.hidden):
        grid.add_row(say("and {number} more", number=more), say("In the archive: Pieces, Not in the portfolio."))
    console.print(Padding(grid, (0, 0, 1, 2)), soft_wrap=False)


def _print_written(console: Console, added: Iterable[str], out: Path, *, is_changed: bool) -> None:
    console.print(say("Written:") if is_changed else say("Nothing changed since the last build:"))
    of_others = ((folder, to_say("made by another package")) for folder in added)
    written = [(str(out / path), say(words)) for path, words in (*FOLDERS, *of_others) if (out / path).exists()]
    # No table: that would cut a long path in a narrow window, and a path is there to be copied.
    width = max(len(path) for path, _ in written)
    for path, words in written:
        console.print(Text.assemble("  ", path.ljust(width), "  ", (words, "dim")))


def for_another_time(console: Console, report: Report, out: Path) -> dict[str, Any]:
    """Give, in plain values, what is to be said when another build changes nothing."""
    with console.capture() as captured:
        print_report(console, report, SECONDS, out, is_changed=False)
    screen = {"terminal": terminal_kind(), "text": captured.get()}
    return {"report": report.plain(), "screen": screen, "out": str(out)}
