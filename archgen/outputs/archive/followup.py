"""The follow-up page: what is due, by what to do, and what had to leave the portfolio."""

from collections.abc import Iterator

from archgen.config import Limits
from archgen.languages.house import say, to_say
from archgen.outputs.archive.context import Context, Site
from archgen.outputs.sheets.calendar import FILE
from archgen.pieces.followup import Due, DueKind, DueState, due_now
from archgen.publication.withdrawals import find_withdrawals
from archgen.values.frozen import Value
from archgen.wording.followup import DUE_TITLES, due_mark, due_words
from archgen.wording.pieces import Mark, day_words

# Long past healed photos of a large archive; each stands on its piece's page too.
MOST_PAST = 20
_NOTHING = {
    DueKind.HEALED_PHOTO: to_say("Every healed piece has its photo."),
    DueKind.TOUCH_UP: to_say("No touch-up is waiting."),
    DueKind.RELEASE: to_say("Nobody has to be asked."),
}


class DueRow(Value, frozen=True):
    """One thing to do."""

    mark: Mark
    words: str
    title: str
    href: str
    client: str
    client_href: str
    opens: str
    closes: str


class DueGroup(Value, frozen=True):
    """Things of one kind; left_out are long past and not written out."""

    name: str
    nothing: str
    rows: tuple[DueRow, ...]
    left_out: int


class RemovedRow(Value, frozen=True):
    """A piece that had to leave the portfolio."""

    title: str
    href: str
    reason: str
    since: str
    is_there: bool


class FollowUpView(Value, frozen=True):
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


def followup_view(context: Context) -> FollowUpView:
    """Make the page."""
    return FollowUpView(
        site=context.site,
        now=due_now(context.due),
        groups=tuple(_group(context, kind, say(name)) for kind, name in DUE_TITLES.items()),
        removed=tuple(
            RemovedRow(
                removal.title,
                context.piece_pages[removal.piece],
                removal.reason,
                day_words(removal.since) or say("Date not recorded"),
                removal.is_there is True,
            )
            for removal in find_withdrawals(context.catalogue, context.catalogue.publications)
        ),
        limits=tuple(_limits(context.catalogue.config.limits)),
        calendar=FILE,
    )


def _group(context: Context, kind: DueKind, name: str) -> DueGroup:
    items = [item for item in context.due if item.kind is kind]
    past = [item for item in items if item.state is DueState.PAST]
    written = [item for item in items if item.state is not DueState.PAST] + past[:MOST_PAST]
    rows = tuple(_row(context, item) for item in written)
    return DueGroup(name, say(_NOTHING[kind]), rows, max(len(past) - MOST_PAST, 0))


def _row(context: Context, item: Due) -> DueRow:
    return DueRow(
        mark=due_mark(item),
        # What the group's name says already is left out.
        words=due_words(item, context.catalogue.built_on) if item.is_wanted else "",
        title=context.overviews[item.piece_id].title,
        href=context.piece_pages[item.piece_id],
        client=item.client or "",
        client_href=context.client_pages[item.client] if item.client else "",
        opens=day_words(item.opens) or "",
        closes=day_words(item.closes) or "",
    )


def _limits(limits: Limits) -> Iterator[tuple[str, str, bool]]:
    is_default = limits.healed_after_days == Limits().healed_after_days
    yield (
        say("Healed photo"),
        say("from day {healed_after_days}", healed_after_days=limits.healed_after_days),
        is_default,
    )
    window = say(
        "day {touch_up_from_days} to {touch_up_until_days}",
        touch_up_from_days=limits.touch_up_from_days,
        touch_up_until_days=limits.touch_up_until_days,
    )
    yield say("Touch-up"), window, limits.has_usual_touch_up_days
