"""Valid records and catalogues with defaults, so that a test shows only what matters to it."""

import datetime as dt
import hashlib
import io
from functools import lru_cache
from pathlib import Path

import msgspec
from PIL import Image, ImageDraw

from archgen.catalogue import Catalogue
from archgen.config import ArchiveSettings, Config, PortfolioSettings
from archgen.picture_facts.facts import Derivative, ImageFacts
from archgen.records import model
from archgen.records.designs.model import Design, DesignPicture, DesignRecord, empty_design

TODAY = dt.date(2026, 11, 25)


def make_record(**changes) -> model.PieceRecord:
    """A full, publishable record; name fields of model.PieceRecord to change them."""
    record = model.PieceRecord(
        title="Barn owl",
        publish=True,
        finished=dt.date(2026, 3, 14),
        styles=("black-and-grey", "micro-portrait"),
        subjects=("owl", "bird"),
        client="C-0042",
        size=model.Size(width=model.Length(57), height=model.Length(88)),
        placement=model.Placement(
            region="forearm-outer",
            side=model.Side.LEFT,
            girth=model.Length(268),
            note="hairline towards the elbow",
        ),
        sitting=(model.Sitting(date=dt.date(2026, 3, 14), hours=model.Hours(3.5), note="rested ten minutes"),),
        healing=(model.Healing(date=dt.date(2026, 4, 20), note="one whisker light", touch_up=True),),
        needle=(
            model.Needle(code="1003RL", use="whiskers, eye", batch="N-88213", expiry=dt.date(2028, 5, 31)),
            model.Needle(code="9 round liner bugpin", use="outline"),
        ),
        ink=(
            model.Ink(batch="GW2-2231", use="second lightest tone"),
            model.Ink(name="lining black", use="all lines"),
        ),
        reference=(
            model.Reference(
                file="references/owl-field.jpg",
                source="https://example.org/owl",
                creator="A. Sample",
                license="CC-BY-4.0",
                obtained=dt.date(2026, 3, 2),
            ),
        ),
        stencil=(
            model.Stencil(
                file="stencils/owl-1.png",
                version=1,
                width=model.Length(65),
                from_=("references/owl-field.jpg",),
            ),
            model.Stencil(
                file="stencils/owl-2.png",
                version=2,
                parent=1,
                width=model.Length(57),
                applied=True,
                note="finer lines round the eye",
            ),
        ),
        photo=(
            model.Photo(
                file="photos/owl-fresh.jpg",
                stage=model.Stage.FRESH,
                taken=dt.date(2026, 3, 14),
                alt="Barn owl on an outer forearm, facing left",
            ),
            model.Photo(file="photos/owl-healed.jpg", stage=model.Stage.HEALED, taken=dt.date(2026, 5, 14), cover=True),
        ),
        release=model.Release(
            status=model.ReleaseStatus.GRANTED,
            scope=("portfolio", "print"),
            date=dt.date(2026, 3, 14),
            file="release.pdf",
        ),
    )
    return msgspec.structs.replace(record, **changes)


def make_piece(
    piece_id: str = "2026-03-14-barn-owl", record: model.PieceRecord | None = None, **changes
) -> model.Piece:
    """A piece whose files are those its record names."""
    record = record or make_record()
    folder = changes.get("folder_name") or piece_id
    piece = model.Piece(
        id=piece_id,
        record=record,
        notes="Left the *whisker lines* one pass only.",
        story="A barn owl from a *field sketch*.",
        photos=tuple(f"pieces/{folder}/{p.file}" for p in record.photo),
        stencils=tuple(f"pieces/{folder}/{s.file}" for s in record.stencil),
        references=tuple(f"pieces/{folder}/{r.file}" for r in record.reference if r.file),
    )
    return msgspec.structs.replace(piece, **changes)


def make_design(name: str = "two-ferns", story: str | None = None, **changes) -> Design:
    """A free design that may be shown; name fields of DesignRecord to change them."""
    record = DesignRecord(
        title="Two ferns",
        publish=True,
        price=180,
        size=model.Size(width=model.Length(60)),
        picture=(DesignPicture(file="pictures/ferns.png", alt="Two ferns, leaning apart"),),
    )
    record = msgspec.structs.replace(record, **changes)
    bare = empty_design(name)
    bare = msgspec.structs.replace(
        bare,
        story=story,
        photos=tuple(f"{bare.folder}/{one.file}" for one in record.picture),
        references=tuple(f"{bare.folder}/{one.file}" for one in record.reference if one.file),
    )
    return Design(bare=bare, record=record)


