"""What an upload changes and how it went, as text."""

from collections.abc import Iterator, Sequence

from archgen.uploading.carry import Upload
from archgen.uploading.check import UploadCheck
from archgen.uploading.place import PART
from archgen.wording.counts import count_words

_MOST_FILES = 8


def plan_lines(upload: Upload, *, whole: bool) -> Iterator[str]:
    """Say what appears, changes and goes; all of it, or the first files of each."""
    plan, most = upload.plan, None if whole else _MOST_FILES
    yield f"\n{upload.target.text}:"
    if plan.is_empty:
        yield "  Everything there is as it was built."
    groups = (
        ("may not be shown any more, goes first", plan.withdrawn),
        ("appears", plan.appears),
        ("changes", plan.changes),
        ("goes", tuple(path for path in plan.goes if path not in set(plan.withdrawn) and not path.endswith(PART))),
    )
    for words, paths in groups:
        yield from _group(words, paths, most)
    if plan.bytes:
        yield f"  {size_words(plan.bytes)} to send."


def _group(words: str, paths: Sequence[str], most: int | None) -> Iterator[str]:
    if paths:
        yield f"  {words}: {count_words(len(paths), 'file')}"
        # Pages first: they are what one knows by name.
        yield from (f"    {path}" for path in sorted(paths, key=lambda one: (not one.endswith(".html"), one))[:most])
    if most is not None and len(paths) > most:
        yield f"    and {len(paths) - most} more (--dry-run lists them all)"


def size_words(size: int) -> str:
    """Say how much that is: 12 kB, 3.4 MB."""
    return f"{size / 1e6:.1f} MB" if size >= 1e6 else f"{max(size / 1e3, 1):.0f} kB"


def check_lines(check: UploadCheck, where: str, gone: int) -> Iterator[str]:
    """Say what came of looking again; `gone` addresses should answer that there is nothing."""
    if check.unreached:
        yield f"{where} couldn't be looked at ({check.unreached}). Look again later: archgen upload --check"
        return
    for path in check.still[:_MOST_FILES]:
        yield f"STILL ONLINE: {path}. It should be gone; ask your host why it still answers."
    if len(check.still) > _MOST_FILES:
        yield f"and {len(check.still) - _MOST_FILES} more that are still online."
    if check.other:
        yield (
            f"{count_words(len(check.other), 'file')} at {where} aren't what was built, the first is {check.other[0]}. "
            "Some hosts need a few minutes, or change pages: look again with archgen upload --check"
        )
    if check.is_fine:
        left = f" What left is gone: nothing answers at {gone} of {gone} addresses." if gone else ""
        yield f"Checked {where}: {count_words(check.looked, 'file')} as built.{left}"
