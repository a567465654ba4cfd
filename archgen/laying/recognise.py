"""Find among many pictures the few whose lines may be those of a new one: by the plainest marks, then by all."""

from collections.abc import Sequence

from archgen.laying.marks import LineMarks, MarkAgreement, agree

# How many pictures are compared by all their marks, and by how many marks they are chosen.
SHORTLIST = 24
PLAINEST = 350


def recognise(
    marks: LineMarks, pictures: Sequence[LineMarks], most: int, shortlist: int = SHORTLIST
) -> list[tuple[int, MarkAgreement]]:
    """Give the numbers of the pictures on whose pose most marks agree, the most first; poses go to the new picture.

    So many as `shortlist` says are compared by all their marks.
    """
    chosen = _shortlist(marks, pictures, shortlist)
    found = [(number, agreement) for number in chosen if (agreement := agree(pictures[number], marks))]
    return sorted(found, key=lambda one: -one[1].agreeing)[:most]


def _shortlist(marks: LineMarks, pictures: Sequence[LineMarks], most: int) -> list[int]:
    if len(pictures) <= most:
        return list(range(len(pictures)))
    few = marks.plainest(PLAINEST)
    rough = [(agree(one.plainest(PLAINEST), few), number) for number, one in enumerate(pictures)]
    order = sorted(rough, key=lambda one: (-(one[0].agreeing if one[0] else 0), one[1]))
    return [number for _, number in order[:most]]
