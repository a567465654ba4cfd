"""What changed from one version of a stencil to the next, as it was measured."""

from collections.abc import Iterator

from archgen.languages.house import say
from archgen.picture_facts.gauge_facts import GaugeFigures
from archgen.pieces.versions import VersionPair
from archgen.stencils.versions.changes import LineChanges

# Less than this of all lines, and less than a fingertip of them, is the shake of a scanner.
_LEAST_SHARE, _LEAST_MM = 0.02, 5.0
_MOST = 0.9


def changes_words(pair: VersionPair, gauges: tuple[GaugeFigures | None, GaugeFigures | None]) -> tuple[str, ...]:
    """Say what became of the lines and gaps, the plainest first."""
    if pair.facts.turned_over:
        return (say("Turned over: the second faces the other way."),)
    changes = pair.facts.changes
    if changes is None:
        return (say("What changed could not be measured."),)
    if changes.kept_share < _LEAST_SHARE:
        return (say("Another drawing: hardly a line lies where one lay before."),)
    said = tuple(_of_lines(changes, in_mm=pair.is_to_scale)) or (say("No change of a line seen."),)
    if abs(pair.child_mm - pair.parent_mm) >= 1:
        said = (
            *said,
            say(
                "Printed {child_mm:g} mm wide, before {parent_mm:g} mm.",
                child_mm=pair.child_mm,
                parent_mm=pair.parent_mm,
            ),
        )
    return (*said, *_of_gaps(*gauges))


def _of_lines(changes: LineChanges, *, in_mm: bool) -> Iterator[str]:
    kinds = (
        (say("Taken out"), changes.taken_out_mm, changes.first_mm, None),
        (say("Put in"), changes.put_in_mm, changes.second_mm, None),
        (say("Made thicker"), changes.thicker_mm, changes.first_mm, changes.thicker_by_mm),
        (say("Made thinner"), changes.thinner_mm, changes.first_mm, changes.thinner_by_mm),
        (say("Moved"), changes.moved_mm, changes.first_mm, changes.moved_by_mm),
    )
    found = [kind for kind in kinds if kind[1] >= max(_LEAST_MM, _LEAST_SHARE * kind[2])]
    for what, length_mm, whole_mm, by_mm in sorted(found, key=lambda kind: -kind[1]):
        share = length_mm / whole_mm
        much = say("nearly all lines") if share >= _MOST else say("{share:.0%} of the lines", share=share)
        if by_mm is not None and in_mm:
            much = say("{much}, by about {by:.2f} mm", much=much, by=by_mm)
        yield f"{what}: {much}."


def _of_gaps(first: GaugeFigures | None, second: GaugeFigures | None) -> Iterator[str]:
    """Say what became of narrow gaps and thin lines, where both were gauged."""
    if first is None or second is None:
        return
    if first.tight is not None and second.tight is not None and first.tight != second.tight:
        yield say(
            "Gaps narrower than your limit: {before} before, {now} now.",
            before=_number(first.tight),
            now=_number(second.tight),
        )
    if first.thin is not None and second.thin is not None and first.thin != second.thin:
        yield say(
            "Lines finer than your limit: {before} before, {now} now.",
            before=_number(first.thin),
            now=_number(second.thin),
        )


def _number(count: int) -> str:
    return str(count) if count else say("none")


def standing_words(pair: VersionPair) -> str:
    """Say what that rests on."""
    if not pair.is_to_scale or pair.facts.changes is None:
        return say(
            "Both lie where their lines agree best. A width isn’t recorded, so both are shown equally wide, and "
            "nothing is said in millimetres."
        )
    return say(
        "Both lie where their lines agree best, each as wide as it was printed. Widths of lines are told apart from "
        "{told_from:.2f} mm on; a line more than 1 mm away counts as taken out and put in.",
        told_from=pair.facts.changes.told_from_mm,
    )
