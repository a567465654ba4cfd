"""What the inbox page shows: the groups with guesses and reasons, one picture closer, what is filed already."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

from archgen.catalogue import Catalogue
from archgen.desk.inbox.waiting import InboxState
from archgen.desk.state import DeskState
from archgen.intake.plan import FiledAlready, GroupKind, PieceProposal, PlannedGroup, PlannedPicture, What
from archgen.intake.reading.dates import near_day_words
from archgen.languages.house import say, say_count, to_say
from archgen.outputs.archive.context import Context, Site
from archgen.outputs.site_pages import PagePicture, picture
from archgen.picture_facts.facts import Role
from archgen.picture_facts.photo_days import taken_on
from archgen.publication.public_catalogue import stage_words
from archgen.units import date_words

WHAT_WORDS = {
    What.IN_PROGRESS: to_say("In progress"),
    What.FRESH: to_say("Fresh"),
    What.HEALED: to_say("Healed"),
    What.STENCIL: to_say("Stencil"),
    What.REFERENCE: to_say("Reference"),
    What.OUT: to_say("Leave it out"),
}
# Columns of the phone, after whose rows the picture that is looked at opens.
_ROW = 3


@dataclass(frozen=True, slots=True)
class ShotView:
    """A picture of a group; `closer` is the picture to be opened after its row."""

    key: str
    src: str
    name: str
    width: int
    height: int
    is_stencil: bool
    what: What
    words: str
    note: str
    is_doubtful: bool
    instead: What
    instead_words: str
    is_changed: bool
    is_looked_at: bool
    opens_after: bool


@dataclass(frozen=True, slots=True)
class CloserView:
    """One picture closer: what it may be, where it may belong."""

    shot: ShotView
    group: str
    taken: str
    why: str
    kinds: tuple[tuple[str, str, bool], ...]
    places: tuple[tuple[str, str, bool], ...]


@dataclass(frozen=True, slots=True)
class ProposedView:
    """A filed piece that a group may belong to."""

    piece: str
    title: str
    href: str
    what: What
    words: str
    reasons: tuple[str, ...]
    beside: PagePicture | None
    beside_words: str
    new_words: str


@dataclass(frozen=True, slots=True)
class GroupView:
    """A group with its pictures; an addition is proposed for a filed piece."""

    key: str
    title: str
    summary: str
    shots: tuple[ShotView, ...]
    proposals: tuple[ProposedView, ...]
    day: str
    is_addition: bool


@dataclass(frozen=True, slots=True)
class FiledView:
    """A picture that is in the archive."""

    key: str
    src: str
    name: str
    words: str
    title: str
    href: str
    place: str
    filed_on: str
    can_be_kept: bool


@dataclass(frozen=True, slots=True)
class InboxView:
    """The whole page."""

    site: Site
    head: str
    groups: tuple[GroupView, ...]
    filed: tuple[FiledView, ...]
    not_taken: tuple[tuple[str, str], ...]
    not_taken_count: int
    closer: CloserView | None
    is_planning: bool
    trouble: str
    said: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class HomePens:
    """What the home page says of the inbox."""

    waiting: str
    words: str
    is_planning: bool


def home_pens(state: DeskState, _path: str) -> HomePens:
    """Say in two lines what waits."""
    inbox = state.inbox
    if inbox is None:
        return HomePens("", "", is_planning=False)
    inbox.look()
    groups, filed = inbox.groups(), inbox.filed_already()
    new = sum(group.kind is GroupKind.NEW_PIECE for group in groups)
    known = len(groups) - new
    more = [
        say_count("{number} new piece", "{number} new pieces", new) if new else "",
        say_count("{number} photo for filed pieces", "{number} photos for filed pieces", known) if known else "",
        say("{number} filed already", number=len(filed)) if filed else "",
    ]
    words = ", ".join(part for part in more if part)
    count = sum(len(group.pictures) for group in groups) + len(filed)
    waiting = say_count("{number} picture in the inbox", "{number} pictures in the inbox", count) if count else ""
    return HomePens(waiting, f"{words[:1].upper()}{words[1:]}." if words else "", inbox.is_planning)


def inbox_view(inbox: InboxState, context: Context, looked_at: str = "", said: tuple[str, ...] = ()) -> InboxView:
    """Make the page; `looked_at` is the key of the picture to be seen closer, by default a doubtful one."""
    groups = inbox.groups()
    pictures = [one for group in groups for one in group.pictures]
    doubtful = next((one.key for one in pictures if one.guess.is_doubtful), "")
    shown = next(
        (one.key for one in pictures if one.key == looked_at), doubtful or (pictures[0].key if pictures else "")
    )
    views = tuple(_group(group, inbox, context, shown, opened=looked_at == shown) for group in groups)
    filed = tuple(_filed(one, context) for one in inbox.filed_already())
    return InboxView(
        site=context.site,
        head=_head(len(pictures) + len(filed), is_planning=inbox.is_planning),
        groups=views,
        filed=filed,
        not_taken=inbox.plan.not_taken_by_reason(),
        not_taken_count=len(inbox.plan.not_taken),
        closer=_closer(groups, views, shown),
        is_planning=inbox.is_planning,
        trouble=inbox.trouble,
        said=said,
    )


def _head(count: int, *, is_planning: bool) -> str:
    if is_planning:
        return say("Looking at the pictures. Nothing is written yet.")
    if not count:
        return say("Nothing waits here.")
    return say_count("{number} picture. Nothing is written yet.", "{number} pictures. Nothing is written yet.", count)


def _group(group: PlannedGroup, inbox: InboxState, context: Context, shown: str, *, opened: bool) -> GroupView:
    places = {picture.key: place for place, picture in enumerate(group.pictures)}
    row_end = -1
    if opened and shown in places:
        row_end = min((places[shown] // _ROW + 1) * _ROW, len(group.pictures)) - 1
    shots = tuple(
        _shot(picture, inbox, is_looked_at=picture.key == shown, opens_after=place == row_end)
        for place, picture in enumerate(group.pictures)
    )
    proposals = () if group.key in inbox.said.not_there else tuple(_proposals(group, context))
    is_addition = bool(proposals) and group.kind is GroupKind.ADDITION and not _is_whole_piece(group)
    return GroupView(
        key=group.key,
        title=group.title if is_addition else _new_title(group, context.catalogue.built_on),
        summary=group.summary,
        shots=shots,
        proposals=proposals,
        day=date_words(group.day) if group.day else "",
        is_addition=is_addition,
    )


def _is_whole_piece(group: PlannedGroup) -> bool:
    """Say whether the pictures show a piece from its beginning: then it is new, whatever it looks like."""
    return any(one.guess.what in _OF_A_BEGINNING for one in group.filed)


_OF_A_BEGINNING = frozenset((What.IN_PROGRESS, What.STENCIL, What.REFERENCE))


def _new_title(group: PlannedGroup, today: dt.date) -> str:
    return say("A new piece, {day}", day=near_day_words(group.day, today)) if group.day else say("A new piece")


def _shot(one: PlannedPicture, inbox: InboxState, *, is_looked_at: bool, opens_after: bool) -> ShotView:
    guess = one.guess
    return ShotView(
        key=one.key,
        src=f"inbox/img/{one.small.blob}",
        name=one.name.rpartition("/")[2],
        width=one.small.width,
        height=one.small.height,
        is_stencil=guess.what.role is Role.STENCIL,
        what=guess.what,
        words=say("Left out") if guess.what is What.OUT else say(WHAT_WORDS[guess.what]),
        note=guess.note,
        is_doubtful=guess.is_doubtful,
        instead=guess.instead,
        instead_words=_instead(guess.instead),
        is_changed=one.key in inbox.said.what,
        is_looked_at=is_looked_at,
        opens_after=opens_after,
    )


def _instead(what: What) -> str:
    words = say(WHAT_WORDS[what])
    return words if what is What.OUT else say("{what} instead", what=words)


def _proposals(group: PlannedGroup, context: Context) -> Iterator[ProposedView]:
    for proposal in group.proposals:
        if proposal.piece in context.piece_pages:
            yield ProposedView(
                piece=proposal.piece,
                title=proposal.title,
                href=context.piece_pages[proposal.piece],
                what=proposal.what,
                words=_proposal_words(proposal),
                reasons=proposal.words,
                beside=_beside(proposal, context.catalogue),
                beside_words=_beside_words(proposal, context),
                new_words=_new_words(group, proposal),
            )


def _proposal_words(proposal: PieceProposal) -> str:
    day = say("Day {day}", day=proposal.day) if proposal.day is not None else ""
    lines = say("the same drawing") if proposal.by_lines else ""
    found = ", ".join(part for part in (day, lines) if part)
    against = say("Against it: {reasons}.", reasons=", ".join(proposal.against)) if proposal.against else ""
    return ". ".join(part for part in (found, against) if part)


def _beside(proposal: PieceProposal, catalogue: Catalogue) -> PagePicture | None:
    facts = catalogue.facts.get(proposal.beside or "")
    return picture(facts.screen, say("In the archive"), wanted_px=400) if facts else None


def _beside_words(proposal: PieceProposal, context: Context) -> str:
    piece = context.catalogue.piece_at(proposal.beside or "")
    if piece is None or piece.record is None:
        return ""
    photo = next((one for one in piece.record.photo if f"{piece.folder}/{one.file}" == proposal.beside), None)
    facts = context.catalogue.facts.get(proposal.beside or "")
    day = taken_on(photo, facts)
    stage = stage_words(photo.stage) if photo and photo.stage else ""
    return ", ".join(part for part in (stage, date_words(day) if day else "") if part)


def _new_words(group: PlannedGroup, proposal: PieceProposal) -> str:
    day = date_words(group.day) if group.day else ""
    return ", ".join(
        part for part in (day, say("day {day}", day=proposal.day) if proposal.day is not None else "") if part
    )


def _closer(groups: tuple[PlannedGroup, ...], views: tuple[GroupView, ...], key: str) -> CloserView | None:
    for group, view in zip(groups, views, strict=True):
        for planned, shot in zip(group.pictures, view.shots, strict=True):
            if shot.key == key:
                places = [
                    (
                        one.key,
                        one.title.removeprefix(say("New piece, {day}", day="")) or say("New piece"),
                        one.key == group.key,
                    )
                    for one in groups
                ]
                places.append(("own", say("Its own piece"), False))
                return CloserView(
                    shot=shot,
                    group=group.key,
                    taken=f"{date_words(planned.taken)}, {planned.taken:%H:%M}"
                    if planned.taken
                    else say("no camera date"),
                    why=planned.guess.reason,
                    kinds=tuple(
                        (what.value, say(words), what is planned.guess.what) for what, words in WHAT_WORDS.items()
                    ),
                    places=tuple(places),
                )
    return None


def _place_words(group: PlannedGroup) -> str:
    """Name a group among all that a picture may belong to: a new piece by its day alone."""
    return group.title.removeprefix(say("New piece, {day}", day="")) or say("New piece")


def _filed(one: FiledAlready, context: Context) -> FiledView:
    return FiledView(
        key=one.picture.key,
        src=f"inbox/img/{one.picture.small.blob}",
        name=one.picture.name.rpartition("/")[2],
        words=one.words,
        title=one.title,
        href=context.piece_pages.get(one.piece, "index.html"),
        place=one.place,
        filed_on=date_words(one.filed_on) if one.filed_on else "",
        can_be_kept=not one.is_same_file,
    )
