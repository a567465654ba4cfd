"""Carry out a change of the archive, all of it or nothing, and take one back; the only place that does.

Before anything of the archive is touched, the change and every version before stand in the build folder. Then all
files are made under hidden names beside their places, and only when each is whole, and equal to what it was copied
from, they get their names: pictures first, records last, a new piece in one step. What was interrupted is put right at
the next occasion: done when everything stands in its place, else taken away.
"""

import datetime as dt
import secrets
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from hashlib import sha256
from pathlib import Path, PurePosixPath

from filelock import FileLock, Timeout

from archgen.errors import OutputError, UsageError, disk_reason
from archgen.languages.house import say
from archgen.storage.files import is_inside
from archgen.storage.staging import claim_folder, output_errors
from archgen.writing.change import Change, EditedFile, GoneFile, NewFile
from archgen.writing.journal import JournalEntry, JournalFile, PastChange, Reached, begin, read_journal, sweep
from archgen.writing.placing import (
    StaleError,
    clear_ready,
    digest_of,
    holds,
    is_in_place,
    make_ready,
    put_in_place,
    roll_back,
    take_away,
    why_not_taken_back,
)

# Where the build folder keeps what was changed and every version before.
KEPT = "kept"
# What may be thrown away when the artist asks for it: older than a season, and not among the last two hundred changes.
KEPT_DAYS, KEPT_LEAST = 90, 200
# What was removed because somebody asked for it is kept no longer.
REMOVED_DAYS = 30
_PATIENCE_S = 10.0


def carry_out(root: Path, kept: Path, change: Change) -> PastChange:
    """Write a change into the archive, whole or not at all; `kept` is the folder of that name in the build folder.

    Raises:
        OutputError: A file was changed by somebody else since it was read, a place is taken, the disk is full or may
            not be written; nothing is changed then.
    """
    with _alone(root, kept):
        _finish(root, kept)
        _check(root, change)
        entry = _entry_of(root, change)
        versions = {
            file.kept: one.before
            for file, one in zip(entry.files[len(change.new) :], change.edited, strict=False)
            if file.kept and one.before is not None
        }
        going = {file.kept: root / file.path for file in entry.files if file.kept and file.after is None}
        with output_errors(kept.parent):
            begun = begin(kept, entry, versions, going)
        try:
            make_ready(root, begun, change)
            put_in_place(root, begun)
            return begun.begun_as(Reached.DONE)
        except StaleError as error:
            _give_up(root, begun)
            raise OutputError(say("{error} Nothing was written.", error=error)) from error
        except OSError as error:
            _give_up(root, begun)
            raise OutputError(_disk_words(root, error)) from error
        except BaseException:
            _give_up(root, begun)
            raise


def take_back(root: Path, kept: Path, number: int | None = None) -> PastChange:
    """Take a change back, the last one unless a number is given: new files go, what was edited reads as before.

    What goes is moved into the build folder and thrown away by nobody.

    Raises:
        UsageError: There is no such change.
        OutputError: A file of it was changed since, or the disk does not let it.
    """
    with _alone(root, kept):
        _finish(root, kept)
        past = change_to_take_back(kept, number)
        reason = why_not_taken_back(root, past)
        if reason:
            raise OutputError(
                say(
                    "{reason} So “{what}” can't be taken back by itself. Nothing was changed.",
                    reason=reason,
                    what=past.entry.words,
                )
            )
        try:
            taking = past.begun_as(Reached.TAKING)
            take_away(root, taking)
            return taking.begun_as(Reached.TAKEN_BACK)
        except OSError as error:
            raise OutputError(
                say(
                    "{file}: cannot be written ({reason}). Run archgen undo again once it can be.",
                    file=error.filename or root,
                    reason=disk_reason(error),
                )
            ) from error


