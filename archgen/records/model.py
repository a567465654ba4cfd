"""What a piece's record says, as typed and frozen values; made once by records.schema, never changed.

Every field stands in the archive folder's layout under the same name. Lengths are millimetres, times hours,
`None` or an empty tuple means "not recorded". Unknown words of closed vocabularies never get here: they are findings.
"""

import datetime as dt
from enum import Enum
from typing import Annotated

import msgspec

from archgen.privacy import Private, Public, Sought


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

    width: Annotated[Length | None, Public("width on skin")] = None
    height: Annotated[Length | None, Public("height on skin")] = None


class Placement(Record, frozen=True, kw_only=True):
    """Where on the body; region is an id of records.placements."""

    region: Annotated[str | None, Public("placement", Sought.NEVER)] = None
    side: Annotated[Side | None, Public("side")] = None
    girth: Annotated[Length | None, Private("girth of a limb")] = None
    note: Annotated[str | None, Private("note on a placement")] = None


class Sitting(Record, frozen=True, kw_only=True):
    """One visit."""

    date: Annotated[dt.date | None, Private("day of a sitting")] = None
    hours: Annotated[Hours | None, Public("hours of a sitting")] = None
    kind: Annotated[SittingKind, Private("kind of a sitting")] = SittingKind.SITTING
    note: Annotated[str | None, Private("note of a sitting")] = None


class Healing(Record, frozen=True, kw_only=True):
    """What was seen afterwards."""

    date: Annotated[dt.date | None, Private("day of a look at the healing")] = None
    note: Annotated[str | None, Private("note about healing")] = None
    touch_up: Annotated[bool, Private("wish for a touch-up")] = False


class Needle(Record, frozen=True, kw_only=True):
    """A needle as written; records.needles reads the code."""

    code: Annotated[str, Private("needle", Sought.NEVER)] = ""
    use: Annotated[str | None, Private("use of a needle", Sought.TRADE)] = None
    batch: Annotated[str | None, Private("needle batch", Sought.CODE)] = None
    sterilisation: Annotated[str | None, Private("sterilisation batch", Sought.CODE)] = None
    expiry: Annotated[dt.date | None, Private("expiry of a needle")] = None


class Ink(Record, frozen=True, kw_only=True):
    """An ink of the piece: a batch from inks.toml, or described here."""

    batch: Annotated[str | None, Private("ink batch", Sought.CODE)] = None
    name: Annotated[str | None, Private("ink", Sought.TRADE)] = None
    maker: Annotated[str | None, Private("maker of an ink", Sought.TRADE)] = None
    use: Annotated[str | None, Private("use of an ink", Sought.TRADE)] = None
    expiry: Annotated[dt.date | None, Private("expiry of an ink")] = None


class Reference(Record, frozen=True, kw_only=True):
    """What the piece was drawn from and the right to it.

    `allows` is the artist's recorded answer where the right by itself leaves a question open; `used = false` says that
    it was only looked at; `made_from` names the files or links it was merged or edited from.
    """

    file: Annotated[str | None, Private("file name of a reference", Sought.FILE)] = None
    source: Annotated[str | None, Public("source of a reference", Sought.ADDRESS)] = None
    creator: Annotated[str | None, Public("creator of a reference")] = None
    license: Annotated[str | None, Public("right to a reference", Sought.NEVER)] = None
    rights_url: Annotated[str | None, Private("address about the rights to a reference", Sought.ADDRESS)] = None
    permission: Annotated[str | None, Private("file name of a permission", Sought.FILE)] = None
    obtained: Annotated[dt.date | None, Private("day a reference was obtained")] = None
    digital_source: Annotated[str | None, Private("source type of a reference", Sought.NEVER)] = None
    ai_system: Annotated[str | None, Public("model that made a reference")] = None
    ai_terms: Annotated[str | None, Private("terms of a model", Sought.ADDRESS)] = None
    expires: Annotated[dt.date | None, Private("end of a right to a reference")] = None
    likeness: Annotated[Likeness | None, Private("answer about a likeness")] = None
    allows: Annotated[tuple[Use, ...] | None, Private("answer about a right")] = None
    used: Annotated[bool, Private("whether a reference was drawn from")] = True
    made_from: Annotated[tuple[str, ...], Private("file name or source of a reference", Sought.FILE)] = ()
    note: Annotated[str | None, Private("note about a reference")] = None


