"""Remember what a check of a whole archive found, so that the same archive is not checked again.

What was found is kept with how everything stood that it rests on, and for the days on which it is the same. Anything
that changed since, or might go right by itself, has it all checked anew.
"""

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import msgspec

from archgen.catalogue import Catalogue, Twins
from archgen.clock import WatchedDay
from archgen.extensions import are_installed
from archgen.findings import Finding, may_go_right
from archgen.picture_facts.facts import ImageFacts
from archgen.reading.records import read_records
from archgen.records.memory import memory_in
from archgen.storage.build_folder import MARKER
from archgen.storage.last_build import Sources
from archgen.storage.plain_files import make_own_folder, put_sealed, read_plain, unsealed

_FILE = Path("cache", "checked.json")


class _Checked(msgspec.Struct):
    sources: str
    first_day: dt.date
    last_day: dt.date
    findings: tuple[Finding, ...]
    twins: Twins
    facts: dict[str, ImageFacts]


def recall_checked(root: Path, out: Path, sources: Sources | None, day: dt.date) -> Catalogue | None:
    """Give an archive as it was checked, with the facts of those pictures alone that look like others.

    None where it was not checked yet, or something changed since.

    Args:
        root: The archive folder.
        out: The build folder that keeps it.
        sources: How everything stands.
        day: The day that counts as today.

    Raises:
        ArchgenError: The settings or the archive folder cannot be used.
    """
    try:
        kept = msgspec.json.decode(unsealed(read_plain(out / _FILE), _FILE.name) or b"", type=_Checked)
    except (OSError, msgspec.MsgspecError):
        return None
    if sources is None or kept.sources != sources.digest or not kept.first_day <= day <= kept.last_day:
        return None
    records = read_records(root, day, memory_in(out / "cache"), sources.pieces)
    return replace(records, findings=kept.findings, twins=kept.twins, facts=kept.facts)


def keep_checked(out: Path, sources: Sources | None, checked: Catalogue) -> None:
    """Keep what was found in a build folder, where there is one and a later change would show.

    `sources` are as they were before the first of them was read.
    """
    day = checked.built_on
    is_steady = not (are_installed() or any(map(may_go_right, checked.findings)))
    if not (sources and sources.is_settled and is_steady and isinstance(day, WatchedDay) and (out / MARKER).is_file()):
        return
    facts = {path: checked.facts[path] for path in _alike(checked.twins) if path in checked.facts}
    kept = _Checked(sources.digest, *day.same_days, checked.findings, checked.twins, facts)
    make_own_folder((out / _FILE).parent)
    put_sealed(out / _FILE, msgspec.json.encode(kept))


def _alike(twins: Twins) -> Iterator[str]:
    for pair in twins.pairs:
        yield from (pair.a, pair.b)
    for group in twins.doubles:
        yield from group.paths
