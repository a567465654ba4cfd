"""What `archgen client` says."""

from collections.abc import Iterator

from archgen.holdings.going import Going
from archgen.holdings.person import ClientRecords
from archgen.holdings.removal import RemovalPlan
from archgen.holdings.removal_words import NO_ADVICE, keeping_words, online_words
from archgen.languages.house import say, say_count
from archgen.packing.bundle import Bundle


def bundle_lines(made: Bundle) -> Iterator[str]:
    """Say what is in a bundle and what is not."""
    held = made.held
    photos = sum(len(piece.photos) for piece in held.pieces)
    papers = sum(len(piece.papers) for piece in held.pieces)
    parts = [
        say_count("{number} piece", "{number} pieces", len(held.pieces)),
        say_count("{number} photo", "{number} photos", photos),
    ]
    parts += [say_count("{number} paper", "{number} papers", papers)] if papers else []
    yield f"{held.code}: {', '.join(parts)}"
    if held.left_out:
        yield say_count(
            "{number} sentence about somebody else left out and marked. Read the page before you hand it over.",
            "{number} sentences about somebody else left out and marked. Read the page before you hand it over.",
            held.left_out,
        )
    for path in made.missing:
        yield say("Not in it, because it can't be read: {path}", path=path)


def removal_lines(person: ClientRecords, plan: RemovalPlan) -> Iterator[str]:
    """Say what would go, what may have to stay, and what is to be taken down."""
    yield say("If {code} asks to be forgotten", code=person.code)
    yield from _group(say("Would go"), [f"{number} {going_line(one)}" for number, one in enumerate(plan.going, 1)])
    yield from _group(say("Only you can change, by hand"), list(plan.by_hand))
    yield from _group(say("May have to stay for a time"), [keeping_words(one, plan.years) for one in plan.keeping])
    yield from _group(say("To be taken down"), [online_words(title) for title in plan.online])
    yield ""
    yield say(NO_ADVICE)
    yield say("With --carry-out you say yes or no to each, and nothing else goes.")


def _group(title: str, lines: list[str]) -> Iterator[str]:
    if lines:
        yield ""
        yield f"{title}:"
        yield from (f"  {line}" for line in lines)


def going_line(one: Going) -> str:
    """Say what would go and why to think twice about it."""
    what = say("{what} (“{words}”)", what=one.what, words=one.shown) if one.shown else one.what
    care = f" {say('TAKE CARE: {care}', care=one.care)}" if one.care else ""
    return f"{one.where}: {what}{care}"