class Landmark(Record, frozen=True, kw_only=True):
    """One point in pixels of the upright picture, seen on the stencil and on another picture of the piece."""

    stencil: Annotated[tuple[float, float], Private("landmark")]
    on: Annotated[str, Private("file name of a picture", Sought.FILE)]
    at: Annotated[tuple[float, float], Private("landmark")]


class Stencil(Record, frozen=True, kw_only=True):
    """One stencil version; width is that of the printed marks."""

    file: Annotated[str, Private("file name of a stencil", Sought.FILE)]
    version: Annotated[int | None, Private("version of a stencil")] = None
    parent: Annotated[int | None, Private("version of a stencil")] = None
    width: Annotated[Length | None, Private("width of a stencil")] = None
    mirrored: Annotated[bool, Private("mirroring of a stencil")] = False
    applied: Annotated[bool, Private("stencil that was applied")] = False
    from_: Annotated[tuple[str, ...], Private("file name of a reference", Sought.FILE)] = msgspec.field(
        default=(), name="from"
    )
    held: Annotated[str | None, Private("word on how a stencil held", Sought.TRADE)] = None
    note: Annotated[str | None, Private("note about a stencil")] = None
    landmark: Annotated[tuple[Landmark, ...], Private("landmarks")] = ()


class Photo(Record, frozen=True, kw_only=True):
    """One photo of the piece on skin."""

    file: Annotated[str, Private("file name of a photo", Sought.FILE)]
    stage: Annotated[Stage | None, Public("stage of a photo")] = None
    taken: Annotated[dt.date | None, Private("day of a photo")] = None
    alt: Annotated[str | None, Public("description of a photo")] = None
    cover: Annotated[bool, Public("cover photo")] = False
    publish: Annotated[bool | None, Public("wish to publish a photo")] = None

    @property
    def may_publish(self) -> bool:
        """Say whether the artist wants this photo shown: by default fresh and healed ones."""
        return self.publish if self.publish is not None else self.stage in (Stage.FRESH, Stage.HEALED)


class Release(Record, frozen=True, kw_only=True):
    """The client's photo release."""

    status: Annotated[ReleaseStatus, Private("answer on a release")] = ReleaseStatus.NOT_ASKED
    scope: Annotated[tuple[str, ...], Private("scope of a release", Sought.NEVER)] = ()
    date: Annotated[dt.date | None, Private("day of a release")] = None
    withdrawn: Annotated[dt.date | None, Private("day a release was withdrawn")] = None
    expires: Annotated[dt.date | None, Private("end of a release")] = None
    file: Annotated[str | None, Private("file name of a release", Sought.FILE)] = None
    note: Annotated[str | None, Private("note about a release")] = None


class Price(Record, frozen=True, kw_only=True):
    """What was asked, in the archive's currency."""

    charged: Annotated[float | None, Private("price", Sought.PRICE)] = None
    deposit: Annotated[float | None, Private("deposit", Sought.PRICE)] = None


class Values(Record, frozen=True, kw_only=True):
    """How the tones were planned and worked."""

    reference: Annotated[str | None, Private("file name of a reference", Sought.FILE)] = None
    zones: Annotated[int | None, Private("number of tones")] = None
    cuts: Annotated[tuple[float, ...], Private("lightness between tones")] = ()
    edges: Annotated[str | None, Private("what edges between tones follow", Sought.NEVER)] = None
    needle: Annotated[str | None, Private("needle tones were planned for", Sought.NEVER)] = None
    areas: Annotated[int | None, Private("most areas of a plan")] = None
    start: Annotated[str | None, Private("where a tone is begun", Sought.NEVER)] = None
    enclosed: Annotated[tuple[str, ...], Private("what an enclosed area is")] = ()
    note: Annotated[str | None, Private("note about the tones")] = None


