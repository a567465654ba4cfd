"""What of an archive is in a folder, in words for the terminal."""

from collections.abc import Iterable
from dataclasses import replace

from rich.console import Console
from rich.text import Text

from archgen.build import LeakReport
from archgen.commands.texts.report_text import print_finding
from archgen.commands.texts.twins_text import counted
from archgen.findings import Finding, Place


def print_leaks(console: Console, report: LeakReport) -> None:
    """Print what of an archive is in a folder, each thing once, and what was looked at."""
    for finding in each_once(report.findings):
        print_finding(console, finding)
    console.print(Text(leaks_line(report)))


def each_once(findings: Iterable[Finding]) -> list[Finding]:
    """Put the same find in several files together, at the first of them."""
    files: dict[tuple[object, ...], list[Finding]] = {}
    for finding in findings:
        key = finding.code, finding.severity, finding.piece, finding.problem
        files.setdefault(key, []).append(finding)
    return [_at_the_first(same) for same in files.values()]


def _at_the_first(same: list[Finding]) -> Finding:
    first, *others = same
    more = f" and {counted(len(others), 'more file')}" if others else ""
    return replace(first, place=Place(f"{first.place.file}{more}", first.place.line))


def leaks_line(report: LeakReport) -> str:
    """Say what was searched, for whose things, and what came of it."""
    search = report.search
    texts, pictures = counted(search.values, "private text"), counted(search.pictures, "picture")
    archive = f"“{report.config.archive.title}” in {report.config.root}"
    is_found = any(finding.code != "privacy.unread" for finding in report.findings)
    result = "see above" if is_found else "nothing private found"
    if search.unread:
        others = "see above" if is_found else "in what could be read, nothing private was found"
        result = f"{counted(search.unread, 'file')} couldn't be looked into; {others}"
    looked = f"Looked through {counted(search.files, 'file')} in {report.place}"
    return f"{looked} for {texts} and {pictures} of {archive}: {result}."
