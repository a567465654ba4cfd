"""Read one new picture once: what its file tells, what is measured, small copies, the description for comparing."""

import datetime as dt
import errno
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import msgspec
import numpy as np
import PIL
import pillow_heif
from PIL import Image

from archgen.doubles.stored import DESCRIBE
from archgen.errors import InputError, OutputError, disk_reason
from archgen.images import color, decode, derivatives, orient
from archgen.intake.reading import measures
from archgen.intake.reading.measures import Measures
from archgen.languages.house import say
from archgen.metadata.file_rights import EmbeddedRights
from archgen.metadata.origin import FileOrigin
from archgen.metadata.picture_file import open_file
from archgen.picture_facts.facts import Derivative
from archgen.picture_facts.stage import quiet
from archgen.progress import ProgressReporter
from archgen.stencils import drawn_part, stencil_file
from archgen.storage.cache import Cache
from archgen.storage.jobs import Budget, run

# Raise with every change of what is kept.
VERSION = 2
# Long side that everything is worked out from: a quarter of a telephone's picture, which JPEG decodes by itself.
READ_PX = 1600
SMALL_PX = 520
# Pixels that an SVG or PDF is drawn across, and at most in all.
_VECTOR_PX, _VECTOR_PIXELS = 2000, 16_000_000
_LIGHT = 170


class PictureLook(msgspec.Struct, frozen=True, kw_only=True):
    """What was found in one picture.

    Attributes:
        width: Pixels of the upright picture, as height.
        taken: The camera's date.
        has_camera: Whether a camera made it: the file names one, its date, or holds notes of its maker.
        small: A copy for looking at; a blob, as are the others.
        middle: A copy of about 1000 pixels, for laying lines on lines.
        description: For comparing with other pictures.
        line_width_px: Pixels across what is drawn, measured only where the file says its size on paper.
    """

    digest: str
    file_bytes: int
    file_format: str
    width: int
    height: int
    taken: dt.datetime | None
    has_camera: bool
    origin: FileOrigin
    rights: EmbeddedRights | None
    measures: Measures
    small: Derivative
    middle: Derivative
    description: str
    line_width_px: int | None = None

    @property
    def blobs(self) -> tuple[str, ...]:
        """Give the blobs that belong to it."""
        return self.small.blob, self.middle.blob, self.description


@dataclass(frozen=True, slots=True)
class Unreadable:
    """Why a file cannot be used, in one sentence."""

    sentence: str


def look_at_all(
    paths: list[Path], cache: Cache, workers: int, progress: ProgressReporter
) -> dict[Path, PictureLook | Unreadable]:
    """Read all pictures, from the cache where they were read before."""
    read = partial(_read, cache=cache, memory=Budget(decode.MEMORY_BYTES))
    with quiet():
        found = progress.track(run(read, paths, workers), len(paths), "Reading pictures")
        return dict(zip(paths, found, strict=True))


def _read(path: Path, cache: Cache, memory: Budget) -> PictureLook | Unreadable:
    try:
        digest = cache.digest(path)
        key = _key(digest)
        known = _known(cache, key)
        if known is not None:
            return known
        seen = _look(path, digest, cache, memory)
        cache.put(key, msgspec.json.encode(seen))
    except decode.UnusableError as trouble:
        return Unreadable(trouble.problem)
    except InputError as trouble:
        return Unreadable(str(trouble).removeprefix(f"{path.name}: "))
    except OSError as error:
        if error.errno in {errno.ENOSPC, errno.EDQUOT}:
            raise OutputError(
                say("The disk is full, so nothing can be planned. Free some space and try again.")
            ) from error
        return Unreadable(say("The file cannot be read ({reason}).", reason=disk_reason(error)))
    return seen


def _key(digest: str) -> str:
    libraries = f"Pillow {PIL.__version__}, pillow_heif {pillow_heif.__version__}"
    return Cache.key("intake", VERSION, str(measures.VERSION), digest, libraries, DESCRIBE.name)


