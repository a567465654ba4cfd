"""Put what was found in a folder into words: errors where it is certain, else questions, each question once."""

from collections.abc import Iterable, Iterator

from archgen.findings import Finding, Place, Severity
from archgen.leaks.leak import Leak, LeakKind
from archgen.leaks.reading.pictures import BEHIND, OWNER, POSITION, THUMBNAIL

_SHOWN = 200
# What a picture tells of a person or a place even where nothing of the archive is in it.
_TELLING = (POSITION, THUMBNAIL, BEHIND, OWNER)


def leak_findings(leaks: Iterable[Leak], folder: str = "portfolio", *, is_ours: bool = True) -> tuple[Finding, ...]:
    """Give leaks as findings.

    In a folder that archgen made (`is_ours`) any trace is a mistake; elsewhere those of people and places are told.
    """
    leaks = [leak for leak in leaks if is_ours or leak.kind is not LeakKind.TRACE or leak.what in _TELLING]
    certain = [_finding(leak, Place(f"{folder}/{leak.file}"), is_ours=is_ours) for leak in leaks if leak.sure]
    return (*certain, *_questions([leak for leak in leaks if not leak.sure], folder))


def _finding(leak: Leak, place: Place, *, is_ours: bool) -> Finding:
    match leak.kind:
        case LeakKind.UNREAD:
            problem = f"This file could not be looked into: {leak.what}."
            remedy = "There's no telling what it holds. Leave it out, or replace it with one that opens."
            return Finding("privacy.unread", Severity.ERROR, None, place, problem, remedy)
        case LeakKind.TRACE:
            severity = Severity.ERROR if is_ours else Severity.NOTE
            problem = f"This public file carries {leak.what}."
            remedy = "Build again; if it stays, leave the picture or page out of the portfolio."
            if not is_ours:
                problem = f"This file carries {leak.what}."
                remedy = "Nothing of yours was recognised in it; if the picture is yours, save it without it."
            return Finding("privacy.trace", severity, leak.piece, place, problem, remedy)
        case LeakKind.PICTURE:
            problem = f"This is your {leak.what} {leak.value}, or a copy made from it, which is not public."
            remedy = "Take it out of this folder, or publish it in the record."
            return Finding("privacy.picture", Severity.ERROR, leak.piece, place, problem, remedy)
        case LeakKind.TEXT:
            article = "An" if leak.what[0] in "aeio" else "A"
            problem = f'{article} {leak.what} would be public here: "{_short(leak.value)}".'
            remedy = "Take it out of the public texts (story.md, title, alt, about.md and so on), then build again."
            return Finding("privacy.leak", Severity.ERROR, leak.piece, place, problem, remedy)


def _questions(leaks: list[Leak], folder: str) -> Iterator[Finding]:
    """Ask once about each thing, at the first file it stands in."""
    files: dict[tuple[LeakKind, str], list[Leak]] = {}
    for leak in leaks:
        files.setdefault((leak.kind, leak.value or leak.file), []).append(leak)
    for (kind, value), same in files.items():
        first = same[0]
        place = Place(f"{folder}/{first.file}")
        if kind is LeakKind.UNREAD:
            problem = f"This picture could not be compared with yours: {first.what}."
            remedy = "Its texts were searched; open it and look."
            yield Finding("privacy.unread", Severity.WARNING, None, place, problem, remedy)
            continue
        more = f" It stands in {len(same)} files." if len(same) > 1 else ""
        if kind is LeakKind.PICTURE:
            problem = f"This looks much like your {first.what} {value}, which is not public.{more}"
            remedy = "If it is that one, take it out; if it is another picture, nothing need be done."
            yield Finding("privacy.picture", Severity.WARNING, first.piece, place, problem, remedy)
            continue
        article = "An" if first.what[0] in "aeio" else "A"
        is_name = first.what.startswith("part of ")
        problem = f'{article} {first.what} may be meant here: "{_short(value)}".{more}'
        remedy = "If it is, take it out of the public texts; if it is only the same word, nothing need be done."
        yield Finding(
            "privacy.name" if is_name else "privacy.word", Severity.WARNING, first.piece, place, problem, remedy
        )


def _short(text: str | None) -> str:
    return f"{text[:_SHOWN]}…" if text and len(text) > _SHOWN else text or ""
