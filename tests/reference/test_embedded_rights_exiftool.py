"""What exiftool writes into pictures is what is read from them: names and values of IPTC, PLUS and Creative Commons."""

import io
import json
import subprocess

import msgspec
import pytest
from PIL import Image

from archgen.images.decode import open_picture
from archgen.metadata.embedded_rights import MOST_VALUES, read_rights
from archgen.metadata.file_rights import EmbeddedRights
from archgen.metadata.rights_writing import OwnRights, mark

ENDINGS = ("jpg", "png", "tif", "webp", "heic")
XMP = {
    "XMP-dc:Creator": ("creators", ("Åsa Sample", "B. Sample")),
    "XMP-dc:Rights": ("copyright_notice", "© 2026 Åsa Sample"),
    "XMP-photoshop:Credit": ("credit", "Sample Pictures"),
    "XMP-photoshop:Source": ("source", "Sample Archive"),
    "XMP-photoshop:Instructions": ("instructions", "Ask first"),
    "XMP-xmpRights:UsageTerms": ("usage_terms", "Print only"),
    "XMP-xmpRights:WebStatement": ("web_statement", "https://example.org/rights"),
    "XMP-cc:License": ("licence", "https://creativecommons.org/licenses/by-nd/4.0/"),
    "XMP-cc:AttributionName": ("attribution_name", "Åsa"),
    "XMP-cc:AttributionURL": ("attribution_url", "https://example.org/asa"),
    "XMP-plus:LicensorName": ("licensors", ("Sample Agency",)),
    "XMP-plus:LicensorURL": ("licensor_url", "https://example.org/buy"),
    "XMP-plus:CopyrightOwnerName": ("copyright_owners", ("Sample Ltd",)),
    "XMP-plus:OtherConstraints": ("other_constraints", "Not on skin"),
    "XMP-iptcExt:PersonInImage": ("people", ("Anna Sample", "Ole Sample")),
    "XMP-iptcExt:ArtworkCreator": ("artwork_creators", ("Old Master",)),
    "XMP-iptcExt:ArtworkCopyrightNotice": ("artwork_notice", "© the museum"),
}
# Given as the raw value (#). Before a PLUS value exiftool writes the vocabulary's address itself.
PLUS = ""
RAW = {
    "XMP-plus:ImageAlterationConstraints": ("constraints", "AL-FLP", PLUS),
    "XMP-plus:ModelReleaseStatus": ("model_release", "MR-NON", PLUS),
    "XMP-plus:PropertyReleaseStatus": ("property_release", "PR-NAP", PLUS),
    "XMP-plus:MinorModelAgeDisclosure": ("minor_age", "AG-U14", PLUS),
    "XMP-plus:CopyrightStatus": ("copyright_status", "CS-PRO", PLUS),
    "XMP-plus:CreditLineRequired": ("credit_required", "CR-COI", PLUS),
    "XMP-iptcExt:DigitalSourceType": (
        "digital_source", "trainedAlgorithmicMedia", "http://cv.iptc.org/newscodes/digitalsourcetype/",
    ),
}  # fmt: skip


@pytest.fixture
def read(tmp_path, exiftool):
    """Give a function that writes tags into a picture with exiftool and reads them with ours."""

    def written(ending, *tags):
        path = tmp_path / f"a.{ending}"
        with path.open("wb") as file:
            Image.new("RGB", (64, 64), "tan").save(
                file, {"jpg": "JPEG", "tif": "TIFF", "heic": "HEIF"}.get(ending, ending)
            )
        if tags:
            command = [exiftool, "-q", "-q", "-m", "-overwrite_original", *tags, str(path)]
            subprocess.run(command, check=True, capture_output=True)
        with open_picture(path) as opened:
            return read_rights(opened)

    return written


def arguments():
    for tag, (_, value) in XMP.items():
        yield from (f"-{tag}={text}" for text in ([value] if isinstance(value, str) else value))
    for tag, (_, value, prefix) in RAW.items():
        yield f"-{tag}#={prefix}{value}"


