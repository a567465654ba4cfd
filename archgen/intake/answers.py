"""Change a plan by what the artist says: a picture is something else, belongs elsewhere, is left out or kept."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from archgen.errors import UsageError
from archgen.intake.names import free_name
from archgen.intake.plan import FiledAlready, GroupKind, IntakePlan, PlannedGroup, PlannedPicture, What
from archgen.wording.counts import count_words

# Where a picture belongs: the key of a group, a filed piece's id behind this word, or a piece of its own.
TO_PIECE = "piece:"
ITS_OWN = "own"


@dataclass(frozen=True, slots=True)
class Answer:
    """What was said of one picture; None: as it was."""

    what: What | None = None
    where: str | None = None


def answered(plan: IntakePlan, answers: Mapping[str, Answer]) -> IntakePlan:
    """Give the plan with what was said about pictures, by their keys.

    Pictures that are filed already and get an answer are kept. Groups that become empty are gone.

    Raises:
        UsageError: A picture or a place is named that the plan does not have.
    """
    known = {picture.key for picture in plan.pictures} | {one.picture.key for one in plan.filed}
    unknown = next((key for key in answers if key not in known), None)
    if unknown is not None:
        raise UsageError(f"No picture {unknown} is in the plan any more. Look at the inbox anew.")
    plan = _kept(plan, answers)
    for key, answer in answers.items():
        plan = _moved(_named(plan, key, answer.what), key, answer.where)
    return replace(plan, groups=tuple(group for group in plan.groups if group.pictures))


def joined(plan: IntakePlan, group_key: str, piece: str) -> IntakePlan:
    """Give the plan with a whole group going to a filed piece, with the stage proposed there, if any."""
    groups = (joined_group(group, piece) if group.key == group_key else group for group in plan.groups)
    return replace(plan, groups=tuple(groups))


def joined_group(group: PlannedGroup, piece: str) -> PlannedGroup:
    """Give a group as it goes to a filed piece, with the stage proposed there."""
    proposal = next((one for one in group.proposals if one.piece == piece), None)
    if proposal is None:
        return replace(group, kind=GroupKind.ADDITION, into=piece)
    pictures = tuple(one.taken_for(proposal.what) if one.guess.what.stage else one for one in group.pictures)
    proposals = (proposal, *(one for one in group.proposals if one is not proposal))
    return replace(group, kind=GroupKind.ADDITION, pictures=pictures, proposals=proposals, into=piece)


def _kept(plan: IntakePlan, answers: Mapping[str, Answer]) -> IntakePlan:
    """Take pictures that are filed already back in, beside the filed one, when something is said about them."""
    kept = [one for one in plan.filed if one.picture.key in answers and not one.is_same_file]
    groups = plan.groups
    for one in kept:
        groups = (*groups, _beside(one, groups))
    return replace(plan, groups=groups, filed=tuple(one for one in plan.filed if one not in kept))


def _beside(one: FiledAlready, groups: tuple[PlannedGroup, ...]) -> PlannedGroup:
    return PlannedGroup(
        key=_free_key(groups),
        kind=GroupKind.ADDITION,
        title=one.title,
        summary="1 picture, kept beside the first.",
        folder=one.piece,
        day=one.picture.day,
        pictures=(replace(one.picture, show=False, is_cover=False),),
        into=one.piece,
    )


def _named(plan: IntakePlan, key: str, what: What | None) -> IntakePlan:
    if what is None:
        return plan
    return replace(plan, groups=tuple(_with_named(group, key, what) for group in plan.groups))


def _with_named(group: PlannedGroup, key: str, what: What) -> PlannedGroup:
    others = tuple(one for one in group.pictures if one.key != key)
    pictures = (
        _among(one.taken_for(what), others) if one.key == key and one.guess.what is not what else one
        for one in group.pictures
    )
    return replace(group, pictures=tuple(pictures))


def _among(picture: PlannedPicture, others: Iterable[PlannedPicture]) -> PlannedPicture:
    """Rename a picture whose name is in use among others."""
    stem, dot, suffix = picture.file.rpartition(".")
    return picture.renamed(free_name(stem, f"{dot}{suffix}", [one.file for one in others]))


def _moved(plan: IntakePlan, key: str, where: str | None) -> IntakePlan:
    home = next((group for group in plan.groups if any(one.key == key for one in group.pictures)), None)
    if where is None or home is None or where == home.key:
        return plan
    picture = next(one for one in home.pictures if one.key == key)
    left = tuple(one for one in home.pictures if one.key != key)
    groups = [
        replace(group, pictures=left, summary=_summary(left)) if group is home else group for group in plan.groups
    ]
    if where == ITS_OWN or where.startswith(TO_PIECE):
        return replace(plan, groups=(*groups, _alone(picture, where, home, tuple(groups))))
    target = next((number for number, group in enumerate(groups) if group.key == where), None)
    if target is None:
        raise UsageError(f"No group {where} is in the plan any more. Look at the inbox anew.")
    pictures = (*groups[target].pictures, _among(picture, groups[target].pictures))
    groups[target] = replace(groups[target], pictures=pictures, summary=_summary(pictures))
    return replace(plan, groups=tuple(groups))


def _alone(picture: PlannedPicture, where: str, home: PlannedGroup, groups: tuple[PlannedGroup, ...]) -> PlannedGroup:
    piece = where.removeprefix(TO_PIECE) if where.startswith(TO_PIECE) else None
    return PlannedGroup(
        key=_free_key(groups),
        kind=GroupKind.ADDITION if piece else GroupKind.NEW_PIECE,
        title=home.title,
        summary=_summary((picture,)),
        folder=piece or free_name(home.folder, "", {group.folder for group in groups}),
        day=picture.day,
        pictures=(picture,),
        into=piece,
    )


def _summary(pictures: tuple[PlannedPicture, ...]) -> str:
    return f"{count_words(len(pictures), 'picture')}, as you said."


def _free_key(groups: tuple[PlannedGroup, ...]) -> str:
    used = {group.key for group in groups}
    return next(key for number in range(10_000) if (key := letters(number)) not in used)


def letters(number: int) -> str:
    """Name groups a, b, ... z, aa, ab ..."""
    found = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        found = chr(ord("a") + rest) + found
    return found
