"""Make the groups of a plan: names, stages, reasons, questions; from pictures that were sorted out already."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace

from archgen.intake.comparing.likeness import NewTwins
from archgen.intake.grouping import Bunch
from archgen.intake.names import file_name, free_name
from archgen.intake.plan import GroupKind, Guess, PieceProposal, PlannedGroup, PlannedPicture, What
from archgen.intake.reading.dates import weekday_words
from archgen.intake.reading.seen import SeenPicture
from archgen.intake.reading.sorting import guess_of
from archgen.intake.stages import stages_of, work_of_the_day
from archgen.languages.house import say, say_any
from archgen.picture_facts.facts import Role
from archgen.units import date_words


def what_alone(one: SeenPicture) -> What:
    """Say what a picture is by itself, a photo taken for a fresh one."""
    return {Role.PHOTO: What.FRESH, Role.STENCIL: What.STENCIL, Role.REFERENCE: What.REFERENCE}[one.sorted.role]


def planned_picture(
    one: SeenPicture, guess: Guess, taken: set[str], *, is_cover: bool = False, show: bool = True
) -> PlannedPicture:
    """Make a picture of the plan; `taken` are the names given in its group so far, and gets this one."""
    folder = guess.what.folder or "photos"
    name = file_name(
        one.name, one.look.file_format, {name.partition("/")[2] for name in taken if name.startswith(folder)}
    )
    taken.add(f"{folder}/{name}")
    is_stencil = guess.what is What.STENCIL
    return PlannedPicture(
        source=one.file.path,
        name=one.name,
        digest=one.digest,
        file_bytes=one.look.file_bytes,
        width=one.look.width,
        height=one.look.height,
        taken=one.look.taken,
        moment=one.moment,
        guess=guess,
        file=f"{folder}/{name}",
        small=one.look.small,
        dots_per_inch=one.look.origin.dots_per_inch if is_stencil else None,
        rights=one.look.rights,
        is_cover=is_cover,
        show=show,
        line_width_px=one.look.line_width_px if is_stencil else None,
    )


def planned_group(
    key: str, bunch: Bunch, proposals: tuple[PieceProposal, ...], twins: NewTwins, folders: set[str]
) -> PlannedGroup:
    """Make the group of a bunch; what its lines say belongs to a filed piece is offered there."""
    planned = tuple(_planned_all(bunch, twins))
    proposals = tuple(_weighed(one, bunch, twins) for one in proposals)
    day = _day(bunch, planned)
    first = proposals[0] if proposals else None
    if first is not None and _belongs_there(first, bunch, planned):
        return _addition(key, bunch, planned, proposals)
    name = f"{day.isoformat()}-new-piece" if day else "new-piece"
    return PlannedGroup(
        key=key,
        kind=GroupKind.NEW_PIECE,
        title=say("New piece, {day}", day=weekday_words(day)) if day else say("New piece"),
        folder=free_name(name, "", folders),
        day=day,
        pictures=planned,
        proposals=proposals,
        questions=tuple(_questions(bunch, proposals)),
    )


def _weighed(one: PieceProposal, bunch: Bunch, twins: NewTwins) -> PieceProposal:
    """Say of a proposal what speaks against it: a day of work months later is a new piece, or a touch-up."""
    if one.what is not What.HEALED:
        return one
    others = [picture for picture in bunch.pictures if not picture.is_photo]
    return replace(one, against=(*one.against, *work_of_the_day(bunch.photos, others, twins)))


def _belongs_there(first: PieceProposal, bunch: Bunch, planned: tuple[PlannedPicture, ...]) -> bool:
    """Say whether a group is offered to a filed piece: by its lines, or as the healed photo of a client's piece."""
    if first.against:
        return False
    photos = [one for one in planned if one.guess.what.stage]
    is_quiet = bool(photos) and all(one.guess.what is What.HEALED for one in photos)
    return first.by_lines or (is_quiet and first.what is What.HEALED and len(photos) == len(bunch.pictures))


def _addition(
    key: str, bunch: Bunch, planned: tuple[PlannedPicture, ...], proposals: tuple[PieceProposal, ...]
) -> PlannedGroup:
    first = proposals[0]
    pictures = tuple(_at_piece(one, first) if one.guess.what.stage else one for one in planned)
    titles = {
        What.HEALED: say("A healed photo for {title}", title=first.title),
        What.FRESH: say("A fresh photo for {title}", title=first.title),
        What.IN_PROGRESS: say("A photo in progress for {title}", title=first.title),
    }
    return PlannedGroup(
        key=key,
        kind=GroupKind.ADDITION,
        title=titles[first.what] if bunch.photos else say("A drawing for {title}", title=first.title),
        folder=first.piece,
        day=_day(bunch, planned),
        pictures=pictures,
        proposals=proposals,
        questions=(say("Does it belong to {title}?", title=first.title),),
    )


def _at_piece(one: PlannedPicture, first: PieceProposal) -> PlannedPicture:
    """Say of a photo what it would be at a filed piece, where it never is the cover by itself."""
    when = f", {date_words(one.moment.date())}" if one.moment else ""
    note = f"{say(first.what.value.replace('-', ' '))}{when}"
    reason = " ".join(first.reasons)
    instead = What.FRESH if first.what is What.HEALED else What.HEALED
    return replace(one, guess=Guess(first.what, note, reason, one.guess.is_doubtful, instead), is_cover=False)


def _planned_all(bunch: Bunch, twins: NewTwins) -> Iterator[PlannedPicture]:
    taken: set[str] = set()
    photos = bunch.photos
    staged = stages_of(photos, twins) if photos else {}
    others = sorted(
        (one for one in bunch.pictures if not one.is_photo),
        key=lambda one: (one.sorted.role.value != "stencil", one.name),
    )
    for one in (*photos, *others):
        if one.digest in staged:
            stage = staged[one.digest]
            doubt = stage.is_doubtful or one.sorted.sureness < 0.5
            tie = bunch.why.get(one.digest, "")
            parts = (stage.reason, f"{tie[:1].upper()}{tie[1:]}." if tie else "", one.sorted.reason if doubt else "")
            reason = " ".join(part for part in parts if part)
            guess = Guess(stage.what, stage.note, reason, doubt, stage.instead)
            yield planned_picture(one, guess, taken, is_cover=stage.is_cover, show=stage.show)
            continue
        guess = guess_of(one.sorted, what_alone(one))
        tie = bunch.why.get(one.digest, "")
        reason = f"{guess.reason.removesuffix('.')}; {tie}." if tie else guess.reason
        doubt = guess.is_doubtful or one.digest in bunch.doubtful
        yield planned_picture(one, Guess(guess.what, guess.note, reason, doubt, guess.instead), taken)


def _day(bunch: Bunch, planned: tuple[PlannedPicture, ...]) -> dt.date | None:
    """Give the last day of work, else the last day of any photo."""
    at_work = [one.moment.date() for one in planned if one.moment and one.guess.what in {What.IN_PROGRESS, What.FRESH}]
    return max(at_work, default=None) or max((one.day for one in bunch.photos if one.day), default=None)


def _questions(bunch: Bunch, proposals: tuple[PieceProposal, ...]) -> Iterator[str]:
    if not bunch.photos:
        yield say("Which piece do these belong to?")
        return
    yield say("What is it called?")
    if bunch.span is None:
        yield say("When was it done? The photos have no camera date.")
    if proposals:
        titles = say_any([one.title for one in proposals[:3]])
        yield say("Or does it belong to {titles}?", titles=titles)
