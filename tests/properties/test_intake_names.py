"""Whatever a picture is called, its name in the archive is one plain name, free, and one that the record can hold."""

import tomllib

from hypothesis import given
from hypothesis import strategies as st

from archgen.intake.names import file_name, fold, slug
from archgen.records.folder import Named, find_named
from archgen.writing.values import toml_value

NAMES = st.text(max_size=120) | st.from_regex(
    r"[./\\~ -]{0,6}[A-Za-z0-9._ -]{0,40}\.(jpg|JPG|heic|png)", fullmatch=True
)
FORMATS = st.sampled_from(["JPEG", "PNG", "HEIF", "WEBP", "TIFF", "AVIF", "BMP"])


@given(NAMES, FORMATS, st.lists(st.text(max_size=10), max_size=4))
def test_a_name_is_one_plain_free_name(name, form, taken):
    made = file_name(name, form, taken)
    assert made
    assert "/" not in made
    assert "\\" not in made
    assert not made.startswith((".", "-", "~"))
    assert made.isprintable()
    assert made == made.strip()
    assert len(made.encode()) < 200
    assert fold(made) not in {fold(one) for one in taken}


@given(NAMES, FORMATS)
def test_the_record_leads_to_it(name, form):
    path = f"photos/{file_name(name, form, ())}"
    assert tomllib.loads(f"file = {toml_value(path)}")["file"] == path
    found, problem = find_named(Named("photo.0.file", path, "photos"), frozenset({path}))
    assert (found, problem) == (path, None)


@given(NAMES, FORMATS)
def test_a_good_name_stays(name, form):
    once = file_name(name, form, ())
    assert file_name(once, form, ()) == once


@given(st.text(max_size=200))
def test_a_folder_of_a_title_is_plain(title):
    assert set(slug(title)) <= set("abcdefghijklmnopqrstuvwxyz0123456789-")
    assert len(slug(title)) <= 60
