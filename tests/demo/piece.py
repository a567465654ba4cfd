"""What a demo piece is made of: its drawing, its picture files, and the words of its record."""

import datetime as dt
from dataclasses import dataclass, field

from tests.demo.embedded import Rights
from tests.demo.limb import Scene

# Long sides in pixels: 12 megapixels, 5.4 and 3.
FULL, MIDDLE, SMALL = 4032, 2688, 2016


@dataclass(frozen=True, slots=True)
class Drawing:
    """Which motif, and how wide its marks are on skin. Styles: line, wash, dots, whip."""

    motif: str
    width_mm: float
    style: str = "wash"
    seed: int | None = None
    flip: bool = False
    fine: bool = False  # a piece whose whole idea is the fine line
    turn: float = 0.0  # degrees
    bend: float = 0.0  # mm that its ends lie aside
    at: tuple[float, float] = (0.0, 0.0)  # mm from the upper left, in a piece of several drawings


@dataclass(frozen=True, slots=True)
class StencilFile:
    """One stencil version at 600 dpi."""

    name: str
    weight: float = 1.0
    mirrored: bool = False
    clear: bool = False  # black on transparency
    scanned: bool = False  # inked by hand and scanned: 16-bit gray, paper and all
    bottom: float = 1.0  # share of the height that is kept
    part: int | None = None  # one drawing of a piece of several


@dataclass(frozen=True, slots=True)
class PhotoFile:
    """One photograph; its name's ending and `turned` say how it is stored."""

    name: str
    scene: Scene
    taken: dt.datetime
    long_side: int = MIDDLE
    style: str | None = None  # another shading than the drawing's: "line" for a first sitting
    shot: int = 0  # number in a burst
    parts: int | None = None  # how many drawings are on the skin so far
    edit: str | None = None  # bw, crop, graded, messenger
    turned: bool = False  # stored on its side, with the camera's serial number and a thumbnail
    position: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class ReferenceFile:
    """One picture the piece was drawn from. Kinds: photo, print (an old black-and-white one), plate."""

    name: str
    kind: str
    rights: Rights | None = None
    motif: str | None = None
    seed: int = 1
    cmyk: bool = False
    long_side: int = 1600


@dataclass(frozen=True, slots=True)
class Letter:
    """A letter as PDF."""

    name: str
    title: str
    paragraphs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class DemoPiece:
    """One folder under pieces/. `$landmarks` in the record is filled in by `landmarks`."""

    id: str
    drawing: Drawing
    record: str
    notes: str = ""
    story: str = ""
    stencils: tuple[StencilFile, ...] = ()
    photos: tuple[PhotoFile, ...] = ()
    references: tuple[ReferenceFile, ...] = ()
    letters: tuple[Letter, ...] = ()
    more: tuple[Drawing, ...] = ()  # further drawings, each in front of those before
    landmarks: tuple[str, ...] = ()  # the name of a stencil, then those of the pictures it is laid on
    facts: tuple[str, ...] = field(default=())  # what this piece is there to show


def at(text: str) -> dt.datetime:
    """Read a moment such as 2025-02-08 16:40."""
    return dt.datetime.fromisoformat(text)


def release_letter(code: str, uses: str, date: str, more: str = "") -> Letter:
    """Write a photo release as the studio's form has it."""
    return Letter(
        "release.pdf",
        "Photo release",
        tuple(
            p
            for p in (
                f"Client {code}, {date}.",
                f"I allow the studio to show photos of my tattoo in: {uses}.",
                "My face and my name are not shown. I can take this back at any time by telling the studio.",
                more,
                f"Signed in the studio: {code} (invented for this demo).",
            )
            if p
        ),
    )
