"""exiftool (an independent reader) finds nothing but pixels in what we make from files full of metadata."""

import json
import shutil
import subprocess
from pathlib import Path

import pytest
from PIL import Image

from archgen.metadata.tags import prove_clean
from archgen.picture_facts.facts import Role
from tests.unit.images.pictures import P3_COLORANTS, blob, encoded, matrix_profile, photo, read_one

# What exiftool reports of any picture: its file, and numbers read from the coded pixels' own header.
ALLOWED = {
    "SourceFile", "ExifToolVersion", "FileName", "Directory", "FileSize", "FileModifyDate", "FileAccessDate",
    "FileInodeChangeDate", "FilePermissions", "FileType", "FileTypeExtension", "MIMEType", "ImageWidth", "ImageHeight",
    "ImageSize", "Megapixels", "EncodingProcess", "BitsPerSample", "ColorComponents", "YCbCrSubSampling", "JFIFVersion",
    "ResolutionUnit", "XResolution", "YResolution", "VP8Version", "HorizontalScale", "VerticalScale", "BitDepth",
    "ColorType", "Compression", "Filter", "Interlace",
    # Of an AVIF: how the pixels are coded and where they lie.
    "MajorBrand", "MinorVersion", "CompatibleBrands", "HandlerType", "PrimaryItemReference", "ImageSpatialExtent",
    "ImagePixelDepth", "AV1ConfigurationVersion", "SeqProfile", "SeqLevelIdx0", "SeqTier0", "HighBitDepth", "TwelveBit",
    "ChromaFormat", "ChromaSamplePosition", "InitialDelaySamples", "ColorProfiles", "ColorPrimaries",
    "TransferCharacteristics", "MatrixCoefficients", "MediaDataSize", "MediaDataOffset", "MediaData",
}  # fmt: skip

SEEDS = {
    "-GPSLatitude=48.1": "position", "-GPSLatitudeRef=N": None, "-GPSLongitude=11.5": None,
    "-SerialNumber=998877": "camera serial number",
    "-ExifIFD:LensSerialNumber=L-5": "lens serial number", "-ExifIFD:OwnerName=Somebody": "camera owner's name",
    "-IFD0:Artist=Somebody": "author's name", "-IFD0:HostComputer=studio-phone": "name of the computer or phone",
    "-ExifIFD:ImageUniqueID=0123456789abcdef0123456789abcdef": "unique picture number",
    "-ExifIFD:UserComment=for Somebody": "comment", "-ExifIFD:DateTimeOriginal=2026:03:14 15:09:26": "date and time",
    "-XMP-iptcExt:PersonInImage=Somebody": "names of people shown", "-XMP-photoshop:City=Sometown": "name of the place",
    "-XMP-xmpMM:DerivedFromDocumentID=xmp.did:1": "editing history",
}  # fmt: skip


def tell(exiftool, *paths):
    """Give what exiftool reports of each file; one start of it for all."""
    command = [exiftool, "-j", "-a", "-u", "-ee", *paths]
    return json.loads(subprocess.run(command, capture_output=True, text=True, check=True).stdout)


def seeded(exiftool, path):
    arguments = [exiftool, "-q", "-overwrite_original", *SEEDS]
    if path.suffix in {".jpg", ".tif"}:
        arguments += ["-IPTC:By-line=Somebody", "-IPTC:City=Sometown"]
    if path.suffix == ".jpg":
        thumbnail = path.with_name("thumbnail.bin")
        thumbnail.write_bytes(encoded(photo(64, 48), "JPEG"))
        arguments += ["-Comment=for Somebody", f"-ThumbnailImage<={thumbnail}"]
    done = subprocess.run([*arguments, path], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    if path.suffix == ".jpg":
        path.write_bytes(path.read_bytes() + encoded(photo(90, 60), "JPEG") + b"\0\0\0\x18ftypmp42" + bytes(400))


@pytest.fixture(scope="module", params=["jpg", "png", "webp", "tif", "avif", "heic"])
def seed(request, tmp_path_factory, exiftool):
    path = tmp_path_factory.mktemp("seed") / f"p.{request.param}"
    options = {"quality": 90} if request.param not in {"png", "tif"} else {}
    photo(700, 500).save(path, icc_profile=matrix_profile(P3_COLORANTS), **options)
    seeded(exiftool, path)
    return path


@pytest.fixture(scope="module")
def told_of_seed(seed, exiftool):
    (told,) = tell(exiftool, seed)
    assert "GPSLatitude" in told
    return told


@pytest.fixture
def source(seed, told_of_seed, tmp_path):
    assert told_of_seed
    folder = tmp_path / "in"
    folder.mkdir()
    return Path(shutil.copy(seed, folder))


@pytest.mark.parametrize("role", list(Role))
def test_every_copy_holds_nothing_but_pixels(source, exiftool, role):
    facts = read_one(source.parent, source.name, role, public=True).facts
    assert facts.public
    copies = {*facts.screen, *facts.public, facts.print_copy}
    paths = [blob(source.parent, copy.blob) for copy in copies]
    for path, told in zip(paths, tell(exiftool, *paths), strict=True):
        assert set(told) <= ALLOWED, set(told) - ALLOWED
        assert prove_clean(path.read_bytes()) == []
        assert b"Somebody" not in path.read_bytes()


def test_every_private_thing_is_named_to_the_artist(source):
    private = set(read_one(source.parent, source.name).facts.private)
    assert {word for word in SEEDS.values() if word} <= private
    if source.suffix == ".jpg":
        assert {"embedded thumbnail", "extra images", "motion video"} <= private


def test_the_proof_and_exiftool_agree_on_files_with_something_left(seed, told_of_seed):
    if seed.suffix not in {".jpg", ".png", ".webp", ".avif"}:
        pytest.skip("we make no pictures of this kind")
    assert set(told_of_seed) - ALLOWED
    assert prove_clean(seed.read_bytes())


def test_gray_pictures_are_clean_too(tmp_path, exiftool):
    folder = tmp_path / "in"
    folder.mkdir()
    Image.linear_gradient("L").save(folder / "p.jpg", comment=b"for Somebody")
    facts = read_one(folder, "p.jpg", public=True).facts
    copies = [blob(folder, copy.blob) for copy in (*facts.screen, *facts.public)]
    assert all(set(told) <= ALLOWED for told in tell(exiftool, *copies))