class RightsOverride(Record, frozen=True, kw_only=True):
    """The artist's decision to publish although a reference right is missing."""

    reason: Annotated[str, Private("reason of an override")]
    date: Annotated[dt.date | None, Private("day of an override")] = None


class PieceRecord(Record, frozen=True, kw_only=True):
    """Everything piece.toml says."""

    title: Annotated[str, Public("title")]
    publish: Annotated[bool, Public("wish to publish")] = False
    finished: Annotated[dt.date | None, Private("day a piece was finished")] = None
    styles: Annotated[tuple[str, ...], Public("style", Sought.NEVER)] = ()
    subjects: Annotated[tuple[str, ...], Public("subject", Sought.NEVER)] = ()
    client: Annotated[str | None, Private("client code", Sought.CODE)] = None
    size: Annotated[Size, Public("size on skin")] = Size()
    placement: Annotated[Placement, Public("placement")] = Placement()
    sitting: Annotated[tuple[Sitting, ...], Public("sittings")] = ()
    healing: Annotated[tuple[Healing, ...], Private("healing")] = ()
    needle: Annotated[tuple[Needle, ...], Private("needles")] = ()
    ink: Annotated[tuple[Ink, ...], Private("inks")] = ()
    reference: Annotated[tuple[Reference, ...], Public("references")] = ()
    stencil: Annotated[tuple[Stencil, ...], Private("stencils")] = ()
    photo: Annotated[tuple[Photo, ...], Public("photos")] = ()
    release: Annotated[Release, Private("release")] = Release()
    rights_override: Annotated[RightsOverride | None, Private("override of a right")] = None
    price: Annotated[Price, Private("price")] = Price()
    values: Annotated[Values, Private("tones")] = Values()

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
        first_work = [s.date for s in self.sitting if s.date and s.kind is SittingKind.SITTING]
        return max(first_work or [s.date for s in self.sitting if s.date], default=None)

    @property
    def last_worked_on(self) -> dt.date | None:
        """Give the last day a needle touched the skin, touch-ups too."""
        return max((sitting.date for sitting in self.sitting if sitting.date), default=self.finished)

    def was_late(self, expiry: dt.date | None) -> bool:
        """Say whether something with this date was past it on the last day worked."""
        used = self.last_worked_on
        return expiry is not None and used is not None and expiry < used


class InkBatch(Record, frozen=True, kw_only=True):
    """One batch of ink of inks.toml."""

    batch: Annotated[str, Private("ink batch", Sought.CODE)]
    name: Annotated[str | None, Private("ink", Sought.TRADE)] = None
    maker: Annotated[str | None, Private("maker of an ink", Sought.TRADE)] = None
    opened: Annotated[dt.date | None, Private("day an ink was opened")] = None
    expiry: Annotated[dt.date | None, Private("expiry of an ink")] = None
    recalled: Annotated[dt.date | None, Private("day of a recall")] = None
    closed: Annotated[dt.date | None, Private("day an ink was used up")] = None
    claims: Annotated[tuple[str, ...], Private("claim about an ink", Sought.TRADE)] = ()
    claim_source: Annotated[str | None, Private("source of a claim about an ink", Sought.TRADE)] = None
    note: Annotated[str | None, Private("note about an ink batch")] = None


