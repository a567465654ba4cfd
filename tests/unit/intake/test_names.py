"""Names that every disk allows, that are free, and that the artist knows again."""

import pytest

from archgen.intake.names import file_name, fold, free_name, slug


@pytest.mark.parametrize(
    ("name", "form", "made"),
    [
        ("IMG_2306.jpg", "JPEG", "IMG_2306.jpg"),
        ("IMG_2306.JPG", "JPEG", "IMG_2306.JPG"),
        ("phone/DCIM/IMG_1.jpeg", "JPEG", "IMG_1.jpeg"),
        ("IMG_1.jpg", "HEIF", "IMG_1.heic"),
        ("picture", "PNG", "picture.png"),
        ("a.jfif", "JPEG", "a.jpg"),
        ("../../etc/passwd.jpg", "JPEG", "passwd.jpg"),
        ("..\\..\\boot.png", "PNG", "boot.png"),
        (".jpg", "JPEG", "jpg.jpg"),
        ("con.png", "PNG", "con-.png"),
        ("a:b*c?.png", "PNG", "a-b-c-.png"),
        ("~home.png", "PNG", "home.png"),
        ("-rf.png", "PNG", "rf.png"),
        ("a\nb\x1b[31m.png", "PNG", "a-b-[31m.png"),
        ("Motte Übergröße.png", "PNG", "Motte Übergröße.png"),
        ("昇り鯉.png", "PNG", "昇り鯉.png"),
    ],
)
def test_only_what_cannot_stay_is_changed(name, form, made):
    assert file_name(name, form, ()) == made


def test_long_names_of_wide_signs_are_cut_by_their_bytes():
    made = file_name("鯉" * 300 + ".png", "PNG", ())
    assert len(made.encode()) < 200
    assert made.endswith(".png")


def test_a_name_in_use_is_numbered_whatever_its_capitals_and_accents():
    assert file_name("Moth.jpg", "JPEG", ["moth.JPG"]) == "Moth-2.jpg"
    assert free_name("é", ".jpg", ["e\u0301.jpg", "é-2.jpg"]) == "é-3.jpg"
    assert fold("É.JPG") == fold("e\u0301.jpg")


def test_a_title_becomes_a_folder():
    assert slug("Vögel & Äste, Straße 3") == "vogel-aste-strasse-3"
    assert slug("昇り鯉") == ""
