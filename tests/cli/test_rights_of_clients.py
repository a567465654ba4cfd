"""What a client may ask for by the General Data Protection Regulation, article by article; no legal advice.

Articles 15 (access), 17 (erasure) and 20 (portability) of Regulation (EU) 2016/679. What a studio answers in its own
words, such as who its processors are, is not in its records and is not looked for.
"""

import json

import pytest

from archgen.holdings.person import LEFT_OUT
from archgen.leaks.find import find_leaks
from archgen.leaks.values.exact import PrivateValue
from tests.cli.archive import add_piece
from tests.cli.test_client import OWL, studio

__all__ = ["studio"]
NOBODY_ELSE = 30
FULL = (
    OWL.replace('client = "C-0012"', 'client = "C-0012"\nstyles = ["whip-shading"]\nsubjects = ["owl"]')
    .replace(
        'region = "calf"',
        'region = "calf"\ngirth = "398 mm"\nnote = "tail towards the ankle. As large as that of Ida Vesterholt."',
    )
    .replace(
        'date = 2026-03-14\nfile = "rel', 'scope = ["print"]\nexpires = 2030-01-01\ndate = 2026-03-14\nfile = "rel'
    )
    + '[[stencil]]\nfile = "stencils/a.png"\napplied = true\nheld = "bled at the bend"\n'
)
# Article 15(1): the data themselves, then what must be told of them; each as the page says it.
ACCESS = {
    "the data: who": ("Mayumi Ostbrink", "mayumi@example.org", "C-0012"),
    "the data: health": ("Faints at the sight of needles.", "Slow skin.", "settled well", "bled at the bend"),
    "the data: body": ("Round the limb", "398 mm", "tail towards the ankle", "58 × 92 mm", "Calf"),
    "the data: work": ("Barn owl", "whip-shading", "owl", "14 Mar 2026, 3 h 30 min", "grey wash 2", "batch N-1"),
    "the data: money": ("420.00",),
    "the data: what they agreed to": ("you agreed, 14 Mar 2026 · in: print · until 1 Jan 2030",),
    "(a) purposes": ("It is kept to look after your pieces, to tell you when an ink or a needle is called back",),
    "(c) who was shown it": ("Photos may be shown",),
    "(d) how long": ("How long it is kept isn’t written down yet",),
    "(e) correction, erasure, restriction": ("corrected, removed, used for less",),
    "(f) complaint": ("complain to the data protection authority",),
    "(g) source": ("It comes from you, and from what the studio noted",),
    "what it is not": ("This page isn’t legal advice.",),
}
# Article 17(1): each kind of data in the plan; 17(3): what an obligation may keep.
ERASURE = (
    "photos/ida-and-mayumi.jpg: photo of them", "their release", "whose piece it is", "a note on a sitting",
    "a note on a healing", "a note on the place", "a measure of their body", "how the stencil stayed", "your notes",
    "clients.toml: the table of C-0012", "that they were told of 1 recall",
)  # fmt: skip
KEPT = ("for a recall", "what they signed", "what was charged")


@pytest.fixture
def asked(studio, tmp_path):
    (studio.root / "pieces/2026-03-14-owl-of-mayumi/piece.toml").write_text(FULL, encoding="utf-8")
    ran = studio.run("client", "C-0012", "--to", tmp_path / "them")
    assert ran.code == 0, ran.err
    return tmp_path / "them"


def test_article_15_everything_held_is_told_and_what_must_be_said_of_it(asked):
    page = (asked / "index.html").read_text(encoding="utf-8")
    lacking = {what: words for what, said in ACCESS.items() for words in said if words not in page}
    assert lacking == {}
    assert (asked / "photos").is_dir()
    assert (asked / "papers").is_dir()


def test_article_15_says_how_long_where_it_is_set(studio, tmp_path):
    with (studio.root / "archive.toml").open("a", encoding="utf-8") as file:
        file.write("\n[keep]\nyears = 10\n")
    studio.run("client", "C-0012", "--to", tmp_path / "them")
    page = (tmp_path / "them/index.html").read_text(encoding="utf-8")
    assert "What the law wants kept is kept for 10 years" in page


def test_article_17_the_plan_names_each_kind_and_what_may_have_to_stay(studio):
    (studio.root / "pieces/2026-03-14-owl-of-mayumi/piece.toml").write_text(FULL, encoding="utf-8")
    going, _, staying = studio.run("client", "C-0012", "--removal").out.partition("May have to stay")
    assert [words for words in ERASURE if words not in going] == []
    assert [words for words in KEPT if words not in staying] == []
    assert "this isn’t legal advice" in staying


def test_article_20_the_same_is_there_for_another_program(asked):
    data = json.loads((asked / "data.json").read_text(encoding="utf-8"))
    (piece,) = data["pieces"]
    assert data["code"] == "C-0012"
    assert dict(data["register"])["Name"] == "Mayumi Ostbrink"
    known = {
        key: piece[key] for key in ("girth_mm", "placement_note", "styles", "subjects", "stencil", "release_scope")
    }
    assert known == {
        "girth_mm": 398.0,
        "placement_note": f"tail towards the ankle. {LEFT_OUT}",
        "styles": ["whip-shading"],
        "subjects": ["owl"],
        "stencil": ["bled at the bend"],
        "release_scope": ["print"],
    }
    files = {path.relative_to(asked).as_posix() for path in asked.rglob("*") if path.is_file()}
    named = {"index.html", "data.json", *(photo["file"] for photo in piece["photos"]), *piece["papers"]}
    assert named == files


def test_of_thirty_clients_each_gets_no_byte_of_another(studio, tmp_path):
    people = [_Person(number) for number in range(100, 100 + NOBODY_ELSE)]
    register = "".join(one.register for one in people)
    (studio.root / "clients.toml").write_text(register, encoding="utf-8")
    for one, friend in zip(people, people[1:] + people[:1], strict=True):
        add_piece(studio.root, f"2026-02-{one.number}-piece", one.piece(friend))
    for one in people:
        place = tmp_path / one.code
        assert studio.run("client", one.code, "--to", place).code == 0
        of_others = [PrivateValue(other.code, word) for other in people if other is not one for word in other.words]
        assert find_leaks(place, of_others) == []
        own = [PrivateValue("own", word) for word in one.words]
        assert {leak.value for leak in find_leaks(place, own)} >= set(one.words)


class _Person:
    """A client with a piece, in whose notes a friend is named."""

    def __init__(self, number):
        self.number, self.code = number, f"C-{number:04}"
        name = "".join("BDFGKLMNPR"[int(digit)] + "aeiouaeiou"[int(digit)] for digit in str(number))
        self.name = f"{name.capitalize()} Vest{name.lower()}holm"
        self.contact = f"{name.lower()}{number}@example.org"
        self.note = f"reacts to {name.lower()}zin plasters"
        self.title = f"The {name.lower()}tail heron"
        self.words = (self.code, self.name, self.contact, self.note, self.title)

    @property
    def register(self):
        return (
            f'[[client]]\ncode = "{self.code}"\nname = "{self.name}"\ncontact = "{self.contact}"\n'
            f'note = "{self.note}"\n'
        )

    def piece(self, friend):
        return (
            f'title = "{self.title}"\nclient = "{self.code}"\n[placement]\nregion = "calf"\n'
            f"[[sitting]]\ndate = 2026-02-01\nhours = 2\n"
            f'note = "Slow. Came with {friend.name}. Spoke of {friend.code}!"\n'
        )
