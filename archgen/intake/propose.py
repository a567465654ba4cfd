"""Work out the whole plan of an intake: read, sort, compare, gather, propose; nothing is written."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from archgen.catalogue import Catalogue
from archgen.intake.answers import letters
from archgen.intake.clocks import one_clock
from archgen.intake.comparing.already import filed_already
from archgen.intake.comparing.drawings import Drawings, is_next_client
from archgen.intake.comparing.filed_lines import FiledLines, filed_lines, filed_photos
from archgen.intake.comparing.likeness import NewTwins, compare_with_archive
from archgen.intake.comparing.proposals import MOST, NewPhotos, clients_named, propose_pieces
from archgen.intake.grouping import Bunch, gather_pieces
from archgen.intake.groups import planned_group, planned_picture, what_alone
from archgen.intake.plan import FiledAlready, IntakePlan, NotTaken, PieceProposal, PlannedGroup, What
from archgen.intake.reading.look import Unreadable, look_at_all
from archgen.intake.reading.seen import SeenPicture, moment_of
from archgen.intake.reading.sorting import guess_of, sort_picture
from archgen.intake.sources import Gathered
from archgen.intake.stages import work_of_the_day
from archgen.languages.house import say, to_say
from archgen.picture_facts.facts import Role
from archgen.progress import ProgressReporter
from archgen.storage.cache import Cache

# More new pieces at once are not compared with each other: each pair takes some milliseconds.
MOST_COMPARED = 150
# What is said of drawn files that are not line drawings: references are pictures.
_DRAWN = {
    "PDF": to_say(
        "This PDF isn't a line drawing. Put letters beside their reference yourself, or save a picture as PNG."
    ),
    "SVG": to_say("This SVG isn't a line drawing. Save it as PNG to file it as a reference."),
}
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
    twins = compare_with_archive(pictures, tools.catalogue, tools.archive, tools.cache, tools.progress)
    filed = list(_filed(pictures, twins, tools.catalogue))
    left_out = {one.picture.digest for one in filed}
    left = [one for one in pictures if one.digest not in left_out]
    drawings = Drawings(left, tools.cache, tools.workers, tools.progress)
    finder = _Finder(tools, twins, drawings)
    folders = {piece.id for piece in tools.catalogue.pieces}
    groups: list[PlannedGroup] = []
    for bunch, proposals in finder.sorted_out(gather_pieces(left, twins, drawings.tie)):
        group = planned_group(letters(len(groups)), bunch, proposals, twins, folders)
        folders.add(group.folder)
        groups.append(group)
    return IntakePlan(gathered.words, gathered.looked_at, tuple(groups), tuple(filed), tuple(not_taken))


@dataclass(frozen=True, slots=True)
class _Finder:
    """Looks where photos of a bunch belong that are of a filed piece."""

    tools: IntakeTools
    twins: NewTwins
    drawings: Drawings

    def sorted_out(self, bunches: Sequence[Bunch]) -> Iterator[tuple[Bunch, tuple[PieceProposal, ...]]]:
        """Give bunches that are one piece each, with the filed pieces each may belong to."""
        tools = self.tools
        has_photos = any(bunch.photos for bunch in bunches)
        filed = (
            filed_lines(filed_photos(tools.catalogue, tools.archive), tools.cache, tools.workers, tools.progress)
            if has_photos
            else FiledLines([], [])
        )
        timed = [one_clock(bunch, self.twins) for bunch in bunches]
        parts = [part for bunch in self._next_clients(timed) for part in self._parts(bunch, filed)]
        new = [part for part in parts if self._is_new(*part)]
        yield from (part for part in parts if part not in new)
        yield from self._of_several_days(new)

    def _is_new(self, bunch: Bunch, proposals: tuple[PieceProposal, ...]) -> bool:
        if not any(one.by_lines for one in proposals):
            return True
        others = (one for one in bunch.pictures if not one.is_photo)
        return bool(proposals[0].against) or self._is_done_again(bunch.photos, proposals[0], others)

    def _next_clients(self, bunches: Sequence[Bunch]) -> Iterator[Bunch]:
        """Part what is plainly two drawings, one after the other; pictures without a tie stay with the first."""
        for bunch in bunches:
            runs: list[list[SeenPicture]] = []
            for part in self.drawings.split(bunch) if bunch.photos else []:
                near = next((run for run in runs if not is_next_client(run, part) or len(part) == 1), None)
                if near is None:
                    runs.append(list(part))
                else:
                    near += part
            others = [one for one in bunch.pictures if not one.is_photo]
            for run in runs[1:]:
                mine = self._on(run, others)
                others = [one for one in others if one not in mine]
                yield Bunch([*run, *mine], bunch.why, bunch.doubtful)
            if others or runs:
                yield Bunch([*(runs[0] if runs else []), *others], bunch.why, bunch.doubtful)

    def _parts(self, bunch: Bunch, filed: FiledLines) -> Iterator[tuple[Bunch, tuple[PieceProposal, ...]]]:
        """Take out of a bunch the photos that belong to a filed piece by their lines."""
        others = [one for one in bunch.pictures if not one.is_photo]
        parts = [(part, self._proposals(bunch, part, filed)) for part in self.drawings.split(bunch)]
        again = {
            proposals[0].piece
            for part, proposals in parts
            if proposals
            and self._is_done_again(part, proposals[0], others if len(parts) == 1 else self._on(part, others))
        }
        rest: list[SeenPicture] = []
        taken: list[tuple[Bunch, tuple[PieceProposal, ...]]] = []
        offered: tuple[PieceProposal, ...] = ()
        for part, proposals in parts:
            if any(one.by_lines for one in proposals) and proposals[0].piece not in again:
                taken.append((Bunch(list(part), bunch.why, bunch.doubtful), proposals))
            else:
                rest += part
                is_again = bool(proposals) and proposals[0].piece in again
                offered = proposals if is_again else offered or proposals
        if len(taken) == 1 and not rest:
            taken[0][0].pictures += others
        elif rest or others:
            offered = offered if rest else self._proposals(bunch, others, filed)
            taken.append((Bunch(rest + others, bunch.why, bunch.doubtful), offered))
        yield from taken

    def _is_done_again(
        self, photos: Sequence[SeenPicture], first: PieceProposal, others: Iterable[SeenPicture]
    ) -> bool:
        """Say whether photos with a filed piece's lines show new work: then they stay with all else of that day."""
        is_later = first.by_lines and first.what is What.HEALED
        return is_later and bool(work_of_the_day(photos, others, self.twins))

    def _on(self, photos: Sequence[SeenPicture], others: Iterable[SeenPicture]) -> list[SeenPicture]:
        """Give the stencils whose lines are on photos."""
        return [one for one in others if any(self.drawings.tie(one, photo) for photo in photos)]

    def _of_several_days(
        self, parts: Sequence[tuple[Bunch, tuple[PieceProposal, ...]]]
    ) -> Iterator[tuple[Bunch, tuple[PieceProposal, ...]]]:
        """Put together what was photographed on several days and shows one drawing."""
        left = list(parts)
        if len(left) > MOST_COMPARED:
            yield from left
            return
        while left:
            bunch, proposals = left.pop(0)
            for later in list(left):
                if self.drawings.is_one(bunch.photos, later[0].photos) and not self._have_own_stencils(bunch, later[0]):
                    left.remove(later)
                    bunch.pictures += later[0].pictures
                    bunch.why.update(later[0].why)
                    bunch.doubtful |= later[0].doubtful
                    proposals = proposals or later[1]
            yield bunch, proposals

    def _have_own_stencils(self, bunch: Bunch, later: Bunch) -> bool:
        """Say whether both days have stencils that are no forms of each other: then they are two works."""
        ours, theirs = ([one for one in some.pictures if one.sorted.role is Role.STENCIL] for some in (bunch, later))
        pairs = [(one, other) for one in ours for other in theirs]
        return bool(pairs) and all(self.twins.between(one, other) is None for one, other in pairs)

    def _proposals(
        self, bunch: Bunch, part: Sequence[SeenPicture], filed: FiledLines | None
    ) -> tuple[PieceProposal, ...]:
        best = max(part, key=lambda one: one.look.measures.sharpness)
        cache, catalogue = self.tools.cache, self.tools.catalogue
        lines = filed.on(cache.blobs / best.look.middle.blob, best.digest, cache, MOST) if filed else []
        names = [name for one in part for name in one.name.split("/")]
        client = self.tools.client or clients_named(names, catalogue.clients)
        twins = [twin for one in part for twin in self.twins.filed.get(one.digest, ()) if not twin.is_copy]
        day = max((one.day for one in part if one.day), default=None)
        if not bunch.photos and not twins:
            return ()
        return propose_pieces(NewPhotos(day, client, lines, twins), catalogue)


