"""Whether a person can be recognised in a reference, and what was answered about that person.

A question of its own: no licence, letter, override or setting answers it.
"""

import difflib
import re
from functools import lru_cache

from archgen.publication.gate import LiftedBy, PersonAnswer
from archgen.publication.gate_questions import KIND_OF_LIKENESS, PEOPLE
from archgen.publication.rights import Answers, conditioned
from archgen.records.model import Likeness, PieceRecord, Reference, Release, ReleaseStatus

# Words of subjects and styles that speak of somebody who may be recognised; whole words, for a micro-portrait is a
# size. In a title, which says anything, only the first row counts. Common practice, no source.
_PORTRAITS = frozenset({"portrait", "portraits", "self-portrait", "selfie"})
_PEOPLE = _PORTRAITS | {
    "face", "faces", "person", "people", "man", "men", "woman", "women", "boy", "boys", "girl", "girls", "child",
    "children", "kid", "kids", "baby", "babies", "toddler", "lady", "gentleman", "bride", "groom", "couple",
    "family", "mother", "father", "mum", "mom", "dad", "parents", "son", "daughter", "brother", "sister", "twins",
    "grandmother", "grandfather", "grandma", "grandpa", "granny", "husband", "wife", "celebrity", "actor",
    "actress", "singer", "musician", "athlete", "footballer", "boxer",
}  # fmt: skip
_WORDS = re.compile(r"[^\W\d_]+(?:-[^\W\d_]+)*")
# How the reading of a file calls regions that a camera or a program marked as faces.
MARKED_FACES = "marked faces"


def speaks_of_a_person(record: PieceRecord) -> bool:
    """Say whether the words of a piece speak of somebody who may be recognised."""
    said = _WORDS.findall(" ".join((*record.subjects, *record.styles)).casefold())
    titled = _WORDS.findall(record.title.casefold())
    return not (_PEOPLE.isdisjoint(said) and _PORTRAITS.isdisjoint(titled)) or any(map(_is_portrait_misspelled, said))


@lru_cache(maxsize=4096)  # the same subjects and styles come again and again
def _is_portrait_misspelled(word: str) -> bool:
    """Tell "portrait" with a slip; of the other words a slip makes what people have tattooed: father, feather."""
    return bool(difflib.get_close_matches(word, _PORTRAITS, cutoff=0.85))


def person_answer(reference: Reference, release: Release, *, may_show: bool, understood: bool) -> PersonAnswer:
    """Find the row of what the record says about people in a reference.

    Args:
        reference: The reference, with what its file says of people where the record is silent.
        release: The client's release, which counts where the client is shown.
        may_show: Whether something speaks of a person: the piece's words, or faces marked in the file.
        understood: Whether what the record says about people is understood.
    """
    if not understood:
        return PersonAnswer.NOT_UNDERSTOOD
    if reference.likeness is None:
        # What it was made from is asked itself.
        return PersonAnswer.SILENT if may_show and not reference.made_from else PersonAnswer.NOBODY
    if reference.likeness is Likeness.CLIENT and release.status is not ReleaseStatus.GRANTED:
        return PersonAnswer.CLIENT_NOT_ASKED
    return KIND_OF_LIKENESS[reference.likeness]


def answers_about(person: PersonAnswer) -> Answers:
    """Give what that row answers; nothing lifts it."""
    return conditioned(PEOPLE[person], LiftedBy.NOTHING)
