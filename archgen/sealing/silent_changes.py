"""Originals whose bytes changed although their time did not move: what a failing disk does, and no program."""

import os
from collections.abc import Iterator
from pathlib import Path

from archgen.catalogue import Catalogue
from archgen.errors import InputError
from archgen.findings import Finding, Place, Severity
from archgen.languages.house import say
from archgen.sealing.seal import read_seal
from archgen.storage.cache import Cache
from archgen.storage.plain_files import read_plain

SEAL = "seal.sha256"


def silent_changes(catalogue: Catalogue, out: Path, cache: Cache) -> Iterator[Finding]:
    """Compare the pictures with what is remembered of them, and with the seal among the results, where there is one.

    What is remembered goes by files that were read again: all whose entry on the disk changed, and some at every build.
    A picture that was worked on has a later time, and is none of them; nor is one that was sealed as it is.
    """
    sealed, when = _seal(out)
    for path, facts in catalogue.facts.items():
        original = os.path.join(catalogue.config.root, path)  # noqa: PTH118  there are thousands
        now = cache.changed_silently(original)
        at_seal = sealed.get(path)
        if at_seal not in (None, facts.digest, now) and _last_changed(original) < when:
            said = say("This picture is not what it was when you sealed the archive, though its time says it is.")
            yield _finding(catalogue, path, said)
        elif now and at_seal != now:
            said = say("This picture is not what it was when it was read before, though its time says it is.")
            yield _finding(catalogue, path, said)


def _seal(out: Path) -> tuple[dict[str, str], float]:
    try:
        return read_seal(read_plain(out / SEAL)), (out / SEAL).stat().st_mtime
    except (OSError, InputError):
        return {}, 0.0


def _finding(catalogue: Catalogue, path: str, problem: str) -> Finding:
    return catalogue.of_its_piece(
        Finding(
            "image.changed-silently",
            Severity.WARNING,
            None,
            Place(path),
            problem,
            say(
                "Compare it with another copy of your archive. If it is right as it is, seal the archive: archgen seal."
            ),
        )
    )


def _last_changed(path: str) -> float:
    try:
        return os.stat(path).st_mtime  # noqa: PTH116  as above
    except OSError:
        return float("inf")
