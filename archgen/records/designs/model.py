"""What a design says that waits to be tattooed: its record as typed and frozen values.

To the gate a design is a piece whose pictures are photos nobody is shown on: so it reads `as_piece`.
"""

import datetime as dt
from collections.abc import Mapping
from enum import Enum
from typing import Annotated

import msgspec

from archgen.privacy import Private, Public, Sought
from archgen.records.model import Photo, Piece, PieceRecord, Record, Reference, Size

DESIGNS, DESIGN_RECORD, PICTURES = "designs", "design.toml", "pictures"


class DesignState(Enum):
    """Whether a design can still be had."""

    FREE = "free"
    HELD = "held"
    TAKEN = "taken"


class DesignPicture(Record, frozen=True, kw_only=True):
    """One picture of a design."""

    file: Annotated[str, Private("file name of a picture", Sought.FILE)]
    alt: Annotated[str | None, Public("description of a picture")] = None


class DesignRecord(Record, frozen=True, kw_only=True):
    """Everything design.toml says."""

    title: Annotated[str, Public("title")]
    publish: Annotated[bool, Public("wish to publish")] = False
    state: Annotated[DesignState, Public("state of a design")] = DesignState.FREE
    price: Annotated[float | None, Public("price of a design")] = None
    again: Annotated[bool | None, Public("whether a design may be tattooed more than once")] = None
    styles: Annotated[tuple[str, ...], Public("style", Sought.NEVER)] = ()
    size: Annotated[Size, Public("size on skin")] = Size()
    picture: Annotated[tuple[DesignPicture, ...], Public("pictures")] = ()
    reference: Annotated[tuple[Reference, ...], Public("references")] = ()
    holder: Annotated[str | None, Private("client code", Sought.CODE)] = None
    until: Annotated[dt.date | None, Private("day until which a design is held")] = None
    note: Annotated[str | None, Private("note about a design")] = None


class Design(msgspec.Struct, frozen=True, kw_only=True):
    """One design folder as read; `record` is None when it cannot be used, and then nothing of it is shown.

    `bare` is its folder: its files and texts, without a record. `lines` gives the line in design.toml of a dotted key.
    """

    bare: Annotated[Piece, Public("folder of a design")]
    record: Annotated[DesignRecord | None, Public("record of a design")] = None
    lines: Annotated[Mapping[str, int], Private("lines of a record")] = {}

    @property
    def id(self) -> str:
        """Give an id that no piece has."""
        return self.bare.id

    @property
    def toml(self) -> str:
        """Give the record's path, relative to the archive folder."""
        return f"{self.bare.folder}/{DESIGN_RECORD}"

    @property
    def title(self) -> str:
        """Give the title, or the folder's name when the record cannot be used."""
        return self.record.title if self.record else self.bare.folder.rpartition("/")[2]

    @property
    def as_piece(self) -> Piece:
        """Give it as the gate reads it: each picture is a photo that is to be shown."""
        said = self.record
        if said is None:
            return self.bare
        # A photo without a stage is only shown where the record asks for it.
        photos = tuple(Photo(file=one.file, alt=one.alt, publish=True) for one in said.picture)
        record = PieceRecord(
            title=said.title,
            publish=said.publish,
            styles=said.styles,
            size=said.size,
            reference=said.reference,
            photo=photos,
        )
        return msgspec.structs.replace(self.bare, record=record)


def empty_design(name: str) -> Piece:
    """Give the folder of a design, of which nothing is read yet; no piece's id has a slash."""
    return Piece(id=f"{DESIGNS}/{name}", folder_name=name, home=DESIGNS, record_name=DESIGN_RECORD)
