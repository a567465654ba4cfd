"""What `archgen client` says."""

from collections.abc import Iterator

from archgen.holdings.going import Going
from archgen.holdings.person import ClientRecords
from archgen.holdings.removal import RemovalPlan
from archgen.holdings.removal_words import NO_ADVICE, going_where, keeping_words, online_words
from archgen.packing.bundle import Bundle
from archgen.wording.counts import count_words


def bundle_lines(made: Bundle) -> Iterator[str]:
    """Say what is in a bundle and what is not."""
    held = made.held
    photos = sum(len(piece.photos) for piece in held.pieces)
    papers = sum(len(piece.papers) for piece in held.pieces)
    parts = [count_words(len(held.pieces), "piece"), count_words(photos, "photo")]
    parts += [count_words(papers, "paper")] if papers else []
    yield f"{held.code}: {', '.join(parts)}"
    if held.left_out:
        sentences = count_words(held.left_out, "sentence")
        yield f"{sentences} about somebody else left out and marked. Read the page before you hand it over."
    for path in made.missing:
        yield f"Not in it, because it can't be read: {path}"


def removal_lines(person: ClientRecords, plan: RemovalPlan) -> Iterator[str]:
    """Say what would go, what may have to stay, and what is to be taken down."""
    yield f"If {person.code} asks to be forgotten"
    yield from _group("Would go", [f"{number} {going_line(one)}" for number, one in enumerate(plan.going, 1)])
    yield from _group("Only you can change, by hand", list(plan.by_hand))
    yield from _group("May have to stay for a time", [keeping_words(one, plan.years) for one in plan.keeping])
    yield from _group("To be taken down", [online_words(title) for title in plan.online])
    yield ""
    yield NO_ADVICE
    yield "With --carry-out you say yes or no to each, and nothing else goes."


def _group(title: str, lines: list[str]) -> Iterator[str]:
    if lines:
        yield ""
        yield f"{title}:"
        yield from (f"  {line}" for line in lines)


def going_line(one: Going) -> str:
    """Say what would go and why to think twice about it."""
    shown = f" (“{one.shown}”)" if one.shown else ""
    care = f" TAKE CARE: {one.care}" if one.care else ""
    return f"{going_where(one)}: {one.what}{shown}{care}"
