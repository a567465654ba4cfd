import imagehash
from PIL import Image, ImageOps

from archgen.images.fingerprint import hashes
from tests.unit.images.pictures import photo


def test_the_mirror_image_swaps_the_two_hashes():
    picture = photo(400, 300)
    upright, mirrored = hashes(picture)
    assert hashes(ImageOps.mirror(picture)) == (mirrored, upright)
    assert upright != mirrored


def test_a_smaller_copy_has_nearly_the_same_hash():
    one, other = (imagehash.hex_to_hash(hashes(size)[0]) for size in (photo(1200, 900), photo(1200, 900).reduce(3)))
    assert one - other <= 3


def test_a_blank_picture_has_a_hash():
    assert hashes(Image.new("L", (300, 200), 255)) == ("0" * 16, "0" * 16)
