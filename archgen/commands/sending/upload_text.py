"""What an upload changes and how it went, as text."""

from collections.abc import Iterator, Sequence

from archgen.languages.house import say, say_count, say_in
from archgen.uploading.carry import Upload
from archgen.uploading.check import UploadCheck
from archgen.uploading.place import PART

_MOST_FILES = 8


def plan_lines(upload: Upload, *, whole: bool) -> Iterator[str]:
    """Say what appears, changes and goes; all of it, or the first files of each."""
    plan, most = upload.plan, None if whole else _MOST_FILES
    yield f"\n{upload.target.text}:"
    if plan.is_empty:
        yield "  " + say("Everything there is as it was built.")
    withdrawn = set(plan.withdrawn)
    groups = (
        (say("may not be shown any more, goes first"), plan.withdrawn),
        (say_in("file", "appears"), plan.appears),
        (say_in("file", "changes"), plan.changes),
        (
            say_in("file", "goes"),
            tuple(path for path in plan.goes if path not in withdrawn and not path.endswith(PART)),
        ),
    )
    for words, paths in groups:
        yield from _group(words, paths, most)
    if plan.bytes:
        yield "  " + say("{size_words} to send.", size_words=size_words(plan.bytes))


def _group(words: str, paths: Sequence[str], most: int | None) -> Iterator[str]:
    if paths:
        yield f"  {words}: {say_count('{number} file', '{number} files', len(paths))}"
        # Pages first: they are what one knows by name.
        yield from (f"    {path}" for path in sorted(paths, key=lambda one: (not one.endswith(".html"), one))[:most])
    if most is not None and len(paths) > most:
        yield f"    {say('and {number} more (--dry-run lists them all)', number=len(paths) - most)}"


def size_words(size: int) -> str:
    """Say how much that is: 12 kB, 3.4 MB."""
    return say("{size:.1f} MB", size=size / 1e6) if size >= 1e6 else f"{max(size / 1e3, 1):.0f} kB"


def check_lines(check: UploadCheck, where: str, gone: int) -> Iterator[str]:
    """Say what came of looking again; `gone` addresses should answer that there is nothing."""
    if check.unreached:
        yield say(
            "{where} couldn't be looked at ({unreached}). Look again later: archgen upload --check",
            where=where,
            unreached=check.unreached,
        )
        return
    for path in check.still[:_MOST_FILES]:
        yield say("STILL ONLINE: {path}. It should be gone; ask your host why it still answers.", path=path)
    if len(check.still) > _MOST_FILES:
        yield say("and {number} more that are still online.", number=len(check.still) - _MOST_FILES)
    if check.other:
        yield say_count(
            "{number} file at {where} aren't what was built, the first is {file}. "
            "Some hosts need a few minutes, or change pages: look again with archgen upload --check",
            "{number} files at {where} aren't what was built, the first is {file}. "
            "Some hosts need a few minutes, or change pages: look again with archgen upload --check",
            len(check.other),
            where=where,
            file=check.other[0],
        )
    if check.is_fine:
        looked = say_count(
            "Checked {where}: {number} file as built.",
            "Checked {where}: {number} files as built.",
            check.looked,
            where=where,
        )
        left = say("What left is gone: nothing answers at {number} of {number} addresses.", number=gone)
        yield f"{looked} {left}" if gone else looked
