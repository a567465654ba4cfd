"""What `archgen seal` says."""

from collections.abc import Iterable, Iterator, Sequence

from archgen.languages.house import say, say_count, say_in
from archgen.sealing.seal import Seal, SealDifference

_MOST = 40
_MOST_HIDDEN = 5


def sealed_lines(now: Seal, since: SealDifference, *, is_first: bool) -> Iterator[str]:
    """Say how many files are sealed, and what differs from the seal before, which is replaced."""
    if not is_first and not since.is_whole:
        yield say("Since it was sealed last:")
        yield from _lines(since)
    yield say_count("{number} file sealed.", "{number} files sealed.", len(now.files))
    for path in now.unread:
        yield say("Can't be read, so not sealed: {path}", path=path)


def hidden_lines(hidden: Sequence[str]) -> Iterator[str]:
    """Say what is left out because it is hidden."""
    if hidden:
        names, more = ", ".join(hidden[:_MOST_HIDDEN]), len(hidden) - _MOST_HIDDEN
        if more > 0:
            names = say("{names} and {number} more", names=names, number=more)
        yield say("Hidden, so left out: {names}.", names=names)


def difference_lines(difference: SealDifference, *, is_handed_over: bool = False) -> Iterator[str]:
    """Say what is not as it was sealed or handed over."""
    yield from _lines(difference)
    yield (
        _whole_words(difference.same, is_handed_over)
        if difference.is_whole
        else _same_words(difference.same, is_handed_over)
    )


def _whole_words(files: int, is_handed_over: bool) -> str:
    if is_handed_over:
        return say_count(
            "All {number} file are as they were handed over.", "All {number} files are as they were handed over.", files
        )
    return say_count("All {number} file are as they were sealed.", "All {number} files are as they were sealed.", files)


def _same_words(files: int, is_handed_over: bool) -> str:
    same = (
        say_count("{number} file as handed over.", "{number} files as handed over.", files)
        if is_handed_over
        else say_count("{number} file as sealed.", "{number} files as sealed.", files)
    )
    return f"{same} {say('What is damaged or gone: take it from another copy.')}"


def _lines(difference: SealDifference) -> Iterator[str]:
    moved = (f"{before} -> {after}" for before, after in difference.moved)
    groups: tuple[tuple[str, Iterable[str]], ...] = (
        (say_in("file", "changed"), difference.changed),
        (say_in("file", "missing"), difference.missing),
        (say_in("file", "can't be read"), difference.unread),
        (say_in("file", "moved"), moved),
        (say_in("file", "new"), difference.new),
    )
    for words, paths in groups:
        found = tuple(paths)
        yield from (f"{words}: {path}" for path in found[:_MOST])
        if len(found) > _MOST:
            yield f"{words}: {say('and {number} more', number=len(found) - _MOST)}"
