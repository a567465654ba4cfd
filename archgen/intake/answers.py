"""Change a group by what the artist says about it; and name groups."""

from dataclasses import replace

from archgen.intake.plan import GroupKind, PlannedGroup


def joined_group(group: PlannedGroup, piece: str) -> PlannedGroup:
    """Give a group as it goes to a filed piece, with the stage proposed there; none of it becomes the cover.

    What is plainly of a day of work, a touch-up for instance, keeps its own stages.
    """
    proposal = next((one for one in group.proposals if one.piece == piece), None)
    if proposal is None:
        return replace(group, kind=GroupKind.ADDITION, into=piece)
    pictures = tuple(replace(one, is_cover=False) for one in group.pictures)
    if not proposal.against:
        pictures = tuple(one.taken_for(proposal.what) if one.guess.what.stage else one for one in pictures)
    proposals = (proposal, *(one for one in group.proposals if one is not proposal))
    return replace(group, kind=GroupKind.ADDITION, pictures=pictures, proposals=proposals, into=piece)


def letters(number: int) -> str:
    """Name groups a, b, ... z, aa, ab ..."""
    found = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        found = chr(ord("a") + rest) + found
    return found
