"""Put what was found in a folder into words: errors where it is certain, else questions, each question once."""

from collections.abc import Iterable, Iterator

from archgen.findings import Finding, Place, Severity
from archgen.languages.house import say, to_say
from archgen.leaks.leak import Leak, LeakKind, found_words
from archgen.leaks.reading.pictures import BEHIND, OWNER, POSITION, THUMBNAIL

_SHOWN = 200
_VOWELS = "aeio"
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
    what = found_words(leak.what)
    match leak.kind:
        case LeakKind.UNREAD:
            problem = say("This file could not be looked into: {what}.", what=what)
            remedy = say("There's no telling what it holds. Leave it out, or replace it with one that opens.")
            return Finding("privacy.unread", Severity.ERROR, None, place, problem, remedy)
        case LeakKind.TRACE:
            severity = Severity.ERROR if is_ours else Severity.NOTE
            problem = say("This public file carries {what}.", what=what)
            remedy = say("Build again; if it stays, leave the picture or page out of the portfolio.")
            if not is_ours:
                problem = say("This file carries {what}.", what=what)
                remedy = say("Nothing of yours was recognised in it; if the picture is yours, save it without it.")
            return Finding("privacy.trace", severity, leak.piece, place, problem, remedy)
        case LeakKind.PICTURE:
            problem = say(
                "This is your {what} {file}, or a copy made from it, which is not public.", what=what, file=leak.value
            )
            remedy = say("Take it out of this folder, or publish it in the record.")
            return Finding("privacy.picture", Severity.ERROR, leak.piece, place, problem, remedy)
        case LeakKind.TEXT:
            message = to_say('A {what} would be public here: "{text}".')
            if leak.what[0] in _VOWELS:
                message = to_say('An {what} would be public here: "{text}".')
            problem = say(message, what=what, text=_short(leak.value))
            remedy = say(
                "Take it out of the public texts (story.md, title, alt, about.md and so on), then build again."
            )
            return Finding("privacy.leak", Severity.ERROR, leak.piece, place, problem, remedy)


def _questions(leaks: list[Leak], folder: str) -> Iterator[Finding]:
    """Ask once about each thing, at the first file it stands in."""
    files: dict[tuple[LeakKind, str], list[Leak]] = {}
    for leak in leaks:
        files.setdefault((leak.kind, leak.value or leak.file), []).append(leak)
    for (kind, value), same in files.items():
        first = same[0]
        what = found_words(first.what)
        place = Place(f"{folder}/{first.file}")
        if kind is LeakKind.UNREAD:
            problem = say("This picture could not be compared with yours: {what}.", what=what)
            remedy = say("Its texts were searched; open it and look.")
            yield Finding("privacy.unread", Severity.WARNING, None, place, problem, remedy)
            continue
        more = " " + say("It stands in {number} files.", number=len(same)) if len(same) > 1 else ""
        if kind is LeakKind.PICTURE:
            problem = say("This looks much like your {what} {file}, which is not public.", what=what, file=value)
            remedy = say("If it is that one, take it out; if it is another picture, nothing need be done.")
            yield Finding("privacy.picture", Severity.WARNING, first.piece, place, problem + more, remedy)
            continue
        message = to_say('A {what} may be meant here: "{text}".')
        if first.what[0] in _VOWELS:
            message = to_say('An {what} may be meant here: "{text}".')
        is_name = first.what.startswith("part of ")
        problem = say(message, what=what, text=_short(value)) + more
        remedy = say("If it is, take it out of the public texts; if it is only the same word, nothing need be done.")
        yield Finding(
            "privacy.name" if is_name else "privacy.word", Severity.WARNING, first.piece, place, problem, remedy
        )


def _short(text: str | None) -> str:
    return f"{text[:_SHOWN]}…" if text and len(text) > _SHOWN else text or ""
