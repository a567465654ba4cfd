"""Whatever the size and kind of a picture, it ends as copies of the right shape, or as one finding."""

import io
import tempfile
from pathlib import Path

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from archgen.images import decode, orient
from archgen.metadata.tags import prove_clean
from archgen.picture_facts.facts import ImageJob, Role
from archgen.picture_facts.stage import read_pictures
from archgen.progress import Silent
from archgen.storage.cache import Cache

MODES = {
    "PNG": ["1", "L", "LA", "P", "RGB", "RGBA", "I;16"],
    "TIFF": ["1", "L", "LA", "P", "RGB", "RGBA", "CMYK", "I;16", "I", "F", "LAB"],
    "JPEG": ["L", "RGB", "CMYK"],
    "WEBP": ["RGB", "RGBA"],
    "HEIF": ["L", "RGB", "RGBA"],
    "AVIF": ["L", "RGB", "RGBA"],
}
KINDS = [(file_format, mode) for file_format, modes in MODES.items() for mode in modes]


def drawn(width: int, height: int, mode: str, seed: int) -> Image.Image:
    rng = np.random.default_rng(seed)
    if mode in {"I;16", "I", "F"}:
        kinds = {"I;16": np.uint16, "I": np.int32, "F": np.float32}
        return Image.fromarray((rng.random((height, width)) * 60000).astype(kinds[mode]))
    if mode in {"LAB", "CMYK"}:
        bands = [Image.fromarray(rng.integers(0, 256, (height, width), dtype=np.uint8)) for _ in range(len(mode))]
        return Image.merge(mode, bands)
    picture = Image.fromarray(rng.integers(0, 256, (height, width, 3), dtype=np.uint8))
    if mode in {"LA", "RGBA"}:
        picture = picture.convert("RGBA")
        picture.putalpha(Image.fromarray(rng.integers(0, 256, (height, width), dtype=np.uint8)))
    return picture.convert(mode)


def read(content: bytes, ending: str, role: Role):
    with tempfile.TemporaryDirectory() as made:
        folder, cache = Path(made) / "in", Cache(Path(made) / "cache")
        folder.mkdir()
        (folder / f"p.{ending}").write_bytes(content)
        result = read_pictures([ImageJob(f"p.{ending}", role, True)], folder, cache, 1, Silent())[f"p.{ending}"]
        facts = result.facts
        blobs = (
            {
                copy.blob: (cache.blobs / copy.blob).read_bytes()
                for copy in (*facts.screen, *facts.public, facts.print_copy)
            }
            if facts
            else {}
        )
    return result, blobs


@settings(max_examples=120, deadline=None)
@given(
    kind=st.sampled_from(KINDS),
    width=st.integers(1, 700),
    height=st.integers(1, 260),
    role=st.sampled_from(list(Role)),
    seed=st.integers(0, 9),
)
def test_any_size_and_kind_is_read(kind, width, height, role, seed):
    file_format, mode = kind
    buffer = io.BytesIO()
    drawn(width, height, mode, seed).save(buffer, file_format)
    ending = {"JPEG": "jpg", "TIFF": "tif", "HEIF": "heic"}.get(file_format, file_format.lower())
    result, blobs = read(buffer.getvalue(), ending, role)
    if min(width, height) < decode.MIN_SIDE_PX:
        assert [finding.code for finding in result.findings] == ["image.too-small"]
        return
    facts = result.facts
    assert (facts.width, facts.height) == (width, height)
    assert (facts.screen[0].width, facts.screen[0].height) == (width, height)
    for copy in (*facts.screen, *facts.public):
        assert copy.width <= width
        assert copy.height <= height
        with Image.open(io.BytesIO(blobs[copy.blob])) as picture:
            assert picture.size == (copy.width, copy.height)
        assert prove_clean(blobs[copy.blob]) == []
    if facts.marks:
        left, top, right, bottom = facts.marks
        assert 0 <= left < right <= width
        assert 0 <= top < bottom <= height
        assert (facts.print_copy.width, facts.print_copy.height) == (right - left, bottom - top)


@settings(max_examples=150, deadline=None)
@given(
    file_format=st.sampled_from(sorted(MODES)),
    damage=st.lists(st.tuples(st.floats(0, 1), st.integers(0, 255)), min_size=1, max_size=12),
    kept=st.floats(0, 1),
    role=st.sampled_from([Role.PHOTO, Role.STENCIL]),
)
def test_any_damage_ends_in_copies_or_in_a_finding(file_format, damage, kept, role):
    buffer = io.BytesIO()
    exif = Image.Exif()
    exif[0x0112] = 6
    drawn(90, 60, "RGB", 1).save(buffer, file_format, exif=exif.tobytes())
    content = bytearray(buffer.getvalue())
    for where, value in damage:
        content[int(where * (len(content) - 1))] = value
    result, _ = read(bytes(content[: max(int(kept * 2 * len(content)), 0)]), "jpg", role)
    assert result.facts or len(result.findings) == 1


@given(width=st.integers(1, 9), height=st.integers(1, 9), orientation=st.integers(1, 8))
def test_turning_keeps_every_pixel(width, height, orientation):
    picture = Image.frombytes("L", (width, height), bytes(range(width * height)))
    turned = orient.upright(picture, orientation)
    assert turned.size == orient.upright_size(width, height, orientation)
    assert sorted(turned.tobytes()) == list(range(width * height))
