"""Pictures whose kind was said by eye before any limit was set: of the demo, of scikit-image and of Debian.

Every second of each list was held back while limits were set.
"""

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import skimage.data

from archgen.images import decode
from archgen.picture_facts.facts import Role

HERE = Path(__file__).parent
DEMO = HERE.parent / "content" / "pieces"
CLIP_ART = Path("/usr/share/openclipart/png")
SCENES = (Path("/usr/share/backgrounds"), Path("/usr/share/wallpapers"))
# Photographs and scans of scikit-image; what it draws itself is left out.
_PHOTOGRAPHS = (
    *("coffee.png", "camera.png", "astronaut.png", "color.png", "gravel.png", "brick.png", "hubble_deep_field.jpg"),
    *("moon.png", "grass.png", "retina.jpg", "ihc.png", "motorcycle_left.png", "motorcycle_right.png", "rocket.jpg"),
    *("chelsea.png", "coins.png", "clock_motion.png", "microaneurysms.png", "page.png", "text.png"),
)


@dataclass(frozen=True, slots=True)
class Expected:
    """One picture, what it is, where it is from, and whether it was held back."""

    path: Path
    role: Role
    source: str
    is_held_back: bool


def expected_kinds() -> Iterator[Expected]:
    """Give all that are there."""
    for number, piece in enumerate(sorted(DEMO.iterdir())):
        for role in Role:
            for path in sorted((piece / f"{role.value}s").glob("*")):
                if path.suffix.lower() in decode.SUFFIXES:
                    yield Expected(path, role, "demo", number % 2 == 1)
    said = tomllib.loads((HERE / "reference" / "sorting_expected.toml").read_text(encoding="utf-8"))
    for role in (Role.STENCIL, Role.REFERENCE):
        paths = [CLIP_ART / name for name in said[role.value]]
        yield from _halves((path for path in paths if path.is_file()), role, "drawings")
    photographs = (Path(skimage.data.__file__).parent / name for name in _PHOTOGRAPHS)
    yield from _halves((path for path in photographs if path.is_file()), Role.REFERENCE, "photographs")
    yield from _halves(_scenes(), Role.REFERENCE, "wallpapers")


def _halves(paths: Iterator[Path], role: Role, source: str) -> Iterator[Expected]:
    for number, path in enumerate(paths):
        yield Expected(path, role, source, number % 2 == 1)


def _scenes() -> Iterator[Path]:
    """Give the wallpapers, one size of each."""
    found = (path for path in SCENES[0].rglob("*") if path.suffix in {".jpg", ".png", ".webp"})
    yield from sorted(path for path in found if path.is_file() and not path.is_symlink())
    yield from sorted(SCENES[1].glob("*/contents/screenshot.*"))
    for folder in sorted(SCENES[1].glob("*/contents/images")):
        yield max(sorted(folder.glob("*")), key=lambda path: path.stat().st_size)
