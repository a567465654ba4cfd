"""Pictures of pieces as they are asked about: phone photos of tattoos, scans, screenshots, photos of a printed sheet.

Made another way than the demo's photos: a limb is a tube in space before a camera, so that what lies farther round it
or farther away is smaller; the ink is drawn anew by an unsteady hand, with lines of another weight, shaded or coloured;
skin stretches. Behind and beside it stand scikit-image's photographs, other tattoos, cloth. The same number gives the
same picture. No skin here is real, which flatters whatever finds lines.
"""

from dataclasses import dataclass, field
from enum import StrEnum

import cv2
import numpy as np
from PIL import Image
from skimage import data

from tests.bench.drawn_archive import PPM, DrawnPiece, drawn_ink
from tests.demo.drawing import MOTIFS, motif
from tests.demo.geom import Array
from tests.demo.raster import stencil as drawn_stencil

F = np.float32
# Width over the radius of the limb is drawn from here: two is a third of the way round and more.
_WRAPS = (0.3, 1.9)
# From the lightest to the darkest skin, as displayed.
_SKINS = ((238, 208, 190), (228, 190, 165), (210, 168, 138), (184, 136, 108), (138, 94, 72), (92, 62, 49))


class Kind(StrEnum):
    """What a picture shows."""

    FRESH = "fresh"
    HEALED = "healed"
    IN_PROGRESS = "in progress"
    SCAN = "scan"
    SCREENSHOT = "screenshot"
    PRINT = "photo of a print"

    @property
    def is_skin(self) -> bool:
        """Say whether it is a tattoo."""
        return self in {Kind.FRESH, Kind.HEALED, Kind.IN_PROGRESS}


@dataclass(frozen=True, slots=True)
class Shown:
    """A picture, and where points of the stencil lie in it.

    Attributes:
        stencil_mm: Points of the stencil's lines, in mm from the upper left corner of its picture; skin only.
        places: Where they lie, in pixels; not a number where they cannot be seen.
        px_per_mm: Mean scale there.
    """

    picture: Image.Image
    stencil_mm: Array = field(default_factory=lambda: np.zeros((0, 2), F))
    places: Array = field(default_factory=lambda: np.zeros((0, 2), F))
    px_per_mm: float = 0.0


def stencil_of(piece: DrawnPiece) -> Image.Image:
    """Give the stencil that is filed: black lines on white, at 10 pixels a millimetre; solid black is outlined."""
    if piece.drawing in MOTIFS:
        return drawn_stencil(motif(piece.drawing, piece.width_mm), PPM * 25.4)
    lines = drawn_ink(piece).lines
    thick = cv2.dilate(cv2.erode(lines, np.ones((9, 9))), np.ones((9, 9)))
    solid = (thick > 0.5).astype(F)
    hollow = cv2.erode(solid, np.ones((5, 5), np.uint8))
    return Image.fromarray(np.round(255 * (1 - np.clip(lines - hollow, 0, 1))).astype(np.uint8))


def shown(piece: DrawnPiece, kind: Kind, seed: int, beside: DrawnPiece | None = None, long_side: int = 1280) -> Shown:
    """Make the picture of a kind; `beside` is another tattoo of the same limb."""
    rng = np.random.default_rng([piece.number, seed, list(Kind).index(kind)])
    if kind.is_skin:
        return _on_skin(piece, kind, rng, beside, long_side)
    sheet = np.asarray(stencil_of(piece))
    if kind is Kind.SCREENSHOT:
        return Shown(_screenshot(sheet, rng))
    return Shown(_scan(sheet, rng) if kind is Kind.SCAN else _print_photo(sheet, rng, long_side))


# --- ink -----------------------------------------------------------------------------------------------------------


def _hand(shape: tuple[int, ...], rng: np.random.Generator) -> tuple[Array, Array]:
    """Give by how much another hand and the skin move each place, in mm: wobble of the hand, stretch of the skin."""
    height, width = shape[0] / PPM, shape[1] / PPM
    moved = []
    for _ in range(2):
        wobble = _waves(shape, 4.0, rng) * rng.uniform(0.03, 0.12) + _waves(shape, 14.0, rng) * rng.uniform(0.1, 0.35)
        slope = rng.normal(0, 0.02, 2)
        x = np.linspace(-width / 2, width / 2, shape[1], dtype=F)[None, :]
        y = np.linspace(-height / 2, height / 2, shape[0], dtype=F)[:, None]
        moved.append((wobble + F(slope[0]) * x + F(slope[1]) * y).astype(F))
    return moved[0], moved[1]


