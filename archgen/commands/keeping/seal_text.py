"""What `archgen seal` says."""

from collections.abc import Iterable, Iterator, Sequence

from archgen.sealing.seal import Seal, SealDifference
from archgen.wording.counts import count_words

_MOST = 40


def sealed_lines(now: Seal, since: SealDifference, *, is_first: bool) -> Iterator[str]:
    """Say how many files are sealed, and what differs from the seal before, which is replaced."""
    if not is_first and not since.is_whole:
        yield "Since it was sealed last:"
        yield from _lines(since)
    yield f"{count_words(len(now.files), 'file')} sealed."
    for path in now.unread:
        yield f"Can't be read, so not sealed: {path}"


def hidden_lines(hidden: Sequence[str]) -> Iterator[str]:
    """Say what is left out because it is hidden."""
    if hidden:
        more = f" and {len(hidden) - 1} more" if len(hidden) > 1 else ""
        yield f"Hidden, so left out: {hidden[0]}{more}."


def difference_lines(difference: SealDifference, done: str = "sealed") -> Iterator[str]:
    """Say what is not as it was."""
    yield from _lines(difference)
    if difference.is_whole:
        yield f"All {count_words(difference.same, 'file')} are as they were {done}."
    else:
        yield f"{count_words(difference.same, 'file')} as {done}. What is damaged or gone: take it from another copy."


def _lines(difference: SealDifference) -> Iterator[str]:
    moved = (f"{before} -> {after}" for before, after in difference.moved)
    groups: tuple[tuple[str, Iterable[str]], ...] = (
        ("changed", difference.changed),
        ("missing", difference.missing),
        ("can't be read", difference.unread),
        ("moved", moved),
        ("new", difference.new),
    )
    for words, paths in groups:
        found = tuple(paths)
        yield from (f"{words}: {path}" for path in found[:_MOST])
        if len(found) > _MOST:
            yield f"{words}: and {len(found) - _MOST} more"