def _known(cache: Cache, key: str) -> PictureLook | None:
    known = cache.value(key, PictureLook)
    return known if known and cache.has_blobs(known.blobs) else None


def _look(path: Path, digest: str, cache: Cache, memory: Budget) -> PictureLook:
    if stencil_file.is_vector(path):
        with memory.hold(decode.MEMORY_BYTES):
            drawn = stencil_file.open_vector(path).whole(_VECTOR_PX, _VECTOR_PIXELS)
        size = drawn.width, drawn.height
        made = _made(drawn.reduce(2), digest, path, cache)
        return msgspec.structs.replace(made, file_format=path.suffix[1:4].upper(), width=size[0], height=size[1])
    with open_file(path) as file:
        factor = _factor(file.width, file.height)
        origin = file.origin
        # A drawing that says its size on paper is measured at full size, once.
        is_measured = origin.dots_per_inch is not None and not origin.camera
        needed = file.memory_needed(1 if is_measured else factor, as_gray=False)
        if is_measured and needed + drawn_part.memory_needed(file.width * file.height) > decode.MEMORY_BYTES:
            is_measured, needed = False, file.memory_needed(factor, as_gray=False)
        decode.check_memory(file, needed)
        with memory.hold(needed):
            told, rights = file.told, file.rights
            picture = orient.upright(file.load(1 if is_measured else factor), told.orientation)
            marks = drawn_part.marks_box(_gray(picture)) if is_measured and _is_light(picture) else None
            picture = picture.reduce(factor) if is_measured and factor > 1 else picture
    seen = _made(_in_srgb(picture, file.profile), digest, path, cache)
    width, height = orient.upright_size(file.width, file.height, told.orientation)
    return msgspec.structs.replace(
        seen,
        file_format=file.file_format,
        width=width,
        height=height,
        taken=told.taken,
        has_camera=bool(origin.camera or told.taken) or "notes by the camera's maker" in told.private,
        origin=origin,
        rights=rights,
        line_width_px=marks[2] - marks[0] if marks else None,
    )


def _made(picture: Image.Image, digest: str, path: Path, cache: Cache) -> PictureLook:
    """Measure the pixels and keep the copies."""
    sizes = derivatives.halves(picture)
    middle = sizes[derivatives.nearest_to_print([size.size for size in sizes])]
    return PictureLook(
        digest=digest,
        file_bytes=path.stat().st_size,
        file_format="",
        width=picture.width,
        height=picture.height,
        taken=None,
        has_camera=False,
        origin=FileOrigin(),
        rights=None,
        measures=measures.measure_picture(middle),
        description=cache.put_blob(DESCRIBE.make(middle.copy()), ".bin"),
        middle=_keep(cache, middle),
        small=_keep(cache, _fitting(middle, SMALL_PX)),
    )


def _gray(picture: Image.Image) -> Image.Image:
    return picture.getchannel(0) if picture.mode == "LAB" else picture.convert("L")


def _is_light(picture: Image.Image) -> bool:
    """Say whether a picture may be a drawing on paper, before its lines are measured."""
    light = _gray(picture.reduce(max(1, max(picture.size) // 200)))
    return float(np.median(np.asarray(light))) > _LIGHT


def _factor(width: int, height: int) -> int:
    factor = 1
    while max(width, height) / factor >= READ_PX:
        factor *= 2
    return factor


def _in_srgb(picture: Image.Image, profile: bytes | None) -> Image.Image:
    try:
        return color.to_srgb(picture, profile)
    except color.UnusableProfileError:
        return color.to_srgb(picture, None)


def _fitting(picture: Image.Image, side: int) -> Image.Image:
    scale = side / max(picture.size)
    if scale >= 1:
        return picture.copy()
    size = (max(1, round(picture.width * scale)), max(1, round(picture.height * scale)))
    return picture.resize(size, Image.Resampling.BOX, reducing_gap=2.0)


def _keep(cache: Cache, picture: Image.Image) -> Derivative:
    return Derivative(picture.width, picture.height, cache.put_blob(derivatives.screen_jpeg(picture), ".jpg"))
