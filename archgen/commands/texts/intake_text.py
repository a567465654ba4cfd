"""A plan of an intake as text: groups, pictures with what they are taken for and why, what is left out."""

from collections.abc import Iterator

from rich.console import Console
from rich.text import Text

from archgen.intake.plan import FiledAlready, GroupKind, IntakePlan, PlannedGroup, PlannedPicture, What
from archgen.languages.house import say, say_count, to_say
from archgen.units import date_words

WHAT_WORDS = {
    What.IN_PROGRESS: to_say("In progress"),
    What.FRESH: to_say("Fresh"),
    What.HEALED: to_say("Healed"),
    What.STENCIL: to_say("Stencil"),
    What.REFERENCE: to_say("Reference"),
    What.OUT: to_say("Left out"),
}


def print_plan(console: Console, plan: IntakePlan) -> None:
    """Show the whole plan."""
    for line in plan_lines(plan):
        console.print(Text(line))


def plan_lines(plan: IntakePlan) -> Iterator[str]:
    """Give the plan line by line."""
    new = sum(group.kind is GroupKind.NEW_PIECE for group in plan.groups)
    added = sum(group.kind is GroupKind.ADDITION for group in plan.groups)
    what = [say_count("{number} new piece", "{number} new pieces", new)]
    if added:
        what.append(say_count("{number} addition to filed pieces", "{number} additions to filed pieces", added))
    yield say_count(
        "{number} file in {source}: {what}. Nothing is written yet.",
        "{number} files in {source}: {what}. Nothing is written yet.",
        plan.looked_at,
        source=plan.source,
        what=", ".join(what),
    )
    for group in plan.groups:
        yield ""
        yield from group_lines(group)
    if plan.filed:
        yield ""
        yield say_count(
            "Filed already, so left out: {number} picture",
            "Filed already, so left out: {number} pictures",
            len(plan.filed),
        )
        yield from (f"  {_filed(one)}" for one in plan.filed)
    if plan.not_taken:
        yield ""
        yield say_count("Left out: {number} file", "Left out: {number} files", len(plan.not_taken))
        yield from (f"  {names}: {sentence}" for names, sentence in plan.not_taken_by_reason())


def group_lines(group: PlannedGroup) -> Iterator[str]:
    """Give one group: what it is, its pictures, what is asked."""
    yield f"{group.key}. {group.title}"
    yield f"   {group.summary}"
    longest = max((len(one.name) for one in group.pictures), default=0)
    for one in group.pictures:
        yield from _picture(one, min(longest, 40))
    for number, proposal in enumerate(group.proposals, 1):
        yield f"   {number}) {proposal.title} ({proposal.piece}): {' '.join(proposal.words)}"
    yield from (f"   ? {question}" for question in group.questions)


def _picture(one: PlannedPicture, longest: int) -> Iterator[str]:
    doubt = "?" if one.guess.is_doubtful else ""
    word = f"{say(WHAT_WORDS[one.guess.what])}{doubt}"
    yield f"   {one.name:<{longest}}  {word:<12} {one.guess.note}"
    yield f"   {'':<{longest}}  {one.guess.reason}"


def _filed(one: FiledAlready) -> str:
    day = f", {date_words(one.filed_on)}" if one.filed_on else ""
    return f"{one.picture.name}: {one.words} {one.title}, {one.place}{day} ({one.path})"