def change_to_take_back(kept: Path, number: int | None = None) -> PastChange:
    """Give the change that would be taken back.

    Raises:
        UsageError: There is none, none of that number, or it is taken back already.
    """
    done = [one for one in past_changes(kept) if one.reached is Reached.DONE]
    if number is None and done:
        return done[-1]
    found = next((one for one in past_changes(kept) if one.number == number), None)
    if found is None:
        none = say("There is no change {number}.", number=number) if number else say("There is nothing to take back.")
        raise UsageError(none)
    if found.reached is not Reached.DONE:
        raise UsageError(say("“{what}” is taken back already.", what=found.entry.words))
    return found


def past_changes(kept: Path) -> tuple[PastChange, ...]:
    """Give what was done and what of it was taken back, the first first; only reads."""
    return tuple(one for one in read_journal(kept) if one.reached in (Reached.DONE, Reached.TAKEN_BACK))


def outlived(kept: Path, now: dt.datetime) -> tuple[PastChange, ...]:
    """Give the changes that may be thrown away: they can't be taken back then; `now` with its time zone."""
    past = past_changes(kept)
    old = {one.number for one in past[:-KEPT_LEAST] if _is_older(one, now, KEPT_DAYS)}
    old |= {one.number for one in removals_to_end(kept, now)}
    return tuple(one for one in past if one.number in old)


def removals_to_end(kept: Path, now: dt.datetime) -> tuple[PastChange, ...]:
    """Give the removals that were carried out more than 30 days ago, and what else still holds what they removed.

    That is every change before one that wrote into one of its files: its versions tell what was taken out.
    """
    past = past_changes(kept)
    ended = [
        one for one in past if one.is_removal and one.reached is Reached.DONE and _is_older(one, now, REMOVED_DAYS)
    ]
    return tuple(
        one
        for one in past
        if one in ended or any(one.number < other.number and _paths(one) & _paths(other) for other in ended)
    )


def _paths(past: PastChange) -> set[str]:
    return {file.path for file in past.entry.files}


def _is_older(past: PastChange, now: dt.datetime, days: int) -> bool:
    return dt.datetime.fromisoformat(past.entry.at) < now - dt.timedelta(days=days)


def throw_away(root: Path, kept: Path, gone: Iterable[PastChange]) -> None:
    """Throw away what is kept of changes; the archive itself stays as it is.

    Raises:
        OutputError: The disk does not let it.
    """
    with _alone(root, kept), output_errors(kept):
        for one in gone:
            one.forget()


def finish_interrupted(root: Path, kept: Path) -> tuple[str, ...]:
    """Put right what a power cut or a kill interrupted, and say in a sentence each what was done about it.

    Raises:
        OutputError: The disk does not let it.
    """
    if all(one.reached in (Reached.DONE, Reached.TAKEN_BACK) for one in read_journal(kept)):
        return ()
    with _alone(root, kept):
        return _finish(root, kept)


@contextmanager
def _alone(root: Path, kept: Path) -> Iterator[None]:
    """Keep every other writer out."""
    with output_errors(kept.parent):
        claim_folder(kept.parent, root)
        kept.mkdir(exist_ok=True)
        lock = FileLock(kept / ".lock", timeout=_PATIENCE_S)
        try:
            lock.acquire()
        except Timeout as error:
            raise OutputError(
                say(
                    "Another window or command is writing into this archive. Nothing was written; try again "
                    "in a moment."
                )
            ) from error
    try:
        yield
    finally:
        lock.release()


def _finish(root: Path, kept: Path) -> tuple[str, ...]:
    said: list[str] = []
    for past in read_journal(kept):
        try:
            said += _finished(root, past)
        except OSError as error:
            raise OutputError(
                say(
                    "{file}: cannot be written ({reason}), so what was interrupted waits: “{what}”.",
                    file=error.filename or root,
                    reason=disk_reason(error),
                    what=past.entry.words,
                )
            ) from error
    sweep(kept)
    return tuple(said)


