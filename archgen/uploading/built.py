"""The portfolio as it was built: its files, and what of all that was ever in it may no longer be shown."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from archgen.errors import WithheldError
from archgen.languages.house import say
from archgen.outputs.portfolio.standing import StandingPortfolio
from archgen.storage.plain_files import read_plain
from archgen.storage.staging import files_below
from archgen.uploading.sent import short_digest


@dataclass(frozen=True, slots=True)
class BuiltFile:
    """A file: the digest and size in bytes it had when it was looked at."""

    digest: str
    size: int


@dataclass(frozen=True, slots=True)
class BuiltSite:
    """A portfolio that may go online.

    Attributes:
        files: What it holds, by path.
        withdrawn: Paths of pieces and photos that were in it once and left it.
    """

    folder: Path
    files: Mapping[str, BuiltFile]
    withdrawn: frozenset[str]

    def read(self, path: str) -> bytes:
        """Read a file, which must be the one that was looked at.

        Raises:
            WithheldError: It changed meanwhile, or isn't there any more.
        """
        try:
            content = read_plain(self.folder / path)
        except OSError:
            content = b""
        if short_digest(content) != self.files[path].digest:
            raise WithheldError(
                say("{file} changed while it was sent. Build again, then upload again.", file=self.folder / path)
            )
        return content


def built_site(out: Path) -> BuiltSite:
    """Look at the portfolio of a build folder.

    Raises:
        WithheldError: There is something in it that no build writes.
        OSError: It cannot be read.
    """
    standing = StandingPortfolio(out)
    found, is_odd = files_below(standing.folder)
    if is_odd or not found:
        raise WithheldError(
            say("{folder} isn't as a build leaves it. Build again, then upload again.", folder=standing.folder)
        )
    files = {path: _looked_at(standing.folder / path) for path in sorted(found)}
    return BuiltSite(standing.folder, files, frozenset(_withdrawn(standing)))


def _looked_at(file: Path) -> BuiltFile:
    content = read_plain(file)
    return BuiltFile(short_digest(content), len(content))


def _withdrawn(standing: StandingPortfolio) -> set[str]:
    """Give all paths of pieces that left, and of photos that left a piece which is still there.

    A piece under a new title has all its files under new names; those under the old ones didn't leave for good.
    """
    now = {one.id: one for one in standing.kept.pieces}
    left: set[str] = set()
    for piece, former in standing.kept.once.items():
        one = now.get(piece)
        its_photo = re.compile(rf"img/{re.escape(one.piece.slug)}-\d+-\d+\.\w+") if one else re.compile(".*")
        there = set(one.paths) if one else set()
        left.update(path for path in former.paths if path not in there and its_photo.fullmatch(path))
    return left
