"""The rights to all references of a piece: each with all it was made from, and which of them the tattoo rests on."""

from collections.abc import Iterable, Iterator
from functools import reduce

from archgen.catalogue import Catalogue
from archgen.languages.house import say
from archgen.publication.embedded import completed, embedded_in
from archgen.publication.gate import Answer, PersonAnswer, RightKind, kind_words
from archgen.publication.gate_table import TABLE
from archgen.publication.misread import is_understood, right_is_understood
from archgen.publication.people import MARKED_FACES, answers_about, person_answer, speaks_of_a_person
from archgen.publication.rights import Answers, PictureRight, Ruling, answers_of_row, picture_right
from archgen.publication.unused import used_after_all
from archgen.records.folder import RECORD, STORY
from archgen.records.made_from import MadeFrom
from archgen.records.model import Piece, PieceRecord, Reference
from archgen.records.vocabulary.licences import license_words
from archgen.toml.problem import as_text
from archgen.values.frozen import Value

# Notes kept beside the pictures; nobody draws from them.
_TEXTS = (".txt", ".md")
# Deeper than any picture was ever merged; a ring would not end.
_DEEPEST = 8


class SourceNode(Value, frozen=True):
    """One picture another was made from: its name, its right in words, may the tattoo be shown by it alone."""

    name: str
    right: str
    answer: Answer
    sources: tuple["SourceNode", ...] = ()


class Rights(Value, frozen=True):
    """The answers for one reference.

    Attributes:
        by_itself: What its own right answers.
        picture: The same with all it was made from: the strictest counts.
        person_answer: What the record says about people in it.
        person: What that answers, with all it was made from; a line of its own, which no right answers.
        counts: Whether the tattoo rests on it; not when it was only looked at.
        sources: What it was made from.
    """

    by_itself: PictureRight
    picture: Answers
    person_answer: PersonAnswer
    person: Answers
    counts: bool = True
    sources: tuple[SourceNode, ...] = ()

    @property
    def kind(self) -> RightKind:
        """Give the row of the table."""
        return self.by_itself.kind

    @property
    def is_recorded(self) -> bool:
        """Say whether any right stands in the record."""
        return self.by_itself.is_recorded

    @property
    def needs_credit(self) -> bool:
        """Say whether the licence asks for the creator's name wherever the work is shown."""
        return self.by_itself.needs_credit

    @property
    def is_ai(self) -> bool:
        """Say whether a trained model had a part in it."""
        return self.by_itself.is_ai

    @property
    def use(self) -> Ruling:
        """Say whether it may be a reference for a tattoo."""
        return self.picture.use.worse(self.person.use)

    @property
    def show_reference(self) -> Ruling:
        """Say whether the reference itself may be shown."""
        return self.picture.show_reference.worse(self.person.show_reference)

    @property
    def show_piece(self) -> Ruling:
        """Say whether a photo of the finished tattoo may be shown."""
        return self.picture.show_piece.worse(self.person.show_piece)


def rights_of(piece: Piece, catalogue: Catalogue) -> tuple[Rights, ...]:
    """Answer the three questions for every reference of a piece, from its record and what its file says."""
    record = piece.record
    if record is None:
        return ()
    described = _Described(piece, record, catalogue)
    return tuple(described.rights(number) for number in range(len(record.reference)))


def undescribed_rights(piece: Piece, catalogue: Catalogue) -> tuple[tuple[str, Rights], ...]:
    """Answer for every file among the references that the record does not describe, by its path in the piece."""
    record = piece.record or PieceRecord(title=piece.id)
    return tuple((file, _of_undescribed(file, piece, record, catalogue)) for file in undescribed_files(piece, record))


def undescribed_files(piece: Piece, record: PieceRecord) -> tuple[str, ...]:
    """List the files among the references that the record does not describe; a letter it names and a text are none."""
    named = {record.release.file}
    for reference in record.reference:
        named |= {reference.file, reference.permission}
    files = (path.removeprefix(f"{piece.folder}/") for path in (*piece.references, *piece.papers))
    return tuple(file for file in files if file not in named and not file.lower().endswith(_TEXTS))


def reference_name(reference: Reference, number: int) -> str:
    """Name a reference for a sentence; number counts from 0."""
    return as_text(reference.file or reference.source or say("Reference {number}", number=number + 1), 120)


