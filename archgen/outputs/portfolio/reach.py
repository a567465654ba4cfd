"""Tell a disk that is gone from pieces that were taken away: no portfolio shrinks because files were unreachable."""

import os
from collections.abc import Iterator, Mapping
from pathlib import Path

from archgen.catalogue import Catalogue
from archgen.errors import InputError
from archgen.languages.house import say_count
from archgen.outputs.portfolio.standing import StandingPortfolio
from archgen.publication.decision import Publication, decide_publication
from archgen.records.layout import PIECES
from archgen.storage.files import digest_file
from archgen.toml.text import UnreadableTextError, read_text

# Findings that say that something was not there, or could not be opened.
_NOT_REACHED = frozenset({"image.missing", "image.unreadable", "record.no-record", "record.unreadable"})


def check_pieces_are_there(records: Catalogue, standing: StandingPortfolio, *, may_shrink: bool) -> None:
    """Stop where the whole archive is gone though the portfolio has pieces of it.

    Raises:
        InputError: There are no pieces at all any more.
    """
    number = len(standing.state.pieces)
    if number and not records.pieces and not may_shrink:
        raise InputError(
            say_count(
                "{folder} holds no pieces any more, and the portfolio has {number} piece from there, so nothing was "
                "changed. Check that the disk with your archive is connected, then build again. If they are meant to "
                "go: archgen build --fewer.",
                "{folder} holds no pieces any more, and the portfolio has {number} pieces from there, so nothing was "
                "changed. Check that the disk with your archive is connected, then build again. If they are meant to "
                "go: archgen build --fewer.",
                number,
                folder=records.config.root / PIECES,
            )
        )


def decisions_about(records: Catalogue, standing: StandingPortfolio) -> Mapping[str, Publication]:
    """Decide by the records alone about the pieces that stand in the portfolio; where that is not known, about all."""
    kept = {one.id for one in standing.kept.pieces}
    ids = {piece.id for piece in records.pieces}
    # A piece that stands there under another name may be any of those that do not.
    wanted = kept if kept and kept <= ids else ids
    if not standing.folder.is_dir():
        return {}
    return {piece.id: decide_publication(piece, records) for piece in records.pieces if piece.id in wanted}


def check_nothing_vanished(catalogue: Catalogue) -> None:
    """Stop where files of the archive went away, or came and went, while it was read.

    Raises:
        InputError: Something that was listed is no more, or can be read now though it could not be then.
    """
    lost = sorted(set(_lost(catalogue)))
    if lost:
        raise InputError(
            say_count(
                "{number} file of the archive came or went while it was being read, such as {file}, so nothing was "
                "renewed. Check that the disk with your archive is connected, then build again.",
                "{number} files of the archive came or went while it was being read, such as {file}, so nothing was "
                "renewed. Check that the disk with your archive is connected, then build again.",
                len(lost),
                file=lost[0],
            )
        )


def _lost(catalogue: Catalogue) -> Iterator[str]:
    root = catalogue.config.root
    for piece in catalogue.to_show:
        if not (root / piece.folder).is_dir():
            yield piece.folder
        pictures = (*piece.photos, *piece.stencils, *piece.references)
        yield from (path for path in pictures if path not in catalogue.facts and not os.path.lexists(root / path))
    for finding in catalogue.findings:
        if finding.code in _NOT_REACHED and _can_be_read(root / finding.place.file):
            yield finding.place.file


def _can_be_read(path: Path) -> bool:
    """Say whether a file that could not be read can be read now: all of it, since a damaged disk fails somewhere."""
    try:
        if path.suffix in {".toml", ".md"}:
            read_text(path)
        elif not path.is_file():
            return False
        else:
            digest_file(path)
    except (OSError, UnreadableTextError):
        return False
    return True
