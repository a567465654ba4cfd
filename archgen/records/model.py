"""What a piece's record says, as typed and frozen values; made once by records.schema, never changed.

Every field stands in the archive folder's layout under the same name. Lengths are millimetres, times hours,
`None` or an empty tuple means "not recorded". Unknown words of closed vocabularies never get here: they are findings.
"""

import datetime as dt
from enum import Enum

import msgspec


class Length(float):
    """A length in millimetres, read from text with its unit."""


class Hours(float):
    """A working time in hours."""


class Stage(Enum):
    """When a photo was taken."""

    IN_PROGRESS = "in-progress"
    FRESH = "fresh"
    HEALED = "healed"


class Side(Enum):
    """The client's own side."""

    LEFT = "left"
    RIGHT = "right"
    CENTRE = "centre"


class SittingKind(Enum):
    """A first sitting or a touch-up."""

    SITTING = "sitting"
    TOUCH_UP = "touch-up"


class ReleaseStatus(Enum):
    """What the client said about showing photos."""

    GRANTED = "granted"
    REFUSED = "refused"
    WITHDRAWN = "withdrawn"
    NOT_ASKED = "not-asked"


class Likeness(Enum):
    """Whether a reference shows a recognisable person, and who that is."""

    NONE = "none"
    CLIENT = "client"
    CONSENTED = "consented"
    PUBLIC_FIGURE = "public-figure"
    MINOR = "minor"
    UNKNOWN = "unknown"


class Use(Enum):
    """What the right to a reference was found to cover."""

    TATTOO = "tattoo"
    SHOW_REFERENCE = "show-reference"
    SHOW_TATTOO = "show-tattoo"


