"""Read settings and records as one catalogue, without a picture: what they answer alone is answered at once."""

import datetime as dt
import gc
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path

from archgen.catalogue import Catalogue
from archgen.config import Config, read_config
from archgen.records.memory import Memory, memory_of
from archgen.records.reader import read_archive
from archgen.storage.tree_state import TreeState


def recall_records(root: Path, out: Path, built_on: dt.date) -> Catalogue:
    """Read settings and records only; what is remembered in the cache of a build folder, where there is one.

    Raises:
        ArchgenError: The settings or the archive folder cannot be used.
    """
    memory = memory_of(out)
    records = read_records(root, built_on, memory)
    with suppress(OSError):  # the answer doesn't rest on it
        memory.save()
    return records


def read_records(
    root: Path, built_on: dt.date, memory: Memory | None = None, looked: Mapping[str, TreeState] | None = None
) -> Catalogue:
    """Read settings and records only: what needs no picture is answered at once.

    Args:
        root: The archive folder.
        built_on: The day that counts as today.
        memory: Of how pieces were read; None: all are read anew.
        looked: How the folders of the pieces stand, where somebody looked just before.

    Raises:
        ConfigError: archive.toml cannot be used.
        InputError: The folder is not an archive.
    """
    return records_under(read_config(root), built_on, memory, looked)


def records_under(
    config: Config, built_on: dt.date, memory: Memory | None = None, looked: Mapping[str, TreeState] | None = None
) -> Catalogue:
    """Read the records under settings that are known.

    Raises:
        InputError: The folder is not an archive.
    """
    with nothing_circular():
        archive = read_archive(config.root, memory, config.archive.units, looked)
    return Catalogue(
        config=config,
        pieces=archive.pieces,
        inks=archive.inks,
        ink_lines=archive.ink_lines,
        clients=archive.clients,
        facts={},
        findings=archive.findings,
        built_on=built_on,
        texts=archive.texts,
        decisions=archive.decisions,
        decision_lines=archive.decision_lines,
        supplies=archive.supplies,
        boxes=archive.boxes,
        told=archive.told,
        designs=archive.designs,
    )


@contextmanager
def nothing_circular() -> Iterator[None]:
    """Look for no circles to clear away while only records and findings are made, which have none.

    The looking took a tenth of the processor time of an audit of 6,000 pieces (tests/bench/bench_audit.py).
    """
    gc.disable()
    try:
        yield
    finally:
        gc.enable()