class Supply(Record, frozen=True, kw_only=True):
    """Anything else of inks.toml that touches the client: soap, ointment, razor, film."""

    name: Annotated[str, Private("supply", Sought.TRADE)]
    maker: Annotated[str | None, Private("maker of a supply", Sought.TRADE)] = None
    batch: Annotated[str | None, Private("batch of a supply", Sought.CODE)] = None
    claims: Annotated[tuple[str, ...], Private("claim about a supply", Sought.TRADE)] = ()
    claim_source: Annotated[str | None, Private("source of a claim about a supply", Sought.TRADE)] = None
    opened: Annotated[dt.date | None, Private("day a supply was opened")] = None
    closed: Annotated[dt.date | None, Private("day a supply was used up")] = None


class Box(Record, frozen=True, kw_only=True):
    """A box of needles of inks.toml: what its label says."""

    code: Annotated[str, Private("needle", Sought.NEVER)]
    batch: Annotated[str | None, Private("needle batch", Sought.CODE)] = None
    sterilisation: Annotated[str | None, Private("sterilisation batch", Sought.CODE)] = None
    expiry: Annotated[dt.date | None, Private("expiry of a needle")] = None
    opened: Annotated[dt.date | None, Private("day a box was opened")] = None
    closed: Annotated[dt.date | None, Private("day a box was used up")] = None


class Client(Record, frozen=True, kw_only=True):
    """One person of clients.toml; private."""

    code: Annotated[str, Private("client code", Sought.CODE)]
    name: Annotated[str | None, Private("client's name", Sought.NAME)] = None
    contact: Annotated[str | None, Private("client's contact", Sought.CONTACT)] = None
    note: Annotated[str | None, Private("note about a client")] = None
    notes: Annotated[str | None, Private("note about a client")] = None


class Decision(Record, frozen=True, kw_only=True):
    """What the artist decided about near-identical pictures.

    `digests` are the beginnings of the SHA-256 of the images' files at that time, in their order.
    """

    images: Annotated[tuple[str, ...], Private("file name of a picture", Sought.FILE)]
    keep: Annotated[str | None, Private("file name of a picture", Sought.FILE)] = None
    reason: Annotated[str | None, Private("reason of a decision")] = None
    date: Annotated[dt.date | None, Private("day of a decision")] = None
    digests: Annotated[tuple[str, ...], Private("digest of a picture", Sought.CODE)] = ()


class Told(Record, frozen=True, kw_only=True):
    """That a client was told of a recall."""

    batch: Annotated[str, Private("recalled batch", Sought.CODE)]
    client: Annotated[str, Private("client code", Sought.CODE)]
    date: Annotated[dt.date | None, Private("day a client was told")] = None
    how: Annotated[str | None, Private("way a client was told", Sought.TRADE)] = None
    by: Annotated[str | None, Private("name of who told a client", Sought.NAME)] = None
    note: Annotated[str | None, Private("note about telling a client")] = None


class InkRegister(Record, frozen=True, kw_only=True):
    """inks.toml."""

    batch: Annotated[tuple[InkBatch, ...], Private("ink batches")] = ()
    supply: Annotated[tuple[Supply, ...], Private("supplies")] = ()
    box: Annotated[tuple[Box, ...], Private("boxes of needles")] = ()


class ClientRegister(Record, frozen=True, kw_only=True):
    """clients.toml."""

    client: Annotated[tuple[Client, ...], Private("clients")] = ()


class DecisionRegister(Record, frozen=True, kw_only=True):
    """decisions.toml."""

    same: Annotated[tuple[Decision, ...], Private("decisions")] = ()
    different: Annotated[tuple[Decision, ...], Private("decisions")] = ()


class ToldRegister(Record, frozen=True, kw_only=True):
    """told.toml."""

    told: Annotated[tuple[Told, ...], Private("who was told")] = ()


class AsWritten(Record, frozen=True, kw_only=True):
    """A value that was not understood, as it stands in the record, by its dotted key."""

    key: Annotated[str, Private("key of a record", Sought.NEVER)]
    text: Annotated[str, Private("value that is not understood", Sought.TRADE)]


