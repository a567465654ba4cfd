"""What an intake proposes, before anything is written: pictures, groups, reasons, proposals; plain values only.

Nothing here is decided: every guess says why it was made and whether it is doubtful, and a picture goes to a filed
piece only after somebody said yes.
"""

import datetime as dt
from dataclasses import dataclass, replace
from enum import Enum
from pathlib import Path

from archgen.intake.reading.dates import span_words
from archgen.languages.house import say, say_count
from archgen.metadata.file_rights import EmbeddedRights
from archgen.picture_facts.facts import Derivative, Role
from archgen.records.model import Stage


class What(Enum):
    """What a picture is, or that it is left out."""

    IN_PROGRESS = "in-progress"
    FRESH = "fresh"
    HEALED = "healed"
    STENCIL = "stencil"
    REFERENCE = "reference"
    OUT = "out"

    @property
    def role(self) -> Role | None:
        """Give the kind of folder it goes to; None when it is left out."""
        return _ROLES.get(self)

    @property
    def stage(self) -> Stage | None:
        """Give the stage of a photo; None for anything else."""
        return Stage(self.value) if self.role is Role.PHOTO else None

    @property
    def folder(self) -> str | None:
        """Give the folder of the piece it goes to; None when it is left out."""
        return f"{self.role.value}s" if self.role else None


_ROLES = {
    What.IN_PROGRESS: Role.PHOTO,
    What.FRESH: Role.PHOTO,
    What.HEALED: Role.PHOTO,
    What.STENCIL: Role.STENCIL,
    What.REFERENCE: Role.REFERENCE,
}


@dataclass(frozen=True, slots=True)
class Guess:
    """What a picture is taken for.

    Attributes:
        note: A few words for under the picture: "lines on white", "sharpest of three".
        reason: Why, in whole clauses: "Two tones, lines on white, no camera; agrees with the photos."
        is_doubtful: Whether somebody has to look at it.
        instead: The likeliest other answer, for one touch.
    """

    what: What
    note: str
    reason: str
    is_doubtful: bool
    instead: What


@dataclass(frozen=True, slots=True)
class PlannedPicture:
    """One picture as it would be filed.

    Attributes:
        source: Where its file lies now; it is copied from there and never moved.
        name: As the artist knows it: the path below the folder or inside the zip that was given.
        digest: SHA-256 of the file's bytes. No two pictures of a plan have the same one.
        width: Pixels of the upright picture, as height.
        taken: When the camera says it was taken, by the camera's own clock.
        moment: The same by the clock of the other cameras of its group, where they differ.
        file: The name it gets inside the piece's folder: "photos/IMG_2306.jpg".
        small: A copy of about 500 pixels for looking at, a blob of the intake's cache.
        dots_per_inch: What the file says of its size on paper, where that means something; stencils only.
        rights: What the file itself says of its rights.
        is_cover: Whether it is proposed as the picture that stands for the piece.
        show: False for the frames of a moment that are not the sharpest.
        line_width_px: Width of what is drawn, for the size of a stencil; None for other pictures.
    """

    source: Path
    name: str
    digest: str
    file_bytes: int
    width: int
    height: int
    taken: dt.datetime | None
    moment: dt.datetime | None
    guess: Guess
    file: str
    small: Derivative
    dots_per_inch: float | None = None
    rights: EmbeddedRights | None = None
    is_cover: bool = False
    show: bool = True
    line_width_px: int | None = None

    @property
    def day(self) -> dt.date | None:
        """Give the day it was taken."""
        return self.taken.date() if self.taken else None

    @property
    def key(self) -> str:
        """Give a short name that is its own in the plan and in addresses."""
        return self.digest[:16]

    def taken_for(self, what: What) -> "PlannedPicture":
        """Give the same picture, said to be something else by the artist."""
        before = self.guess
        way_back = before.what if before.what is not what else before.instead
        guess = replace(
            before, what=what, note=say("as you said"), reason=say("You said so."), is_doubtful=False, instead=way_back
        )
        folder, name = what.folder or "photos", self.file.rpartition("/")[2]
        return replace(self, guess=guess, file=f"{folder}/{name}")

    def renamed(self, file: str) -> "PlannedPicture":
        """Give the same picture under another name inside the piece's folder."""
        return replace(self, file=file)


@dataclass(frozen=True, slots=True)
class PieceProposal:
    """A filed piece that the pictures of a group may belong to; never taken without a yes.

    Attributes:
        piece: Its id.
        what: What the pictures would be there: healed, for instance.
        score: 0 to 1, for the order of several proposals only.
        day: How many days after the end of the work they were taken; None when either is not known.
        reasons: Whole sentences, the strongest first.
        beside: The filed picture that the lines were laid on, relative to the archive folder.
        turned: By how many degrees the lines had to be turned.
        by_lines: Whether the lines lie on each other, which days and names alone cannot say.
        against: What speaks against it, in a few words each: "red skin". With any of it the group is a new piece.
    """

    piece: str
    title: str
    what: What
    score: float
    day: int | None
    reasons: tuple[str, ...]
    beside: str | None = None
    turned: float | None = None
    by_lines: bool = False
    against: tuple[str, ...] = ()

    @property
    def words(self) -> tuple[str, ...]:
        """Give the reasons and what speaks against it, as whole sentences."""
        if not self.against:
            return self.reasons
        return (*self.reasons, say("Against it: {reasons}.", reasons=", ".join(self.against)))


