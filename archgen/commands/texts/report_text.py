"""Findings and the build's summary as text for a person or JSON for a program."""

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from difflib import get_close_matches
from typing import TYPE_CHECKING

import msgspec
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from archgen.catalogue import Catalogue
from archgen.commands.texts.build_report import FindingLine, Report, print_line
from archgen.errors import ExitCode, UsageError
from archgen.findings import Finding, Severity
from archgen.languages.house import say, say_count, say_in, to_say
from archgen.pieces.followup import Due, DueState
from archgen.publication.withdrawals import find_withdrawals
from archgen.rules.asking import sort_questions
from archgen.toml.problem import as_text
from archgen.units import date_words
from archgen.wording.followup import DUE_TITLES, due_words
from archgen.wording.questions import SEVERITY_WORDS, asked_words

if TYPE_CHECKING:
    from archgen.build import Summary

SHALL_THEY_GO = to_say("Are they meant to go, and shall the portfolio be renewed without them?")
SHOWN_AFTER_A_BUILD = 8
HIDDEN_AFTER_A_BUILD = 40
NO_OPINION = to_say("What's said about rights is a record of what you were told. It isn't legal advice.")


def findings_json(findings: Iterable[Finding]) -> str:
    """Give a JSON list with one object per finding."""
    return _json([finding.as_dict() for finding in findings])


def questions_json(catalogue: Catalogue, findings: Sequence[Finding]) -> str:
    """Give a JSON list with one object per finding, with whom to ask and, where it is a client, the code."""
    return _json(
        [
            finding.as_dict() | {"ask": questions.asked.value, "client": questions.client}
            for questions in sort_questions(findings, catalogue)
            for finding in questions.findings
        ]
    )


def _json(objects: Sequence[Mapping[str, str | int | None]]) -> str:
    return msgspec.json.format(msgspec.json.encode(objects), indent=2).decode()


def select_findings(catalogue: Catalogue, piece: str | None, code: str | None) -> tuple[Finding, ...]:
    """Give the findings of one piece and of one code or group of codes, worst first within each piece.

    Raises:
        UsageError: There is no such piece, or no such group of codes.
    """
    if code is not None:
        _check_code(code)
    ids = [p.id for p in catalogue.pieces]
    if piece is not None and piece not in ids:
        near = get_close_matches(piece, ids, n=3, cutoff=0.4)
        message = say("There is no piece {piece}.", piece=piece)
        raise UsageError(message if not near else f"{message} {say('Nearest: {names}.', names=', '.join(near))}")
    return tuple(
        f
        for f in catalogue.findings
        if (piece is None or f.piece == piece) and (code is None or f.code == code or f.code.startswith(f"{code}."))
    )


def _check_code(code: str) -> None:
    from archgen.rules.registry import finding_groups  # loads all rules, for which only a code asks

    groups = finding_groups()
    if code.partition(".")[0] not in groups:
        message = say("Nothing is checked under “{code}”. There is: {groups}.", code=code, groups=", ".join(groups))
        raise UsageError(message)


def reaches(findings: Iterable[Finding], threshold: str) -> bool:
    """Say whether a finding is at least as serious as the threshold; "never" is reached by none."""
    return threshold != "never" and any(f.severity.rank <= Severity(threshold).rank for f in findings)


def print_findings(console: Console, catalogue: Catalogue, findings: Sequence[Finding]) -> None:
    """Print findings by whom to ask, worst first, and a last line that counts them.

    Codes are for programs and stand in the JSON; a person gets the sentence, what to do, the piece and the place.
    """
    titles = {piece.id: piece.title for piece in catalogue.pieces}
    for questions in sort_questions(findings, catalogue):
        console.print(Text(asked_words(questions), "bold"))
        for finding in questions.findings:
            print_finding(console, finding, titles.get(finding.piece or "", ""))
        console.print()
    console.print(_counts(findings))
    if any(finding.code.startswith(("rights.", "embedded.")) for finding in findings):
        console.print(say(NO_OPINION))


def report_of(summary: "Summary") -> Report:
    """Gather what is said of a build."""
    catalogue = summary.catalogue
    findings = sorted(catalogue.findings, key=lambda f: (f.severity.rank, f.sort_key))
    titles = {piece.id: piece.title for piece in catalogue.pieces}
    first = findings[:SHOWN_AFTER_A_BUILD]
    overviews = catalogue.overviews.values()
    there = catalogue.portfolio.pieces if catalogue.portfolio else frozenset()
    hidden = [overview for overview in overviews if overview.id not in there]
    not_renewed = say("It may be shown, but the portfolio wasn't renewed.")
    return Report(
        title=catalogue.config.archive.title,
        read=" · ".join(_count_pictures(catalogue)),
        counts=_counts(findings),
        found=[line_of(finding, titles.get(finding.piece or "", "")) for finding in first],
        more=len(findings) - len(first),
        kept_back=list(_kept_back(summary)),
        why_kept_back=[line_of(finding) for finding in _what_kept_back(summary)],
        shown=len(overviews) - len(hidden),
        hidden=[(one.title, " ".join(one.publication.reasons) or not_renewed) for one in hidden[:HIDDEN_AFTER_A_BUILD]],
        not_shown=len(hidden),
        added=summary.added,
        exit_code=_exit_code(summary),
    )


def _exit_code(summary: "Summary") -> ExitCode:
    return ExitCode.DONE if summary.is_whole and not summary.unusable else ExitCode.FINDINGS