def evidence_exists(number: int, piece: Piece, record: PieceRecord, catalogue: Catalogue) -> bool:
    """Say whether the file under permission can be evidence: there, readable, no picture or text of the piece."""
    paper = record.reference[number].permission
    pictures = {reference.file for reference in record.reference}
    pictures |= {photo.file for photo in record.photo} | {stencil.file for stencil in record.stencil}
    if paper is None or paper in pictures or paper in (piece.record_name, RECORD, STORY):
        return False
    return is_understood(f"reference.{number}.permission", piece, catalogue)


class _Described:
    """The described references of one piece."""

    def __init__(self, piece: Piece, record: PieceRecord, catalogue: Catalogue) -> None:
        self._piece, self._record, self._catalogue = piece, record, catalogue
        numbers = range(len(record.reference))
        self._made = MadeFrom(record.reference)
        self._own = [self._picture(number) for number in numbers]
        self._named = [own.answers.named(self._name(number)) for number, own in enumerate(self._own)]
        self._people = [self._person(number) for number in numbers]
        used = {record.reference[number].file for number in numbers if record.reference[number].used} - {None}
        # A file that is described twice is used when one of the two says so.
        drawn = {n for n in numbers if record.reference[n].used or record.reference[n].file in used}
        drawn.update(one.number for one in used_after_all(piece, record, catalogue))
        self._counting = self._made.with_all_behind(drawn)

    def rights(self, number: int) -> Rights:
        """Answer for one reference."""
        others = [other for other in self._made.reached(number) if other != number]
        picture, people = self._own[number].answers, answers_about(self._people[number])
        for other in others:
            picture = picture.worse(self._named[other])
            people = people.worse(answers_about(self._people[other]).named(self._name(other)))
        return Rights(
            by_itself=self._own[number],
            picture=reduce(Answers.worse, self._lacking((number, *others)), picture),
            person_answer=self._people[number],
            person=people,
            counts=number in self._counting,
            sources=tuple(self._nodes(number, (number,))),
        )

    def _name(self, number: int) -> str:
        return reference_name(self._record.reference[number], number)

    def _picture(self, number: int) -> PictureRight:
        reference = self._record.reference[number]
        return picture_right(
            completed(reference, embedded_in(reference, self._piece, self._catalogue)),
            today=self._catalogue.built_on,
            evidence_exists=evidence_exists(number, self._piece, self._record, self._catalogue),
            understood=right_is_understood(number, self._piece, self._catalogue),
        )

    def _person(self, number: int) -> PersonAnswer:
        understood = is_understood(f"reference.{number}.likeness", self._piece, self._catalogue)
        reference = self._record.reference[number]
        return _person_of(reference, self._piece, self._record, self._catalogue, understood=understood)

    def _lacking(self, numbers: Iterable[int]) -> Iterator[Answers]:
        """Give what is wrong with what these were made from."""
        for number in numbers:
            if number in self._made.reached(number):
                yield answers_of_row(RightKind.CIRCULAR).named(self._name(number))
            for name in self._made.unknown(number):
                yield answers_of_row(RightKind.NO_SUCH_SOURCE).named(as_text(name, 120))

    def _nodes(self, number: int, way: tuple[int, ...]) -> Iterator[SourceNode]:
        if len(way) > _DEEPEST:
            return
        for other in self._made.direct(number):
            right, word = self._own[other], self._record.reference[other].license
            below = () if other in way else tuple(self._nodes(other, (*way, other)))
            words = license_words(word) if word else kind_words(right.kind)
            yield SourceNode(self._name(other), words, right.answers.show_piece.answer, below)
        for name in self._made.unknown(number):
            yield SourceNode(
                as_text(name, 120), kind_words(RightKind.MISSING), TABLE[RightKind.NO_SUCH_SOURCE].show_piece.answer
            )


def _of_undescribed(file: str, piece: Piece, record: PieceRecord, catalogue: Catalogue) -> Rights:
    answers = answers_of_row(RightKind.UNDESCRIBED)
    person = _person_of(Reference(file=file), piece, record, catalogue, understood=True)
    return Rights(PictureRight(RightKind.UNDESCRIBED, answers, answers), answers, person, answers_about(person))


def _person_of(
    reference: Reference, piece: Piece, record: PieceRecord, catalogue: Catalogue, *, understood: bool
) -> PersonAnswer:
    facts = catalogue.picture(piece, reference.file) if reference.file else None
    may_show = speaks_of_a_person(record) or (facts is not None and MARKED_FACES in facts.private)
    told = completed(reference, embedded_in(reference, piece, catalogue))
    return person_answer(told, record.release, may_show=may_show, understood=understood)