class GroupKind(Enum):
    """What a group of pictures would become."""

    NEW_PIECE = "new-piece"
    ADDITION = "addition"  # to a filed piece: the first of the proposals, if somebody says yes


@dataclass(frozen=True, slots=True)
class PlannedGroup:
    """Pictures that belong together.

    Attributes:
        key: A letter or two, its own in the plan.
        title: A provisional name: "New piece, Thu 26 Nov 2026".
        folder: The folder a new piece would get below pieces/.
        day: The day of the work, as far as the pictures tell.
        proposals: Filed pieces it may belong to, the likeliest first; for a new piece too, when there is a doubt.
        questions: What cannot be known from the pictures, as whole questions.
        into: The id of the filed piece that somebody said it belongs to; a proposal alone never sets it.
    """

    key: str
    kind: GroupKind
    title: str
    folder: str
    day: dt.date | None
    pictures: tuple[PlannedPicture, ...]
    proposals: tuple[PieceProposal, ...] = ()
    questions: tuple[str, ...] = ()
    into: str | None = None

    @property
    def summary(self) -> str:
        """Say in a sentence what it is: "7 pictures, taken within 3 h 26 min."."""
        count = say_count("{number} picture", "{number} pictures", len(self.pictures))
        if self.kind is GroupKind.ADDITION and self.proposals:
            return f"{count}. {' '.join(self.proposals[0].reasons)}"
        photos = [one for one in self.pictures if one.guess.what.role is Role.PHOTO]
        if not photos:
            return say("{pictures}, no photo of a piece among them.", pictures=count)
        moments = sorted(one.moment for one in photos if one.moment)
        days = {moment.date() for moment in moments}
        if len(days) > 1:
            return say_count(
                "{pictures}, taken on {number} day.", "{pictures}, taken on {number} days.", len(days), pictures=count
            )
        if moments and moments[-1] - moments[0] >= dt.timedelta(minutes=1):
            return say("{pictures}, taken within {time}.", pictures=count, time=span_words(moments[-1] - moments[0]))
        return f"{count}."

    @property
    def filed(self) -> tuple[PlannedPicture, ...]:
        """Give the pictures that would be filed: all but those left out."""
        return tuple(picture for picture in self.pictures if picture.guess.what is not What.OUT)

    @property
    def is_doubtful(self) -> bool:
        """Say whether somebody has to look at it before it is filed: a filed piece is never taken unasked."""
        is_open = self.kind is GroupKind.ADDITION and self.into is None
        return is_open or any(picture.guess.is_doubtful for picture in self.filed)


@dataclass(frozen=True, slots=True)
class FiledAlready:
    """A picture that is in the archive; left out unless the artist keeps it.

    Attributes:
        piece: The id of the piece it is filed in.
        path: The filed picture, relative to the archive folder.
        words: "The same file as", "A black-and-white copy of", "A mirrored copy of" ...
        place: What the filed picture is: "fresh, first photo".
        filed_on: The day of the filed picture, as far as it is known.
        is_same_file: Whether the bytes are the same, so that keeping it would make no sense.
    """

    picture: PlannedPicture
    piece: str
    title: str
    path: str
    words: str
    place: str
    filed_on: dt.date | None
    is_same_file: bool


@dataclass(frozen=True, slots=True)
class NotTaken:
    """A file that is left out, and why in one sentence."""

    name: str
    sentence: str


@dataclass(frozen=True, slots=True)
class IntakePlan:
    """The whole proposal.

    Attributes:
        source: What was looked at, in words.
        looked_at: How many files.
        not_taken: Files that are no pictures, damaged, named twice, and so on.
    """

    source: str
    looked_at: int
    groups: tuple[PlannedGroup, ...] = ()
    filed: tuple[FiledAlready, ...] = ()
    not_taken: tuple[NotTaken, ...] = ()

    @property
    def pictures(self) -> tuple[PlannedPicture, ...]:
        """Give all pictures of the groups."""
        return tuple(picture for group in self.groups for picture in group.pictures)

    def not_taken_by_reason(self) -> tuple[tuple[str, str], ...]:
        """Give names and the sentence for them, one line for each reason: thousands of names are no reading matter."""
        by_reason: dict[str, list[str]] = {}
        for one in sorted(self.not_taken, key=lambda one: (one.sentence, one.name)):
            by_reason.setdefault(one.sentence, []).append(one.name)
        return tuple((_named(names), sentence) for sentence, names in by_reason.items())

    def group(self, key: str) -> PlannedGroup | None:
        """Find a group."""
        return next((group for group in self.groups if group.key == key), None)


_MOST_NAMED = 5


def _named(names: list[str]) -> str:
    named = ", ".join(names[:_MOST_NAMED])
    more = len(names) - _MOST_NAMED
    return say("{names} and {number} more", names=named, number=more) if more > 0 else named
