"""Two hundred batches, each misspelled in ten ways, with an oracle that knows only what was done to each number.

The oracle never compares numbers: the text of a field is made from a number in a known way, and the way says in which
list the piece must stand. What people write is common practice, no source.
"""

import random
from collections import Counter

import pytest

from archgen.records import model
from archgen.tracing.book import BatchBook
from archgen.tracing.recall import trace
from tests.builders import make_piece, make_record, paper_catalogue

BATCHES = 200
SAME, NEAR, OPEN = "same", "near", "cannot be ruled out"
LABELS = (
    "LOT ",
    "Lot: ",
    "lot no. ",
    "Ch.-B. ",
    "Ch.-B.: ",
    "Charge ",
    "batch ",
    "Batch No. ",
    "№ ",
    "N° ",
    "No. ",
    "Nr. ",
    "#",
)
JOINTS = (", ", "; ", " + ", " and ", " / ", "\n", " & ", "/")
WORDS = ("unknown", "?", "n/a", "see label photo", "LOT unknown", "label torn off", "-", "TBC", "lost", "none")


def distance(a, b):
    """Levenshtein's distance, in the textbook's table."""
    row = list(range(len(b) + 1))
    for i, x in enumerate(a, 1):
        last, row[0] = row[0], i
        for j, y in enumerate(b, 1):
            last, row[j] = row[j], min(row[j] + 1, row[j - 1] + 1, last + (x != y))
    return row[-1]


def compact(number):
    return number.replace("-", "")


def make_numbers(source):
    """Numbers of letters and digits in two parts, so unlike that no slip leads from one to another."""
    numbers = []
    while len(numbers) < BATCHES:
        letters = "".join(source.choice("BCDFHKMNPRTVWX") for _ in range(2))
        digits = "".join(source.choice("123456789") for _ in range(6))
        number = f"{letters}{digits[0]}-{digits[1:]}"
        if all(distance(compact(number), compact(other)) > 3 for other in numbers):
            numbers.append(number)
    return numbers


def change_digit(number, source):
    at = source.choice([i for i, sign in enumerate(number) if sign.isdigit()])
    return number[:at] + source.choice([d for d in "123456789" if d != number[at]]) + number[at + 1 :]


def swap_digits(number, source):
    places = [i for i in range(4, len(number) - 1) if number[i] != number[i + 1]]
    at = source.choice(places or [2])
    return number[:at] + number[at + 1] + number[at] + number[at + 2 :]


def double_or_drop(number, source):
    at = source.choice(range(4, len(number)))
    return number[:at] + source.choice([number[at] * 2, ""]) + number[at + 1 :]


WAYS = {
    "capitals": SAME,
    "a space": SAME,
    "no hyphen": SAME,
    "a moved hyphen": SAME,
    "a label": SAME,
    "zeros": SAME,
    "with another": SAME,
    "a wrong digit": NEAR,
    "swapped": NEAR,
    "one more or less": NEAR,
}


def misspelled(number, n, source):
    """The number written in every way."""
    return {
        "capitals": number.swapcase(),
        "a space": number.replace("-", " "),
        "no hyphen": compact(number),
        "a moved hyphen": f"{compact(number)[:5]}-{compact(number)[5:]}",
        "a label": LABELS[n % len(LABELS)] + number,
        "zeros": number.replace("-", "-00"),
        "with another": f"QQ0-7777{JOINTS[n % len(JOINTS)]}{number}",
        "a wrong digit": change_digit(number, source),
        "swapped": swap_digits(number, source),
        "one more or less": double_or_drop(number, source),
    }


@pytest.fixture(scope="module")
def studio(tmp_path_factory):
    """The numbers, the list in which each piece must stand for its number, and the archive."""
    source = random.Random(20261129)
    numbers = make_numbers(source)
    expected, pieces = {}, []
    for n, number in enumerate(numbers):
        for way, text in misspelled(number, n, source).items():
            name = f"{n}-{way.replace(' ', '-')}"
            expected[name] = (number, WAYS[way])
            pieces.append(worn(name, text, f"C-{n}"))
    pieces += [worn(f"open-{n}", words, None) for n, words in enumerate(WORDS)]
    inks = {number: model.InkBatch(batch=number) for number in numbers}
    catalogue = paper_catalogue(tmp_path_factory.mktemp("studio"), *pieces, inks=inks, clients={})
    return numbers, expected, BatchBook(catalogue)


def worn(name, batch, client):
    return make_piece(name, make_record(ink=(model.Ink(batch=batch, name="grey"),), client=client))


def test_every_misspelled_number_stands_in_the_right_list_and_in_no_other(studio):
    numbers, expected, book = studio
    wrong = []
    for number in numbers:
        found = trace(book, number)
        seen = {use.piece.id: SAME for use in found.matches}
        seen |= {use.piece.id: NEAR for near in found.near for use in near.uses}
        wanted = {name: where for name, (of, where) in expected.items() if of == number}
        wrong += [(number, name) for name in seen.keys() | wanted.keys() if seen.get(name) != wanted.get(name)]
        assert [gap.piece.id for gap in found.unrecorded] == [f"open-{n}" for n in range(len(WORDS))]
        assert [wearer.client for wearer in found.wearers] == [f"C-{numbers.index(number)}"]
    assert wrong == []


def test_the_oracle_has_all_ways_of_all_numbers(studio):
    numbers, expected, _ = studio
    assert len(set(numbers)) == BATCHES
    assert Counter(where for _, where in expected.values()) == {SAME: 7 * BATCHES, NEAR: 3 * BATCHES}