def _waves(shape: tuple[int, ...], mm: float, rng: np.random.Generator, ppm: float = PPM) -> Array:
    """Give smooth noise with a spread of one, whose waves are about so long."""
    cells = max(2, round(shape[0] / ppm / mm) + 2), max(2, round(shape[1] / ppm / mm) + 2)
    small = rng.normal(0, 1, cells).astype(F)
    return np.asarray(cv2.resize(small, (shape[1], shape[0]), interpolation=cv2.INTER_CUBIC), F)


def _drawn_ink(piece: DrawnPiece, kind: Kind, rng: np.random.Generator) -> tuple[Array, Array, Array, Array]:
    """Give the density of ink, its colour, and where each of its pixels comes from in the stencil, in mm."""
    maps = drawn_ink(piece)
    lines, tone = maps.lines.astype(F), maps.tone.astype(F)
    heavier = rng.uniform(-0.04, 0.11)  # mm on each side
    lines = np.clip((cv2.GaussianBlur(lines, (0, 0), 1.2) - 0.5 + heavier * 3.3) * 3.5 + 0.5, 0, 1) * 0.95
    shading = rng.uniform(0.0, 1.0)
    density = np.maximum(lines, tone * F(shading if kind is not Kind.IN_PROGRESS else 0.2 * shading))
    if kind is Kind.IN_PROGRESS:
        done = _waves(density.shape, 30.0, rng) > rng.normal(-0.6, 0.3)
        left = 0.25 * rng.uniform(0, 1.6)  # what is left of the transfer's violet lines
        density = np.where(cv2.GaussianBlur(done.astype(F), (0, 0), 5) > 0.5, density, lines * F(left))
    colour = np.ones((*density.shape, 3), F) * np.array([1.0, 0.93, 0.86], F)
    if rng.random() < 0.35:
        field_ = np.stack([_waves(density.shape, 16.0, rng) for _ in range(3)], axis=-1)
        filled = cv2.GaussianBlur((tone > 0.03).astype(F), (0, 0), 3)
        hue = np.clip(0.45 + 0.45 * field_, 0.05, 1)
        soft = np.clip(filled * 0.5, 0, 1) * (density < 0.55)
        density = np.maximum(density, soft)
        colour = np.where((soft > 0)[..., None], hue, colour)
    return density, colour, *_hand(density.shape, rng)


# --- skin ----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Limb:
    """A tube before a camera: where each pixel's ray meets it, along and round it in mm, and the skin's tilt there."""

    along: Array
    around: Array
    normal: Array
    on: Array


def _limb(size: tuple[int, int], width_mm: float, height_mm: float, rng: np.random.Generator) -> tuple[_Limb, float]:
    width, height = size
    radius = width_mm / rng.uniform(*_WRAPS)
    fill = rng.uniform(0.38, 0.9)
    across = max(width_mm / width, height_mm / height)
    far = rng.uniform(2.2, 6.0) * max(width_mm, height_mm)
    focal = fill * far / across  # px
    turn = np.radians(rng.uniform(-180, 180) if rng.random() < 0.25 else rng.normal(0, 18))
    lean, roll = np.radians(rng.normal(0, 13)), np.radians(rng.normal(0, 10))
    axis = np.array([np.sin(turn) * np.cos(lean), np.cos(turn) * np.cos(lean), np.sin(lean)])
    right = np.cross(axis, [0, 0, 1.0])
    right /= np.linalg.norm(right)
    out = np.cross(right, axis)  # from the axis to the camera
    out = out if out[2] > 0 else -out
    out, right = out * np.cos(roll) + right * np.sin(roll), right * np.cos(roll) - out * np.sin(roll)
    middle = -radius * out  # the drawing's middle lies at the origin
    room = (1 - fill) * 0.45
    shift = rng.uniform(-room, room, 2) * (width, height)
    yy, xx = np.mgrid[0:height, 0:width].astype(np.float64)
    ray = np.stack([(xx - width / 2 - shift[0]) / focal, (yy - height / 2 - shift[1]) / focal, -np.ones_like(xx)], -1)
    start = np.array([0, 0, far]) - middle
    flat_ray, flat_start = ray - (ray @ axis)[..., None] * axis, start - (start @ axis) * axis
    a = (flat_ray**2).sum(-1)
    b = flat_ray @ flat_start
    root = b * b - a * (flat_start @ flat_start - radius**2)
    on = root > 0
    hit = start + ray * ((-b - np.sqrt(np.maximum(root, 0))) / a)[..., None]
    normal = (hit - (hit @ axis)[..., None] * axis) / radius
    around = radius * np.arctan2(normal @ right, normal @ out)
    return _Limb((hit @ axis).astype(F), around.astype(F), normal.astype(F), on.astype(F)), focal / far


