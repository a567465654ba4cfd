"""Originals whose bytes changed although their time did not move: what a failing disk does, and no program."""

from collections.abc import Iterator
from pathlib import Path

from archgen.catalogue import Catalogue
from archgen.errors import InputError
from archgen.findings import Finding, Place, Severity
from archgen.sealing.seal import read_seal
from archgen.storage.plain_files import read_plain

SEAL = "seal.sha256"


def silent_changes(catalogue: Catalogue, out: Path) -> Iterator[Finding]:
    """Compare the pictures that were read with the seal kept among the results, where there is one.

    A picture that was worked on since has a later time than the seal, and is none of them.
    """
    try:
        sealed, when = read_seal(read_plain(out / SEAL)), (out / SEAL).stat().st_mtime
    except (OSError, InputError):
        return
    for path, facts in catalogue.facts.items():
        if sealed.get(path, facts.digest) != facts.digest and _last_changed(catalogue.config.root / path) < when:
            yield catalogue.of_its_piece(
                Finding(
                    "image.changed-silently",
                    Severity.WARNING,
                    None,
                    Place(path),
                    "This picture is not what it was when you sealed the archive, though its time says it is.",
                    "Compare it with another copy of your archive. If it is right as it is, seal again: archgen seal.",
                )
            )


def _last_changed(path: Path) -> float:
    try:
        return path.stat().st_mtime
    except OSError:
        return float("inf")