class OtherStory(Record, frozen=True, kw_only=True):
    """The public text of a piece in another language than the archive's main one."""

    language: Annotated[str, Public("language", Sought.NEVER)]
    story: Annotated[str, Public("story")]


class Piece(msgspec.Struct, frozen=True, kw_only=True):
    """One piece folder as read: its record (None when there is none to read), its texts and the files found in it.

    `folder_name` is the folder's true name where the id is made from it; None where both are the same. `home` is the
    folder of the archive it lies in: another than that of the pieces for a design. Paths are
    relative to the archive folder, with forward slashes. `lines` gives the line in piece.toml of a dotted key such as
    ``reference.1.license`` or of a table such as ``reference.1`` (counted from 0). `papers` are the files among the
    references that are no pictures archgen reads; `record_name` is what the record's file is called, `missing` are the
    files that the record names and that are nowhere; `as_written` is what of the record was not understood,
    `place_as_written` the words for a place that the record gives as one of the list.
    """

    id: Annotated[str, Private("folder name", Sought.FOLDER)]
    folder_name: Annotated[str | None, Private("folder name", Sought.FOLDER)] = None
    home: Annotated[str, Public("folder of the archive", Sought.NEVER)] = "pieces"
    record: Annotated[PieceRecord | None, Public("record")] = None
    notes: Annotated[str | None, Private("private note")] = None
    story: Annotated[str | None, Public("story")] = None
    stories: Annotated[tuple[OtherStory, ...], Public("stories in other languages")] = ()
    photos: Annotated[tuple[str, ...], Private("file name of a photo", Sought.FILE)] = ()
    stencils: Annotated[tuple[str, ...], Private("file name of a stencil", Sought.FILE)] = ()
    references: Annotated[tuple[str, ...], Private("file name of a reference", Sought.FILE)] = ()
    papers: Annotated[tuple[str, ...], Private("file name of a paper", Sought.FILE)] = ()
    as_written: Annotated[tuple[AsWritten, ...], Private("values that are not understood")] = ()
    place_as_written: Annotated[str | None, Private("placement as written", Sought.NEVER)] = None
    record_name: Annotated[str, Private("file name of a record", Sought.NEVER)] = "piece.toml"
    missing: Annotated[tuple[str, ...], Private("name of a file that is missing", Sought.NEVER)] = ()
    lines: Annotated[dict[str, int], Private("lines of a record")] = {}

    @property
    def drawings(self) -> tuple[Stencil, ...]:
        """Give the versions that the record names and whose files are there."""
        return tuple(one for one in (self.record.stencil if self.record else ()) if one.file not in self.missing)

    @property
    def applied_stencil(self) -> Stencil | None:
        """Give the version that went on the skin: the marked one, else the only one; None when several could be it."""
        marked = [one for one in (self.record.stencil if self.record else ()) if one.applied]
        could_be = marked or self.drawings
        return could_be[0] if len(could_be) == 1 else None

    @property
    def folder(self) -> str:
        """Give the piece's folder, relative to the archive folder."""
        return f"{self.home}/{self.folder_name or self.id}"

    @property
    def toml(self) -> str:
        """Give the record's path, relative to the archive folder."""
        return f"{self.folder}/{self.record_name}"

    @property
    def title(self) -> str:
        """Give the title, or the folder's name when the record is broken."""
        return self.record.title if self.record else self.id

    def written(self, key: str) -> str | None:
        """Give a value that was not understood as it was written; None where nothing was misread."""
        return next((one.text for one in self.as_written if one.key == key), None)

    @property
    def written_release(self) -> str | None:
        """Give the answer on the release as it was written, when it was not understood."""
        return self.written("release.status")

    def line(self, key: str) -> int | None:
        """Give the line of a key, else of the table it stands in."""
        while key:
            if key in self.lines:
                return self.lines[key]
            key = key.rpartition(".")[0]
        return None
