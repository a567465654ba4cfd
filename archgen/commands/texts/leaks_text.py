"""What of an archive is in a folder, in words for the terminal."""

from collections.abc import Iterable
from dataclasses import replace

from rich.console import Console
from rich.text import Text

from archgen.build import LeakReport
from archgen.commands.texts.report_text import print_finding
from archgen.findings import Finding, Place
from archgen.languages.house import say, say_count


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
    if not others:
        return first
    file = say_count(
        "{file} and {number:,} more file", "{file} and {number:,} more files", len(others), file=first.place.file
    )
    return replace(first, place=Place(file, first.place.line))


def leaks_line(report: LeakReport) -> str:
    """Say what was searched, for whose things, and what came of it."""
    search = report.search
    is_found = any(finding.code != "privacy.unread" for finding in report.findings)
    result = say("see above") if is_found else say("nothing private found")
    if search.unread:
        others = say("see above") if is_found else say("in what could be read, nothing private was found")
        result = say_count(
            "{number:,} file couldn't be looked into; {others}",
            "{number:,} files couldn't be looked into; {others}",
            search.unread,
            others=others,
        )
    return say(
        "Looked through {files} in {place} for {texts} and {pictures} of “{title}” in {root}: {result}.",
        files=say_count("{number:,} file", "{number:,} files", search.files),
        place=report.place,
        texts=say_count("{number:,} private text", "{number:,} private texts", search.values),
        pictures=say_count("{number:,} picture", "{number:,} pictures", search.pictures),
        title=report.config.archive.title,
        root=report.config.root,
        result=result,
    )
