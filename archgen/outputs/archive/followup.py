"""The follow-up page: what is due, by what to do, and what had to leave the portfolio."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from archgen.config import Limits
from archgen.outputs.archive.context import Context, Site
from archgen.outputs.sheets.calendar import FILE
from archgen.pieces.followup import Due, DueKind, DueState
from archgen.publication.withdrawals import find_withdrawals
from archgen.wording.pieces import Mark, day_words

# Long past healed photos of a large archive; each stands on its piece's page too.
MOST_PAST = 20
_GROUPS = (
    (DueKind.HEALED_PHOTO, "Photos of healed pieces", "Every healed piece has its photo."),
    (DueKind.TOUCH_UP, "Touch-ups", "No touch-up is waiting."),
    (DueKind.RELEASE, "Photo releases to ask for", "Nobody has to be asked."),
)
_MARKS = {
    DueState.CLOSING: Mark("check-stop", "Closing", asks=True),
    DueState.OPEN: Mark("check-ask", "Now", asks=True),
    DueState.SOON: Mark("check-note", "Soon"),
    DueState.LATER: Mark("check-note", "Later"),
    DueState.PAST: Mark("check-note", "Long past"),
}
_OVERDUE = Mark("check-ask", "Overdue", asks=True)


@dataclass(frozen=True, slots=True)
class DueRow:
    """One thing to do."""

    mark: Mark
    words: str
    title: str
    href: str
    client: str
    client_href: str
    opens: str
    closes: str


@dataclass(frozen=True, slots=True)
class DueGroup:
    """Things of one kind; left_out are long past and not written out."""

    name: str
    nothing: str
    rows: tuple[DueRow, ...]
    left_out: int


@dataclass(frozen=True, slots=True)
class RemovedRow:
    """A piece that had to leave the portfolio."""

    title: str
    href: str
    reason: str
    since: str


@dataclass(frozen=True, slots=True)
class FollowUpView:
    """The page.

    Attributes:
        now: How many things are to be done now.
        limits: The day counts, label and days, and whether each is the default.
    """

    site: Site
    now: int
    groups: tuple[DueGroup, ...]
    removed: tuple[RemovedRow, ...]
    limits: tuple[tuple[str, str, bool], ...]
    calendar: str


def followup_view(context: Context, items: Sequence[Due]) -> FollowUpView:
    """Make the page."""
    return FollowUpView(
        site=context.site,
        now=due_now(items),
        groups=tuple(
            _group(context, [item for item in items if item.kind is kind], name, nothing)
            for kind, name, nothing in _GROUPS
        ),
        removed=tuple(
            RemovedRow(
                removal.title, context.piece_pages[removal.piece], removal.reason, day_words(removal.since) or ""
            )
            for removal in find_withdrawals(context.catalogue)
        ),
        limits=tuple(_limits(context.catalogue.config.limits)),
        calendar=FILE,
    )


def due_now(items: Sequence[Due]) -> int:
    """Count what is to be done now."""
    return sum(item.is_now for item in items)


def _group(context: Context, items: Sequence[Due], name: str, nothing: str) -> DueGroup:
    past = [item for item in items if item.state is DueState.PAST]
    written = [item for item in items if item.state is not DueState.PAST] + past[:MOST_PAST]
    return DueGroup(name, nothing, tuple(_row(context, item) for item in written), max(len(past) - MOST_PAST, 0))


def _row(context: Context, item: Due) -> DueRow:
    return DueRow(
        mark=_OVERDUE if item.is_now and item.state is DueState.PAST else _MARKS[item.state],
        # What the group's name says already is left out.
        words=item.words if item.is_wanted else "",
        title=item.piece.title,
        href=context.piece_pages[item.piece.id],
        client=item.client or "",
        client_href=context.client_pages[item.client] if item.client else "",
        opens=day_words(item.opens) or "",
        closes=day_words(item.closes) or "",
    )


def _limits(limits: Limits) -> Iterator[tuple[str, str, bool]]:
    usual = Limits()
    yield "Healed photo", f"from day {limits.healed_after_days}", limits.healed_after_days == usual.healed_after_days
    window = (limits.touch_up_from_days, limits.touch_up_until_days)
    is_default = window == (usual.touch_up_from_days, usual.touch_up_until_days)
    yield "Touch-up", f"day {window[0]} to {window[1]}", is_default
