"""Say again what the last build said where another would change nothing; loads nothing to build.

The usual `archgen build` comes through here before the library that reads command lines is loaded, which took as long
as all the looking at an archive of 300 pieces.
"""

import datetime as dt
import sys
import time
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from archgen.clock import build_day
from archgen.commands.texts.screen import printing_visibly
from archgen.errors import ArchgenError, ExitCode
from archgen.languages.house import house
from archgen.records.which_archive import choose_archive, results_folder
from archgen.storage.last_build import LastBuild, Sources, keep_for_day, look_at_sources, recall

# The options of a build that ask for nothing more than one.
_FOLDERS = ("--archive", "--out")
# How archives stood that were looked at here, until a build takes it up.
_looked: dict[Path, Sources | None] = {}


def answer(typed: Sequence[str]) -> ExitCode | None:
    """Answer a command line when it is a plain `build` and nothing changed; None where there is more to do."""
    named = _named_folders(typed)
    if named is None:
        return None
    with suppress(ArchgenError, OSError, ValueError), printing_visibly():
        chosen = choose_archive(named.get("--archive"))
        root, began = chosen.root, time.monotonic()
        out = named.get("--out") or results_folder(root)
        _looked[root] = sources = look_at_sources(root)
        if sources and (last := _standing(root, out, sources)):
            sys.stderr.write(f"{chosen.words}\n")
            return _told_again(last, out, began)
    return None


def _named_folders(typed: Sequence[str]) -> dict[str, Path] | None:
    """Read the folders of a plain build; None for whatever else was typed."""
    if not typed or typed[0] != "build":
        return None
    named: dict[str, Path] = {}
    words = iter(typed[1:])
    for word in words:
        name, given, value = word.partition("=")
        value = value if given else next(words, "")
        if name not in _FOLDERS or not value:
            return None
        named[name] = Path(value)
    return named


def look(root: Path) -> Sources | None:
    """Look at an archive before it is built, unless that was just done."""
    return _looked.pop(root) if root in _looked else look_at_sources(root)


def told_again(root: Path, out: Path, began: float) -> ExitCode | None:
    """Say what the last build said when another would change nothing; None when it might."""
    if root in _looked:  # and it might
        return None
    sources = look_at_sources(root)
    if sources and (last := _standing(root, out, sources)):
        return _told_again(last, out, began)
    _looked[root] = sources
    return None


def _standing(root: Path, out: Path, sources: Sources) -> LastBuild | None:
    """Give the last build where another would change nothing, its lines that name the day brought to this one."""
    day = build_day()
    last = recall(out, root, day.isoformat(), sources)
    return last if last and (last.day == day.isoformat() or _is_brought_to(day, last, root, out)) else None


def _told_again(last: LastBuild, out: Path, began: float) -> ExitCode:
    from archgen.commands.texts.told_again import printed_before

    told, seconds = last.told, time.monotonic() - began
    if told["out"] != str(out) or not printed_before(told["screen"], seconds):
        from archgen.commands.options import terminal
        from archgen.commands.texts.build_report import Report, print_report

        print_report(terminal(), Report.of(told["report"]), house().figures(f"{seconds:.1f}"), out, is_changed=False)
    return ExitCode(told["report"]["exit_code"])


def _is_brought_to(day: dt.date, last: LastBuild, root: Path, out: Path) -> bool:
    """Write the lines that name the day anew; say whether that could be done."""
    from archgen.outputs.dated import write_day
    from archgen.storage.staging import output_folder

    with suppress(OSError, ArchgenError), output_folder(out, root):
        write_day(out, dt.date.fromisoformat(last.day), day)
        keep_for_day(out, last, day.isoformat())
        return True
    return False
