"""Change a group by what the artist says about it; and name groups."""

from dataclasses import replace

from archgen.intake.plan import GroupKind, PlannedGroup


def joined_group(group: PlannedGroup, piece: str) -> PlannedGroup:
    """Give a group as it goes to a filed piece, with the stage proposed there."""
    proposal = next((one for one in group.proposals if one.piece == piece), None)
    if proposal is None:
        return replace(group, kind=GroupKind.ADDITION, into=piece)
    pictures = tuple(one.taken_for(proposal.what) if one.guess.what.stage else one for one in group.pictures)
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