def make_facts(path: str, blobs: Path, *, size: tuple[int, int] = (800, 1000), public: bool = True) -> ImageFacts:
    """Facts of a drawn picture, with its copies written to blobs."""
    facts, files = _drawn_facts(path, size, public)
    blobs.mkdir(parents=True, exist_ok=True)
    for name, content in files.items():
        (blobs / name).write_bytes(content)
    return facts


@lru_cache(maxsize=64)
def _drawn_facts(path: str, size: tuple[int, int], public: bool) -> tuple[ImageFacts, dict[str, bytes]]:
    """Draw a picture and encode its copies, once for all tests that show it."""
    files: dict[str, bytes] = {}

    def copy(picture: Image.Image, suffix: str) -> Derivative:
        name = hashlib.sha256(picture.tobytes()).hexdigest()[:32] + f"-{picture.width}{suffix}"
        encoded, quick = io.BytesIO(), {"speed": 10, "max_threads": 1} if suffix == ".avif" else {}
        picture.save(encoded, Image.registered_extensions()[suffix], **quick)
        files[name] = encoded.getvalue()
        return Derivative(picture.width, picture.height, name)

    seed = int(hashlib.sha256(path.encode()).hexdigest()[:6], 16)
    is_stencil = "/stencils/" in path
    picture = Image.new("RGB", size, "white" if is_stencil else (180 - seed % 40, 140 - seed % 30, 120))
    drawing = ImageDraw.Draw(picture)
    box = (size[0] // 4, size[1] // 5, size[0] * 3 // 4, size[1] * 4 // 5)
    drawing.ellipse(box, outline=(20, 20, 24), width=10)
    drawing.line((box[0], box[1], box[2], box[3]), fill=(20, 20, 24), width=6)
    halves = (picture, picture.reduce(2), picture.reduce(4))
    suffix = ".png" if is_stencil else ".jpg"
    screen = tuple(copy(half, suffix) for half in halves)
    facts = ImageFacts(
        path=path,
        digest=hashlib.sha256(path.encode()).hexdigest(),
        file_format="PNG" if is_stencil else "JPEG",
        width=size[0],
        height=size[1],
        marks=box if is_stencil else None,
        screen=screen,
        public=tuple(copy(half, kind) for kind in (".webp", ".avif") for half in halves if public and not is_stencil),
        print_copy=copy(picture.crop(box).convert("L"), ".png") if is_stencil else screen[0],
    )
    return facts, files


def paper_facts(path: str) -> ImageFacts:
    """Facts of a picture that is never drawn: fast, for tests that open no picture."""
    copy = (Derivative(800, 1000, "none.webp"),)
    is_stencil = "/stencils/" in path
    return ImageFacts(
        path=path,
        digest=hashlib.sha256(path.encode()).hexdigest(),
        file_format="JPEG",
        width=800,
        height=1000,
        marks=(200, 200, 600, 800) if is_stencil else None,
        screen=copy,
        public=() if is_stencil else copy,
        print_copy=copy[0],
    )


def make_catalogue(tmp_path: Path, *pieces: model.Piece, facts_of=None, **changes) -> Catalogue:
    """A catalogue of the pieces (by default one), blobs in tmp_path/blobs.

    Every named picture is drawn, unless facts_of (such as paper_facts) says what is known of it.
    """
    pieces = pieces or (make_piece(),)
    drawn = (*pieces, *(design.bare for design in changes.get("designs", ())))
    paths = [path for piece in drawn for path in (*piece.photos, *piece.stencils, *piece.references)]
    values = {
        "config": Config(
            root=tmp_path,
            archive=ArchiveSettings(title="Working archive"),
            portfolio=PortfolioSettings(title="Harbour Lane", artist="Sample Artist", url="https://example.org"),
        ),
        "pieces": pieces,
        "inks": {
            "GW2-2231": model.InkBatch(
                batch="GW2-2231", name="grey wash 2", opened=dt.date(2026, 1, 10), expiry=dt.date(2027, 8, 1)
            )
        },
        "clients": {"C-0042": model.Client(code="C-0042", name="Private Name", contact="private@example.org")},
        "facts": {path: facts_of(path) if facts_of else make_facts(path, tmp_path / "blobs") for path in paths},
        "findings": (),
        "built_on": TODAY,
    }
    return Catalogue(**{**values, **changes})


def paper_catalogue(tmp_path: Path, *pieces: model.Piece, **changes) -> Catalogue:
    """The same with no picture drawn."""
    return make_catalogue(tmp_path, *pieces, facts_of=paper_facts, **changes)
