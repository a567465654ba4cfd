import pytest

from archgen.desk.file_names import numbered, safe_name


@pytest.mark.parametrize(
    ("given", "kept"),
    [
        ("IMG_2306.jpg", "IMG_2306.jpg"),
        ("Kleine Eule, Entwurf 2.png", "Kleine Eule, Entwurf 2.png"),
        ("../../etc/passwd.jpg", "passwd.jpg"),
        ("..\\..\\windows\\owl.jpg", "owl.jpg"),
        ("/abs/owl.jpg", "owl.jpg"),
        ("..", "picture"),
        ("", "picture"),
        (".jpg", "jpg"),
        (".hidden.jpg", "hidden.jpg"),
        ("con.jpg", "_con.jpg"),
        ("LPT1", "_LPT1"),
        ("a:b*c?.jpg", "abc.jpg"),
        ("owl\0.jpg", "owl.jpg"),
        ("owl\n\r.jpg", "owl.jpg"),
        ("\u202egpj.exe", "gpj.exe"),
        ("e\u0301cureuil.jpg", "écureuil.jpg"),
        ("昇り鯉.jpg", "昇り鯉.jpg"),
        ("  two   spaces .jpg", "two spaces.jpg"),
    ],
)
def test_of_a_name_stays_what_any_disk_can_hold(given, kept):
    assert safe_name(given) == kept


def test_a_long_name_is_cut_and_keeps_its_kind():
    name = safe_name("鯉" * 300 + ".jpg")
    assert name.endswith(".jpg")
    assert len(name.encode()) < 120


def test_names_are_numbered_before_their_kind():
    assert numbered("owl.jpg", 2) == "owl-2.jpg"
    assert numbered("owl", 3) == "owl-3"