def _on_skin(
    piece: DrawnPiece, kind: Kind, rng: np.random.Generator, beside: DrawnPiece | None, long_side: int
) -> Shown:
    portrait = rng.random() < 0.75
    size = (long_side * 3 // 4, long_side) if portrait else (long_side, long_side * 3 // 4)
    density, colour, moved_x, moved_y = _drawn_ink(piece, kind, rng)
    width_mm, height_mm = density.shape[1] / PPM, density.shape[0] / PPM
    limb, scale = _limb(size, width_mm, height_mm, rng)
    stencil_x = limb.around + F(width_mm / 2)
    stencil_y = limb.along + F(height_mm / 2)
    at_x, at_y = stencil_x * F(PPM), stencil_y * F(PPM)
    drift_x, drift_y = (cv2.remap(one, at_x, at_y, cv2.INTER_LINEAR) for one in (moved_x, moved_y))
    from_x, from_y = at_x + drift_x * F(PPM), at_y + drift_y * F(PPM)
    detail = max(0.0, 0.5 * PPM / scale - 0.5)
    soft = cv2.GaussianBlur(density, (0, 0), max(0.3, detail, PPM * (0.17 if kind is Kind.HEALED else 0.05)))
    ink = cv2.remap(soft, from_x, from_y, cv2.INTER_LINEAR)
    tint = cv2.remap(colour, from_x, from_y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    if beside is not None:
        ink = np.maximum(ink, _other_ink(beside, limb, width_mm, height_mm, rng))
    picture, cover = _lit(ink * limb.on, tint, limb, (kind, scale), rng)
    lines = np.asarray(stencil_of(piece))
    stencil_mm, places = _truth(lines, from_x / F(PPM), from_y / F(PPM), limb.on * (cover < 0.5))
    photo, enlarged = _camera(picture, rng)
    return Shown(photo, stencil_mm, places * enlarged, scale * enlarged)


def _other_ink(beside: DrawnPiece, limb: _Limb, width_mm: float, height_mm: float, rng: np.random.Generator) -> Array:
    maps = drawn_ink(beside)
    other = np.asarray(cv2.GaussianBlur(np.maximum(maps.lines, maps.tone), (0, 0), 1.5), F)
    side = rng.choice([-1, 1])
    up = side * (height_mm / 2 + other.shape[0] / PPM / 2 + rng.uniform(2, 10))
    aside = rng.normal(0, width_mm / 5)
    at_x = (limb.around - F(aside)) * F(PPM) + other.shape[1] / 2
    at_y = (limb.along - F(up)) * F(PPM) + other.shape[0] / 2
    return np.asarray(cv2.remap(other, at_x.astype(F), at_y.astype(F), cv2.INTER_LINEAR), F)


def _truth(sheet: Array, from_x: Array, from_y: Array, seen: Array) -> tuple[Array, Array]:
    """Say where some points of the stencil's lines lie: at the pixels that show places nearest to them."""
    rows, columns = np.nonzero(sheet < 110)
    some = np.linspace(0, len(rows) - 1, 400).astype(int) if len(rows) else np.zeros(0, int)
    points = np.stack([columns[some], rows[some]], axis=1).astype(F) / PPM
    places = np.full_like(points, np.nan)
    step = 2
    grid_x, grid_y, on = from_x[::step, ::step], from_y[::step, ::step], seen[::step, ::step] > 0.5
    for number, (x, y) in enumerate(points):
        apart = np.where(on, (grid_x - x) ** 2 + (grid_y - y) ** 2, np.inf)
        at = int(np.argmin(apart))
        row, column = divmod(at, apart.shape[1])
        if apart[row, column] < 0.35**2:
            places[number] = column * step, row * step
    return points, places


def _lit(
    ink: Array, tint: Array, limb: _Limb, how: tuple[Kind, float], rng: np.random.Generator
) -> tuple[Array, Array]:
    """Give the picture in linear light, and what covers the skin; `how` is what is shown, and pixels a mm."""
    shape, (kind, scale) = ink.shape, how
    base = (np.array(_SKINS[int(rng.integers(len(_SKINS)))], F) / 255) ** F(2.2)
    blotch = (
        1
        + 0.06 * _waves(shape, 12, rng, scale)
        + 0.05 * _waves(shape, 3, rng, scale)
        + 0.03 * _waves(shape, 0.7, rng, scale)
    )
    skin = base * blotch[..., None] ** np.array([0.7, 1.1, 1.3], F)
    if kind is not Kind.HEALED:
        halo = np.clip(cv2.GaussianBlur(ink, (0, 0), 2.5 * scale) * 1.8, 0, 1) * F(rng.uniform(0.2, 1.0))
        skin = skin * (1 - halo[..., None] * np.array([0.02, 0.42, 0.38], F))
    strength = F(rng.uniform(1.0, 2.0) if kind is Kind.HEALED else rng.uniform(2.2, 3.8))
    skin = skin * np.exp(-ink[..., None] * strength * tint)
    skin += ink[..., None] * np.array([0.018, 0.022, 0.027], F) * (1.0 if kind is Kind.HEALED else 0.4)
    skin = skin * (1 - _hairs(shape, scale, kind, rng)[..., None] * 0.6)
    light = np.array([rng.normal(0, 0.55), rng.normal(-0.3, 0.5), 1.0], F)
    light /= np.linalg.norm(light)
    bumps = cv2.GaussianBlur(_waves(shape, 1.0, rng, scale), (0, 0), 0.2 * scale + 0.3)
    slope = np.stack([cv2.Sobel(bumps, cv2.CV_32F, 1, 0), cv2.Sobel(bumps, cv2.CV_32F, 0, 1)], -1) * F(0.03)
    normal = limb.normal.copy()
    normal[..., :2] -= slope
    facing = np.clip(normal @ light, 0, 1)
    ambient = F(rng.uniform(0.15, 0.6))
    lit = skin * (ambient + (1 - ambient) * facing[..., None])
    half = light + np.array([0, 0, 1], F)
    half /= np.linalg.norm(half)
    gloss = rng.uniform(0, 0.35) if kind is not Kind.HEALED else rng.uniform(0, 0.08)
    lit += F(gloss) * (np.clip(normal @ half, 0, 1) ** F(rng.uniform(20, 90)))[..., None]
    back = _backdrop(shape, rng)
    picture = lit * limb.on[..., None] + back * (1 - limb.on[..., None])
    cover = np.zeros(shape, F)
    if rng.random() < 0.2:  # a sleeve or a hand in a glove over an edge
        turn, reach = rng.uniform(0, 2 * np.pi), rng.uniform(0.25, 0.45)
        yy, xx = np.mgrid[0 : shape[0], 0 : shape[1]].astype(F)
        edge = (xx / shape[1] - 0.5) * F(np.cos(turn)) + (yy / shape[0] - 0.5) * F(np.sin(turn))
        cover = (edge + 0.02 * _waves(shape, 20, rng, scale) > reach).astype(F)
        folds = 1 + 0.25 * _waves(shape, 6, rng, scale)
        cloth = rng.uniform(0.01, 0.4, 3).astype(F) * folds[..., None]
        picture = np.where(cover[..., None] > 0.5, np.clip(cloth, 0, 1), picture)
    return np.clip(picture, 0, 1.2), cover


def _hairs(shape: tuple[int, ...], scale: float, kind: Kind, rng: np.random.Generator) -> Array:
    count = int(rng.choice([0, 60, 200, 500])) if kind is Kind.HEALED else int(rng.choice([0, 0, 40, 120]))
    canvas = np.zeros(shape, np.uint8)
    way = rng.uniform(0, 2 * np.pi)
    for _ in range(count):
        at, heading, bend = rng.uniform(0, 1, 2) * shape[::-1], way + rng.normal(0, 0.35), rng.normal(0, 0.12)
        points = [at]
        for _ in range(7):
            heading += bend
            points.append(points[-1] + rng.uniform(0.7, 1.6) * scale * np.array([np.cos(heading), np.sin(heading)]))
        line = np.round(np.array(points) * 8).astype(np.int32)
        cv2.polylines(canvas, [line], False, int(rng.integers(80, 220)), 1, cv2.LINE_AA, 3)
    return canvas.astype(F) / 255


def _photograph(rng: np.random.Generator) -> Array:
    names = ("coffee", "chelsea", "brick", "grass", "gravel", "rocket")
    picture = np.asarray(getattr(data, str(rng.choice(names)))())
    return np.asarray(np.dstack([picture] * 3) if picture.ndim == 2 else picture[..., :3], F) / 255


def _backdrop(shape: tuple[int, ...], rng: np.random.Generator) -> Array:
    if rng.random() < 0.4:
        return np.ones((*shape, 3), F) * rng.uniform(0.01, 0.7, 3).astype(F)
    picture = _photograph(rng)
    soft = cv2.GaussianBlur(cv2.resize(picture, shape[::-1]), (0, 0), float(rng.choice([0.5, 2, 8])))
    return np.asarray(soft ** F(2.2))


def _camera(picture: Array, rng: np.random.Generator) -> tuple[Image.Image, float]:
    """Expose, blur, shrink and compress; also says by how much it was enlarged."""
    cast = 1 + rng.normal(0, 0.05, 3)
    light = picture * F(rng.uniform(0.75, 1.5)) * cast.astype(F)
    height, width = light.shape[:2]
    yy, xx = np.mgrid[-1 : 1 : height * 1j, -1 : 1 : width * 1j]
    slope = rng.normal(0, 0.25, 2)
    light = light * np.exp(slope[0] * xx + slope[1] * yy - 0.15 * (xx**2 + yy**2)).astype(F)[..., None]
    light = cv2.GaussianBlur(light, (0, 0), float(rng.uniform(0.4, 2.0)))
    if rng.random() < 0.25:
        light = _shaken(light, rng)
    shown_ = np.clip(light, 0, 1) ** F(1 / 2.2) * 255 + rng.normal(0, rng.uniform(1, 6), light.shape)
    enlarged = float(rng.choice([0.6, 0.8, 1.0, 1.25]))
    made = Image.fromarray(np.clip(shown_, 0, 255).astype(np.uint8))
    made = made.resize((round(width * enlarged), round(height * enlarged)), Image.Resampling.BICUBIC)
    return _as_jpeg(made, int(rng.integers(55, 93))), enlarged


def _shaken(light: Array, rng: np.random.Generator) -> Array:
    long = int(rng.integers(3, 8))
    kernel = np.zeros((long, long), F)
    turn = rng.uniform(0, np.pi)
    end = np.array([np.cos(turn), np.sin(turn)]) * long / 2
    middle = np.array([long / 2, long / 2])
    cv2.line(kernel, tuple(np.int32(middle - end)), tuple(np.int32(middle + end)), 1.0)
    return np.asarray(cv2.filter2D(light, -1, kernel / max(float(kernel.sum()), 1.0)))


def _as_jpeg(picture: Image.Image, quality: int) -> Image.Image:
    ok, coded = cv2.imencode(".jpg", np.asarray(picture)[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, quality])
    assert ok
    return Image.fromarray(cv2.imdecode(coded, cv2.IMREAD_COLOR)[..., ::-1].copy())


# --- paper and screens ------------------------------------------------------------------------------------------------


def _sheet(sheet: Array, rng: np.random.Generator, violet: float = 0.5) -> Array:
    """Print on paper that is larger; black or the violet of a transfer."""
    edge = (int(sheet.shape[0] * rng.uniform(0.1, 0.6)), int(sheet.shape[1] * rng.uniform(0.1, 0.6)))
    paper = np.pad(sheet, [(edge[0], edge[0]), (edge[1], edge[1])], constant_values=255).astype(F) / 255
    ink = np.array([0.28, 0.18, 0.5] if rng.random() < violet else [0.08, 0.08, 0.09], F)
    tone = rng.uniform(0.85, 1.0) * np.array([1.0, rng.uniform(0.96, 1.0), rng.uniform(0.88, 1.0)], F)
    return ink + (tone - ink) * paper[..., None]


def _turned(picture: Array, degrees: float, border: tuple[float, ...]) -> Array:
    height, width = picture.shape[:2]
    matrix = cv2.getRotationMatrix2D((width / 2, height / 2), degrees, 1.0)
    cosine, sine = abs(matrix[0, 0]), abs(matrix[0, 1])
    size = round(width * cosine + height * sine), round(width * sine + height * cosine)
    matrix[:, 2] += (size[0] - width) / 2, (size[1] - height) / 2
    return np.asarray(cv2.warpAffine(picture, matrix, size, borderMode=cv2.BORDER_CONSTANT, borderValue=border))


def _scan(sheet: Array, rng: np.random.Generator) -> Image.Image:
    paper = _sheet(sheet, rng)
    turn = float(rng.normal(0, 4)) + 90 * int(rng.choice([0, 0, 0, 1, 2, 3]))
    light = _turned(paper, turn, (0.95, 0.95, 0.94)) + rng.normal(0, 0.015)
    light = cv2.GaussianBlur(light, (0, 0), float(rng.uniform(0.5, 1.6)))
    pixels = np.clip(light * 255 + rng.normal(0, 3, light.shape), 0, 255).astype(np.uint8)
    small = rng.uniform(0.5, 1.0)
    made = Image.fromarray(pixels)
    made = made.resize((round(made.width * small), round(made.height * small)), Image.Resampling.LANCZOS)
    return _as_jpeg(made, int(rng.integers(60, 93)))


def _screenshot(sheet: Array, rng: np.random.Generator) -> Image.Image:
    width, height = [(1080, 2340), (1440, 900), (750, 1334)][int(rng.integers(3))]
    screen = Image.new("RGB", (width, height), tuple(int(v) for v in rng.choice([18, 245]) + rng.integers(-8, 8, 3)))
    share = rng.uniform(0.45, 0.95)
    scale = min(width * share / sheet.shape[1], height * share / sheet.shape[0])
    size = round(sheet.shape[1] * scale), round(sheet.shape[0] * scale)
    small = Image.fromarray(sheet).resize(size, Image.Resampling.LANCZOS).convert("RGB")
    room = (width - size[0], height - size[1])
    screen.paste(small, (int(rng.integers(room[0] + 1)), int(rng.integers(room[1] + 1))))
    pixels = np.asarray(screen).copy()
    grey = int(rng.integers(90, 170))
    for row in range(30, 90, 20):  # the bar above, with words
        pixels[row : row + 9, 40 : 40 + int(rng.integers(60, width // 2))] = grey
    for column in range(width // 8, width, width // 4):
        cv2.circle(pixels, (column, height - 60), 18, (grey,) * 3, 3)
    return Image.fromarray(pixels)


def _print_photo(sheet: Array, rng: np.random.Generator, long_side: int) -> Image.Image:
    paper = cv2.resize(_sheet(sheet, rng), None, fx=0.9, fy=0.9, interpolation=cv2.INTER_AREA)
    size = (long_side * 3 // 4, long_side)
    desk = cv2.resize(_photograph(rng), size)
    scale = min(size[0] / paper.shape[1], size[1] / paper.shape[0]) * rng.uniform(0.6, 1.0)
    turn = np.radians(rng.uniform(-180, 180) if rng.random() < 0.3 else rng.normal(0, 12))
    half = np.array([paper.shape[1], paper.shape[0]]) / 2
    corners = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]) * half * scale
    turned = corners @ np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    slant = 1 + turned @ rng.normal(0, 0.18, 2) / long_side
    placed = (turned / slant[:, None] + np.array(size) / 2 + rng.normal(0, 25, 2)).astype(F)
    flat = np.array([(0, 0), (paper.shape[1], 0), (paper.shape[1], paper.shape[0]), (0, paper.shape[0])], F)
    matrix = cv2.getPerspectiveTransform(flat, placed)
    alpha = cv2.warpPerspective(np.ones(paper.shape[:2], F), matrix, size, flags=cv2.INTER_LINEAR)
    laid = cv2.warpPerspective(cv2.GaussianBlur(paper, (0, 0), 1.0), matrix, size, flags=cv2.INTER_AREA)
    picture = (laid * alpha[..., None] + desk * (1 - alpha[..., None])).astype(F)
    return _camera(picture ** F(2.2), rng)[0]
