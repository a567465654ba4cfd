"""Work out the whole plan of an intake: read, sort, compare, gather, propose; nothing is written."""

import datetime as dt
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from archgen.catalogue import Catalogue
from archgen.intake.already import filed_already
from archgen.intake.answers import letters
from archgen.intake.dates import span_words, weekday_words
from archgen.intake.grouping import Bunch, gather_pieces
from archgen.intake.likeness import NewTwins, compare_with_archive
from archgen.intake.look import Unreadable, look_at_all
from archgen.intake.names import file_name, free_name
from archgen.intake.plan import (
    FiledAlready,
    GroupKind,
    Guess,
    IntakePlan,
    NotTaken,
    PlannedGroup,
    PlannedPicture,
    What,
)
from archgen.intake.seen import SeenPicture, moment_of
from archgen.intake.sorting import guess_of, sort_picture
from archgen.intake.sources import Gathered
from archgen.intake.stages import stages_of
from archgen.picture_facts.facts import Role
from archgen.progress import ProgressReporter
from archgen.storage.cache import Cache
from archgen.wording.counts import count_words

# Under this chroma a picture is black and white.
_GRAY = 2.0


@dataclass(frozen=True, slots=True)
class IntakeTools:
    """What an intake works with.

    Attributes:
        catalogue: The archive with its picture facts.
        archive: The cache those facts name blobs of.
        cache: The intake's own.
        client: The code of the client whose pictures these are, when somebody said so.
    """

    catalogue: Catalogue
    archive: Cache
    cache: Cache
    workers: int
    progress: ProgressReporter
    client: str | None = None


def propose_intake(gathered: Gathered, tools: IntakeTools) -> IntakePlan:
    """Work out the plan for what was gathered."""
    not_taken = list(gathered.not_taken)
    pictures = list(_seen(gathered, tools, not_taken))
    likeness = compare_with_archive(pictures, tools.catalogue, tools.archive, tools.cache, tools.progress)
    filed = list(_filed(pictures, likeness, tools.catalogue))
    left_out = {one.picture.digest for one in filed}
    bunches = gather_pieces(
        [one for one in pictures if one.digest not in left_out], likeness, lambda _one, _other: None
    )
    folders = {piece.id for piece in tools.catalogue.pieces}
    groups: list[PlannedGroup] = []
    for number, bunch in enumerate(bunches):
        group = _new_piece(letters(number), bunch, likeness, folders)
        folders.add(group.folder)
        groups.append(group)
    return IntakePlan(gathered.words, gathered.looked_at, tuple(groups), tuple(filed), tuple(not_taken))


def _seen(gathered: Gathered, tools: IntakeTools, not_taken: list[NotTaken]) -> Iterator[SeenPicture]:
    """Read and sort all files; what is damaged or there twice is told."""
    looks = look_at_all([file.path for file in gathered.files], tools.cache, tools.workers, tools.progress)
    first: dict[str, str] = {}
    for file in gathered.files:
        look = looks[file.path]
        if isinstance(look, Unreadable):
            not_taken.append(NotTaken(file.name, look.sentence))
        elif look.digest in first:
            not_taken.append(NotTaken(file.name, f"The same file as {first[look.digest]}, so one of them is enough."))
        else:
            first[look.digest] = file.name
            yield SeenPicture(file, look, sort_picture(look, file.name), moment_of(look, file.name))


def _filed(pictures: Iterable[SeenPicture], likeness: NewTwins, catalogue: Catalogue) -> Iterator[FiledAlready]:
    for one in pictures:
        twin = next((twin for twin in likeness.filed.get(one.digest, ()) if twin.is_copy), None)
        if twin is not None:
            guess = guess_of(one.sorted, _what(one))
            is_gray = one.look.measures.chroma < _GRAY
            yield filed_already(_planned(one, guess, set()), twin, catalogue, is_gray=is_gray)


def _what(one: SeenPicture) -> What:
    return {Role.PHOTO: What.FRESH, Role.STENCIL: What.STENCIL, Role.REFERENCE: What.REFERENCE}[one.sorted.role]


def _planned(
    one: SeenPicture, guess: Guess, taken: set[str], *, is_cover: bool = False, show: bool = True
) -> PlannedPicture:
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


def _new_piece(key: str, bunch: Bunch, likeness: NewTwins, folders: set[str]) -> PlannedGroup:
    planned = tuple(_planned_all(bunch, likeness))
    day = _day(bunch)
    name = f"{day.isoformat()}-new-piece" if day else "new-piece"
    return PlannedGroup(
        key=key,
        kind=GroupKind.NEW_PIECE,
        title=f"New piece, {weekday_words(day)}" if day else "New piece",
        summary=_summary(bunch),
        folder=free_name(name, "", folders),
        day=day,
        pictures=planned,
        questions=tuple(_questions(bunch)),
    )


def _planned_all(bunch: Bunch, likeness: NewTwins) -> Iterator[PlannedPicture]:
    taken: set[str] = set()
    photos = bunch.photos
    staged = stages_of(photos, likeness) if photos else {}
    others = sorted(
        (one for one in bunch.pictures if not one.is_photo),
        key=lambda one: (one.sorted.role.value != "stencil", one.name),
    )
    for one in (*photos, *others):
        if one.digest in staged:
            stage = staged[one.digest]
            doubt = stage.is_doubtful or one.sorted.sureness < 0.5
            reason = " ".join(part for part in (stage.reason, one.sorted.reason if doubt else "") if part)
            guess = Guess(stage.what, stage.note, reason, doubt, stage.instead)
            yield _planned(one, guess, taken, is_cover=stage.is_cover, show=stage.show)
            continue
        guess = guess_of(one.sorted, _what(one))
        tie = bunch.why.get(one.digest)
        reason = f"{guess.reason.removesuffix('.')}; {tie}." if tie else guess.reason
        doubt = guess.is_doubtful or one.digest in bunch.doubtful
        yield _planned(one, Guess(guess.what, guess.note, reason, doubt, guess.instead), taken)


def _day(bunch: Bunch) -> dt.date | None:
    if bunch.span:
        return bunch.span[1].date()
    return max((one.day for one in bunch.photos if one.day), default=None)


def _summary(bunch: Bunch) -> str:
    count = count_words(len(bunch.pictures), "picture")
    if not bunch.photos:
        return f"{count}, no photo of a piece among them."
    if bunch.span and bunch.span[1] - bunch.span[0] >= dt.timedelta(minutes=1):
        return f"{count}, taken within {span_words(bunch.span[1] - bunch.span[0])}."
    return f"{count}."


def _questions(bunch: Bunch) -> Iterator[str]:
    yield "What is it called?"
    if not bunch.photos:
        yield "Which piece do these belong to?"
    elif bunch.span is None:
        yield "When was it done? The photos have no camera date."