class Record(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Common ground of all tables of a record."""


class Size(Record, frozen=True, kw_only=True):
    """Size on skin."""

    width: Length | None = None
    height: Length | None = None


class Placement(Record, frozen=True, kw_only=True):
    """Where on the body; region is an id of records.placements."""

    region: str | None = None
    side: Side | None = None
    girth: Length | None = None
    note: str | None = None


class Sitting(Record, frozen=True, kw_only=True):
    """One visit."""

    date: dt.date
    hours: Hours | None = None
    kind: SittingKind = SittingKind.SITTING
    note: str | None = None


class Healing(Record, frozen=True, kw_only=True):
    """What was seen afterwards."""

    date: dt.date
    note: str | None = None
    touch_up: bool = False


class Needle(Record, frozen=True, kw_only=True):
    """A needle as written; records.needles reads the code."""

    code: str
    use: str | None = None
    batch: str | None = None
    sterilisation: str | None = None
    expiry: dt.date | None = None


class Ink(Record, frozen=True, kw_only=True):
    """An ink of the piece: a batch from inks.toml, or described here."""

    batch: str | None = None
    name: str | None = None
    maker: str | None = None
    use: str | None = None
    expiry: dt.date | None = None


class Reference(Record, frozen=True, kw_only=True):
    """What the piece was drawn from and the right to it.

    `allows` is the artist's recorded answer where the right by itself leaves a question open.
    """

    file: str | None = None
    source: str | None = None
    creator: str | None = None
    license: str | None = None
    rights_url: str | None = None
    permission: str | None = None
    obtained: dt.date | None = None
    digital_source: str | None = None
    ai_system: str | None = None
    ai_terms: str | None = None
    expires: dt.date | None = None
    likeness: Likeness | None = None
    allows: tuple[Use, ...] | None = None
    note: str | None = None


class Landmark(Record, frozen=True, kw_only=True):
    """One point in pixels of the upright picture, seen on the stencil and on another picture of the piece."""

    stencil: tuple[float, float]
    on: str
    at: tuple[float, float]


class Stencil(Record, frozen=True, kw_only=True):
    """One stencil version; width is that of the printed marks."""

    file: str
    version: int | None = None
    parent: int | None = None
    width: Length | None = None
    mirrored: bool = False
    applied: bool = False
    from_: tuple[str, ...] = msgspec.field(default=(), name="from")
    note: str | None = None
    landmark: tuple[Landmark, ...] = ()


class Photo(Record, frozen=True, kw_only=True):
    """One photo of the piece on skin."""

    file: str
    stage: Stage | None = None
    taken: dt.date | None = None
    alt: str | None = None
    cover: bool = False
    publish: bool | None = None

    @property
    def may_publish(self) -> bool:
        """Say whether the artist wants this photo shown: by default fresh and healed ones."""
        return self.publish if self.publish is not None else self.stage in (Stage.FRESH, Stage.HEALED)


class Release(Record, frozen=True, kw_only=True):
    """The client's photo release."""

    status: ReleaseStatus = ReleaseStatus.NOT_ASKED
    scope: tuple[str, ...] = ()
    date: dt.date | None = None
    expires: dt.date | None = None
    file: str | None = None
    note: str | None = None


class RightsOverride(Record, frozen=True, kw_only=True):
    """The artist's decision to publish although a reference right is missing."""

    reason: str
    date: dt.date | None = None


class PieceRecord(Record, frozen=True, kw_only=True):
    """Everything piece.toml says."""

    title: str
    publish: bool = False
    finished: dt.date | None = None
    styles: tuple[str, ...] = ()
    subjects: tuple[str, ...] = ()
    client: str | None = None
    size: Size = Size()
    placement: Placement = Placement()
    sitting: tuple[Sitting, ...] = ()
    healing: tuple[Healing, ...] = ()
    needle: tuple[Needle, ...] = ()
    ink: tuple[Ink, ...] = ()
    reference: tuple[Reference, ...] = ()
    stencil: tuple[Stencil, ...] = ()
    photo: tuple[Photo, ...] = ()
    release: Release = Release()
    rights_override: RightsOverride | None = None

    @property
    def hours(self) -> float | None:
        """Add up the recorded hours of all sittings; None when none is recorded."""
        recorded = [sitting.hours for sitting in self.sitting if sitting.hours is not None]
        return sum(recorded) if recorded else None

    @property
    def finished_on(self) -> dt.date | None:
        """Give the recorded end, else the last sitting that was no touch-up, else the last sitting."""
        if self.finished:
            return self.finished
        first_work = [s.date for s in self.sitting if s.kind is SittingKind.SITTING]
        return max(first_work or [s.date for s in self.sitting], default=None)

    @property
    def applied_stencil(self) -> Stencil | None:
        """Give the version that went on the skin: the marked one, else the only one."""
        marked = [stencil for stencil in self.stencil if stencil.applied]
        if marked:
            return marked[-1]
        return self.stencil[0] if len(self.stencil) == 1 else None


class InkBatch(Record, frozen=True, kw_only=True):
    """One bottle lot of inks.toml."""

    batch: str
    name: str | None = None
    maker: str | None = None
    opened: dt.date | None = None
    expiry: dt.date | None = None
    recalled: dt.date | None = None
    finished: dt.date | None = None
    note: str | None = None


class Client(Record, frozen=True, kw_only=True):
    """One person of clients.toml; private."""

    code: str
    name: str | None = None
    contact: str | None = None
    note: str | None = None
    notes: str | None = None


class Decision(Record, frozen=True, kw_only=True):
    """What the artist decided about near-identical pictures.

    `digests` are the beginnings of the SHA-256 of the images' files at that time, in their order.
    """

    images: tuple[str, ...]
    keep: str | None = None
    reason: str | None = None
    date: dt.date | None = None
    digests: tuple[str, ...] = ()


class InkRegister(Record, frozen=True, kw_only=True):
    """inks.toml."""

    batch: tuple[InkBatch, ...] = ()


class ClientRegister(Record, frozen=True, kw_only=True):
    """clients.toml."""

    client: tuple[Client, ...] = ()


class DecisionRegister(Record, frozen=True, kw_only=True):
    """decisions.toml."""

    same: tuple[Decision, ...] = ()
    different: tuple[Decision, ...] = ()


class Piece(msgspec.Struct, frozen=True, kw_only=True):
    """One piece folder as read: its record (None when broken), its texts and the files found in it.

    Paths are relative to the archive folder, with forward slashes. `lines` gives the line in piece.toml of a dotted
    key such as ``reference.1.license`` or of a table such as ``reference.1`` (counted from 0).
    """

    id: str
    record: PieceRecord | None
    notes: str | None = None
    story: str | None = None
    photos: tuple[str, ...] = ()
    stencils: tuple[str, ...] = ()
    references: tuple[str, ...] = ()
    lines: dict[str, int] = {}

    @property
    def folder(self) -> str:
        """Give the piece's folder, relative to the archive folder."""
        return f"pieces/{self.id}"

    @property
    def toml(self) -> str:
        """Give the record's path, relative to the archive folder."""
        return f"{self.folder}/piece.toml"

    @property
    def title(self) -> str:
        """Give the title, or the folder's name when the record is broken."""
        return self.record.title if self.record else self.id

    def line(self, key: str) -> int | None:
        """Give the line of a key, else of the table it stands in."""
        while key:
            if key in self.lines:
                return self.lines[key]
            key = key.rpartition(".")[0]
        return None
