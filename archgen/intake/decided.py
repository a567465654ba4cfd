"""From groups with what was decided to changes of the archive, all worked out before the first is written."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path

from archgen.catalogue import Catalogue
from archgen.errors import UsageError
from archgen.intake.carry import PieceBasics, addition, new_piece
from archgen.intake.names import free_name, slug
from archgen.intake.plan import GroupKind, IntakePlan, PlannedGroup
from archgen.languages.house import say, say_count
from archgen.writing.change import Change


@dataclass(frozen=True, slots=True)
class DecidedGroup:
    """One group and what is to become of it.

    Attributes:
        title: For a new piece.
        piece: The filed piece it goes to, because somebody said so; None for a new one.
    """

    group: PlannedGroup
    title: str
    client: str | None = None
    piece: str | None = None


def changes_of(
    decided: Iterable[DecidedGroup], catalogue: Catalogue, root: Path, client: str | None = None
) -> list[Change]:
    """Give the change of each group.

    Raises:
        UsageError: A piece is not there any more.
        ArchgenError: A record cannot be changed safely.
    """
    pieces = {piece.id: piece for piece in catalogue.pieces}
    folders = set(pieces) | _folder_names(root)
    changes: list[Change] = []
    for one in decided:
        if one.piece is not None:
            if one.piece not in pieces:
                raise UsageError(say("There is no piece {piece} any more. Nothing was written.", piece=one.piece))
            changes.append(addition(one.group.filed, pieces[one.piece], root))
            continue
        folder = new_folder(one.group, one.title, folders)
        folders.add(folder)
        changes.append(new_piece(one.group, PieceBasics(one.title, folder, one.client or client)))
    return changes


def new_folder(group: PlannedGroup, title: str, taken: set[str]) -> str:
    """Name the folder of a new piece: its day, and its title in small letters."""
    words = slug(title) if title != group.title else "new-piece"
    name = "-".join(part for part in (group.day.isoformat() if group.day else "", words or "piece") if part)
    return free_name(name, "", taken)


def sure_groups(plan: IntakePlan) -> tuple[list[DecidedGroup], list[str]]:
    """Give what may be filed without a look, and a sentence for everything that is left.

    A new piece needs a photo that is not doubtful; doubtful pictures are left out of it. Nothing goes to a filed piece.
    """
    sure: list[DecidedGroup] = []
    left: list[str] = []
    for group in plan.groups:
        plain = tuple(one for one in group.filed if not one.guess.is_doubtful)
        has_photo = any(one.guess.what.stage for one in plain)
        is_offered = group.kind is GroupKind.ADDITION or any(one.by_lines for one in group.proposals)
        if is_offered or not has_photo:
            left.append(say("{title}: left, since somebody has to look at it.", title=group.title))
            continue
        sure.append(DecidedGroup(replace(group, pictures=plain), group.title))
        if len(plain) < len(group.filed):
            left.append(
                say_count(
                    "{title}: {number} doubtful picture left out.",
                    "{title}: {number} doubtful pictures left out.",
                    len(group.filed) - len(plain),
                    title=group.title,
                )
            )
    return sure, left


def _folder_names(root: Path) -> set[str]:
    try:
        return {path.name for path in (root / "pieces").iterdir()}
    except OSError:
        return set()