def line_of(finding: Finding, title: str = "") -> FindingLine:
    """Say one finding: what, what to do, the piece and the place."""
    where = f"{title}: {finding.place}" if title else str(finding.place)
    return FindingLine(finding.severity.value, f"{finding.problem} {finding.remedy}", where)


def print_finding(console: Console, finding: Finding, title: str = "") -> None:
    """Print one finding."""
    print_line(console, line_of(finding, title))


def _counts(findings: Iterable[Finding]) -> str:
    count = Counter(finding.severity for finding in findings)
    words = [
        f"{count[s]} {say(said.one if count[s] == 1 else said.many)}" for s, said in SEVERITY_WORDS.items() if count[s]
    ]
    return say("Found: {what}.", what=", ".join(words)) if words else say("Nothing needs your attention.")


def _count_pictures(catalogue: Catalogue) -> list[str]:
    pieces = catalogue.pieces
    return [
        say_count("{number} piece", "{number} pieces", len(pieces)),
        say_count("{number} photo", "{number} photos", sum(len(p.photos) for p in pieces)),
        say_count("{number} stencil", "{number} stencils", sum(len(p.stencils) for p in pieces)),
        say_count("{number} reference", "{number} references", sum(len(p.references) for p in pieces)),
    ]


def _what_kept_back(summary: "Summary") -> list[Finding]:
    """Give what keeps public folders back, each text once, at the first page it stands in."""
    places = tuple(f"{folder}/" for folder in summary.withheld)
    found: dict[str, Finding] = {}
    for finding in summary.catalogue.findings:
        is_it = finding.severity is Severity.ERROR and finding.code.startswith("privacy.")
        if is_it and finding.place.file.startswith(places):
            found.setdefault(finding.problem, finding)
    return list(found.values())[:SHOWN_AFTER_A_BUILD]


def _kept_back(summary: "Summary") -> Iterator[str]:
    """Say which public folders were not renewed, and what left them all the same; looked up in the folders."""
    kept_back = _what_kept_back(summary)
    last = say("The last one is still there.")
    if summary.taken_out:
        titles = ", ".join(map(as_text, summary.taken_out))
        last = say("The last one is still there, without {titles}.", titles=titles)
    for folder in summary.withheld:
        is_private = any(finding.place.file.startswith(f"{folder}/") for finding in kept_back)
        why = say("something private was found in it") if is_private else say("a page of it could not be made")
        if any(finding.code == "portfolio.clients" for finding in summary.catalogue.findings):
            why = say("no client can be read in clients.toml")
        said = say("The {folder} was kept back: {why}.", folder=folder, why=why)
        yield f"{said} {last}" if (summary.out / folder).is_dir() else said
    if summary.missing:
        said = say("The portfolio wasn't renewed: pieces of it can't be found any more.")
        yield f"{said} {last}"
    for piece in find_withdrawals(summary.catalogue, summary.catalogue.publications):
        if piece.is_there:
            yield say(
                "{title} is still in the portfolio, though it may not be shown: {reason}.",
                title=as_text(piece.title),
                reason=piece.reason,
            )


def due_json(items: Iterable[Due], today: dt.date) -> str:
    """Give a JSON list with one object per thing to do; dates as ISO 8601."""
    values = [
        {
            "kind": item.kind.value,
            "state": item.state.value,
            "piece": item.piece_id,
            "client": item.client,
            "opens": item.opens,
            "closes": item.closes,
            "wanted": item.is_wanted,
            "words": due_words(item, today),
        }
        for item in items
    ]
    return msgspec.json.format(msgspec.json.encode(values), indent=2).decode()


def print_due(console: Console, items: Sequence[Due], today: dt.date) -> None:
    """Print what is due, by what to do, the most urgent first."""
    for kind, title in DUE_TITLES.items():
        rows = [
            (
                _state(item.state),
                date_words(item.opens),
                date_words(item.closes) if item.closes else "",
                item.client or say("no client"),
                item.piece_id,
                due_words(item, today) if item.is_wanted else "",
            )
            for item in items
            if item.kind is kind
        ]
        _print_table(console, say(title), _HEADS, rows)
    now = sum(item.is_now for item in items)
    console.print(say_count("{number} to do now.", "{number} to do now.", now) if now else say("Nothing to do now."))


def _state(state: DueState) -> str:
    return {
        DueState.CLOSING: say_in("due", "closing"),
        DueState.OPEN: say_in("due", "open"),
        DueState.SOON: say_in("due", "soon"),
        DueState.LATER: say_in("due", "later"),
        DueState.PAST: say_in("due", "past"),
    }[state]


_HEADS = (to_say("State"), to_say("From"), to_say("Until"), to_say("Client"), to_say("Piece"), to_say("What"))
# Names to type again, and dates.
_UNBROKEN = frozenset({"From", "Until", "Client", "Piece"})


def _print_table(console: Console, title: str, heads: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    """Print rows below heads, without columns that are empty."""
    if not rows:
        return
    if title:
        console.print(Text(title, "bold"))
    filled = [column for column in range(len(heads)) if any(row[column] for row in rows)]
    grid = Table(box=None, padding=(0, 2, 0, 0), header_style="dim")
    for column in filled:
        head = say(heads[column])
        grid.add_column(head, min_width=len(head), overflow="fold", no_wrap=heads[column] in _UNBROKEN)
    for row in rows:
        grid.add_row(*(Text(row[column]) for column in filled))
    console.print(Padding(grid, (0, 0, 1, 2)), soft_wrap=False)
