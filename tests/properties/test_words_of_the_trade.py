"""What must hold of any needle or placement words: doubt stays doubt, and nothing offered is on the opposite side."""

import re
import string

from hypothesis import example, given
from hypothesis import strategies as st

from archgen.records.model import Side
from archgen.records.vocabulary.needles import read_needles
from archgen.records.vocabulary.placements import PLACES, find_placement
from tests.reference.test_needle_forms import CASES

# One needle in one piece: behind a comma a strange word may be another needle.
READABLE = [case.form for case in CASES if not case.is_asked and re.fullmatch(r"[^,;/|·+&]+", case.form)]
READABLE = [form for form in READABLE if len(read_needles(form)) == 1]
# Each word for where, and what no place that is named or offered beside it may be called.
OPPOSITES = {
    **dict.fromkeys(("inner", "inside", "inside of", "innen", "intérieur", "interior", "interno", "insida"), "outer"),
    **dict.fromkeys(("outer", "outside", "outside of", "außen", "extérieur", "exterior", "esterno", "utsida"), "inner"),
    **dict.fromkeys(("medial",), "outer"),
    **dict.fromkeys(("lateral",), "inner"),
    **dict.fromkeys(("volar", "ventral", "palmar"), "outer|hand-back"),
    **dict.fromkeys(("front of", "front", "vorne", "avant", "framsida"), "thigh-back|upper-arm-back|nape|knee-ditch"),
    **dict.fromkeys(("back of", "hinten", "arrière", "baksida"), "thigh-front|upper-arm-front|neck-front|shin"),
    **dict.fromkeys(("upper", "oben", "övre"), "lower-back|stomach-lower"),
    **dict.fromkeys(("lower", "unten", "nedre"), "upper-back|stomach-upper"),
}
# Parts of the body, and what every place named or offered for them is called.
PARTS = {
    "forearm": "forearm", "Unterarm": "forearm", "avant-bras": "forearm", "antebrazo": "forearm",
    "avambraccio": "forearm",
    "thigh": "thigh", "Oberschenkel": "thigh", "cuisse": "thigh", "muslo": "thigh", "lår": "thigh",
    "wrist": "wrist", "polso": "wrist", "upper arm": "upper-arm", "bicep": "upper-arm", "calf": "calf|shin",
    "ankle": "ankle|heel", "knee": "knee|thigh|shin", "neck": "neck|nape", "back": "back|spine|shoulder-blade",
    "stomach": "stomach|flank", "shin": "shin|calf", "chin": "face", "foot": "foot|sole|heel|toe",
    "hand": "hand|palm|finger",
}  # fmt: skip
SIDES = {
    "left": Side.LEFT, "L": Side.LEFT, "L.": Side.LEFT, "links": Side.LEFT, "gauche": Side.LEFT, "vänster": Side.LEFT,
    "right": Side.RIGHT, "R": Side.RIGHT, "rechts": Side.RIGHT, "droit": Side.RIGHT, "derecho": Side.RIGHT,
}  # fmt: skip
STRANGE = st.sampled_from(["shiny", "xyz", "?", "perhaps", "lila", "old stock", "~"])


@given(form=st.sampled_from(READABLE), strange=STRANGE, after=st.booleans())
@example(form="27 mag", strange="soft", after=True)
def test_a_word_nobody_knows_leaves_no_guess_behind(form, strange, *, after):
    readings = read_needles(f"{form} {strange}" if after else f"{strange} {form}")
    assert any(reading.is_asked for reading in readings)
    plain = read_needles(form)[0]
    for reading in readings:
        assert not reading.diameter_is_assumed
        assert reading.bundle_mm is None
        assert reading.count in (None, plain.count)
        assert reading.grouping in (None, plain.grouping)


@given(st.text(alphabet=string.ascii_letters + string.digits + " .,#+/-?()x×", max_size=24))
def test_no_needle_words_stop_the_reader(text):
    for reading in read_needles(text):
        assert reading.words()
        assert reading.is_asked or (reading.count and reading.grouping)


@given(
    st.permutations(["part", "where", "side"]),
    st.sampled_from(sorted(PARTS)),
    st.sampled_from(sorted(OPPOSITES)),
    st.sampled_from(["", *sorted(SIDES)]),
    st.sampled_from(["", " near the scar", " tribal", "?", " the", " area", " to wrist"]),
    st.sampled_from([", ", " ", " / ", " ("]),
)
@example(["where", "part", "side"], "thigh", "inside", "", "", " ")
@example(["where", "part", "side"], "forearm", "volar", "", "", " ")
@example(["part", "where", "side"], "Oberschenkel", "ventral", "", " to wrist", ", ")
def test_nothing_is_named_or_offered_on_the_opposite_side(  # noqa: PLR0917
    order, part, where, side, more, between
):
    words = {"part": part, "where": where, "side": side}
    found = find_placement(between.join(words[one] for one in order if words[one]) + more)
    named = {place.id for place in (found.place, *found.choices) if place} | ({found.nearest} - {None})
    is_thumb_side = where in ("medial", "lateral") and PARTS[part] in ("forearm", "wrist", "hand|palm|finger")
    assert is_thumb_side or not [place for place in named if re.search(OPPOSITES[where], place)]
    assert found.side in ((SIDES[side], None) if side else (None,))
    if not more.endswith("wrist"):
        assert all(re.search(PARTS[part], place) for place in named)


@given(
    st.sampled_from(sorted(PARTS)), st.sampled_from(sorted(OPPOSITES)), st.integers(0, 12), st.sampled_from("aeirtn")
)
def test_a_slip_of_the_pen_is_asked_or_means_the_same(part, where, place, letter):
    straight = find_placement(f"{where} {part}")
    slipped = part[:place] + letter + part[place:]
    found = find_placement(f"{where} {slipped}")
    named = {one.id for one in (found.place, *found.choices) if one} | ({found.nearest} - {None})
    is_thumb_side = where in ("medial", "lateral") and PARTS[part] in ("forearm", "wrist", "hand|palm|finger")
    assert is_thumb_side or not [one for one in named if re.search(OPPOSITES[where], one)]
    if found.place is not None and straight.place is not None:
        assert found.place is straight.place


@given(st.text(max_size=40))
def test_no_placement_words_stop_the_reader(text):
    found = find_placement(text)
    assert found.place is None or found.place.id in PLACES
    assert not (found.place and (found.choices or found.nearest))