@pytest.mark.parametrize("ending", ENDINGS)
def test_every_xmp_property_is_read_in_every_format(read, ending):
    # Read as plain values, so that a difference is shown by its field.
    wanted = dict(XMP.values())
    wanted |= {field: (value,) if field == "constraints" else value for field, value, _ in RAW.values()}
    found = read(ending, *arguments())
    assert {f: v for f, v in msgspec.structs.asdict(found).items() if v} == wanted


def test_a_packet_longer_than_a_segment_is_read_from_all_its_portions(read):
    """exiftool splits it after the XMP Specification Part 3, 1.1.3.1; here into four portions."""
    people = (f"-XMP-iptcExt:PersonInImage=Sample {number:05}" for number in range(6000))
    found = read("jpg", "-XMP-dc:Rights=(c) A. Sample", *people, "-XMP-cc:License=https://example.org/terms")
    assert (found.copyright_notice, found.licence, found.is_damaged) == (
        "(c) A. Sample",
        "https://example.org/terms",
        False,
    )
    assert found.people == tuple(f"Sample {number:05}" for number in range(MOST_VALUES))


@pytest.mark.parametrize("ending", ["jpg", "tif", "png"])
@pytest.mark.parametrize("charset", [("-codedcharacterset=utf8",), ()])
def test_iim_is_read_where_there_is_no_xmp(read, ending, charset):
    tags = ("-IPTC:By-line=Åsa", "-IPTC:By-line=Bo", "-IPTC:CopyrightNotice=© Åsa", "-IPTC:Credit=Sample",
            "-IPTC:Source=Archive", "-IPTC:SpecialInstructions=Ask")  # fmt: skip
    assert read(ending, *charset, *tags) == EmbeddedRights(
        creators=("Åsa", "Bo"), copyright_notice="© Åsa", credit="Sample", source="Archive", instructions="Ask"
    )


@pytest.mark.parametrize("ending", ENDINGS)
def test_exif_is_read_where_there_is_nothing_else(read, ending):
    found = read(ending, "-EXIF:Artist=A. Sample; B. Sample", "-EXIF:Copyright=(c) A. Sample")
    assert found == EmbeddedRights(creators=("A. Sample", "B. Sample"), copyright_notice="(c) A. Sample")


def test_xmp_counts_before_iim_and_iim_before_exif(read):
    exif, iim, xmp = "-EXIF:Artist=exif", "-IPTC:By-line=iim", "-XMP-dc:Creator=xmp"
    assert read("jpg", exif, iim, xmp).creators == ("xmp",)
    assert read("jpg", exif, iim).creators == ("iim",)


@pytest.mark.parametrize("ending", ENDINGS)
def test_a_file_that_says_nothing_is_nothing(read, ending):
    assert read(ending) is None


@pytest.mark.parametrize("form", ["JPEG", "WEBP"])
def test_what_we_write_is_read_by_exiftool_and_by_ourselves(tmp_path, exiftool, form):
    stream = io.BytesIO()
    Image.new("RGB", (64, 64), "tan").save(stream, form)
    marks = OwnRights("Åsa", "© Åsa", "Åsa, Harbour Lane", "https://example.org/rights", "https://example.org/buy")
    path = tmp_path / "a"
    path.write_bytes(mark(stream.getvalue(), marks))
    (said,) = json.loads(subprocess.run([exiftool, "-j", "-G1", path], capture_output=True, check=True).stdout)
    with open_picture(path) as opened:
        ours = read_rights(opened)
    assert (ours.creators, ours.copyright_notice) == ((said["XMP-dc:Creator"],), said["XMP-dc:Rights"])
    assert ours.web_statement == said["XMP-xmpRights:WebStatement"]
    assert ours.licensor_url in str(said["XMP-plus:LicensorURL"])