def _finished(root: Path, past: PastChange) -> Iterator[str]:
    words = f"“{past.entry.words}”"
    if past.reached is Reached.TAKING:
        take_away(root, past)
        past.begun_as(Reached.TAKEN_BACK)
        yield say("Taking back {words} was interrupted and is complete.", words=words)
    elif past.reached is Reached.BEGUN and is_in_place(root, past):
        clear_ready(root, past)
        past.begun_as(Reached.DONE)
        yield say("{words} was interrupted and is complete.", words=words)
    elif past.reached is Reached.BEGUN:
        yield from roll_back(root, past)
        past.forget()
        yield say("{words} was interrupted and taken back; do it once more.", words=words)


def _give_up(root: Path, begun: PastChange) -> None:
    """Take everything away again; what the disk does not let go is put right at the next occasion."""
    try:
        roll_back(root, begun)
        begun.forget()
    except OSError:
        pass


def _check(root: Path, change: Change) -> None:
    """Look whether every place is free, or holds what it held when it was read.

    Raises:
        OutputError: One does not, or lies outside the archive.
    """
    folder = change.new_folder
    if folder is not None and (root / folder).exists():
        raise OutputError(say("{folder} is there already. Nothing was written; choose another name.", folder=folder))
    for one in change.files:
        parts = PurePosixPath(one.path).parts
        if not parts or ".." in parts or one.path.startswith("/") or not is_inside(root / one.path, root):
            raise OutputError(say("{file} lies outside the archive folder. Nothing was written.", file=one.path))
        path = root / one.path
        if isinstance(one, NewFile) and path.exists():
            raise OutputError(say("{file} is there already. Nothing was written; choose another name.", file=one.path))
        is_other = (isinstance(one, EditedFile) and not holds(path, one.before)) or (
            isinstance(one, GoneFile) and digest_of(path) != one.digest
        )
        if is_other:
            raise OutputError(
                say(
                    "{file} was changed by somebody else just now. Nothing was written; look at it again.",
                    file=one.path,
                )
            )
    if folder is not None and not all(one.path.startswith(f"{folder}/") for one in change.new):
        raise ValueError("every new file lies in the new folder")


def _entry_of(root: Path, change: Change) -> JournalEntry:
    new = [JournalFile(one.path, None, one.digest) for one in change.new]
    edited = [
        JournalFile(
            one.path,
            None if one.before is None else sha256(one.before).hexdigest(),
            sha256(one.after).hexdigest(),
            None if one.before is None else f"{number}-{PurePosixPath(one.path).name}",
        )
        for number, one in enumerate(change.edited)
    ]
    gone = [
        JournalFile(one.path, one.digest, None, f"gone-{number}-{PurePosixPath(one.path).name}")
        for number, one in enumerate(change.gone)
    ]
    now = dt.datetime.now().astimezone().isoformat(timespec="seconds")
    made = _folders_to_make(root, change)
    return JournalEntry(change.words, now, secrets.token_hex(4), (*new, *edited, *gone), change.new_folder, made)


def _folders_to_make(root: Path, change: Change) -> tuple[str, ...]:
    """Give the folders that are not there yet, outer ones first; those of a new folder come with it."""
    found: set[PurePosixPath] = set()
    for path in [one.path for one in change.files]:
        parent = PurePosixPath(path).parent
        if change.new_folder and parent.is_relative_to(change.new_folder):
            parent = PurePosixPath(change.new_folder).parent
        found.update(one for one in (parent, *parent.parents) if not (root / one).is_dir())
    return tuple(str(one) for one in sorted(found, key=lambda one: len(one.parts)))


def _disk_words(root: Path, error: OSError) -> str:
    if error.errno in (28, 122):  # ENOSPC, EDQUOT
        return say("The disk is full. Nothing was written; free some space and try again.")
    place = error.filename or root
    if isinstance(error, PermissionError) or error.errno == 30:  # EROFS
        return say("{place}: not allowed to write here. Nothing was written.", place=place)
    return say("{place}: cannot be written ({reason}). Nothing was written.", place=place, reason=disk_reason(error))