def _seen(gathered: Gathered, tools: IntakeTools, not_taken: list[NotTaken]) -> Iterator[SeenPicture]:
    """Read and sort all files; what is damaged or there twice is told."""
    looks = look_at_all([file.path for file in gathered.files], tools.cache, tools.workers, tools.progress)
    first: dict[str, str] = {}
    for file in gathered.files:
        look = looks[file.path]
        if isinstance(look, Unreadable):
            not_taken.append(NotTaken(file.name, look.sentence))
        elif look.digest in first:
            not_taken.append(
                NotTaken(file.name, say("The same file as {file}, so one of them is enough.", file=first[look.digest]))
            )
        else:
            first[look.digest] = file.name
            found = sort_picture(look, file.name)
            if look.file_format in _DRAWN and found.role is not Role.STENCIL:
                not_taken.append(NotTaken(file.name, say(_DRAWN[look.file_format])))
            else:
                yield SeenPicture(file, look, found, moment_of(look, file.name))


def _filed(pictures: Iterable[SeenPicture], twins: NewTwins, catalogue: Catalogue) -> Iterator[FiledAlready]:
    for one in pictures:
        twin = next((twin for twin in twins.filed.get(one.digest, ()) if twin.is_copy), None)
        if twin is not None:
            guess = guess_of(one.sorted, what_alone(one))
            is_gray = one.look.measures.chroma < _GRAY
            yield filed_already(planned_picture(one, guess, set()), twin, catalogue, is_gray=is_gray)
