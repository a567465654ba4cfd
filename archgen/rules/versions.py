"""Rules about what the pictures themselves say: which stencil is a version of which, which references are one."""

from collections.abc import Callable, Iterator

from archgen.catalogue import Catalogue
from archgen.doubles.pairs import twins_elsewhere, twins_in_folder
from archgen.findings import Severity
from archgen.languages.house import say
from archgen.records.model import Piece, PieceRecord, Reference, Stencil
from archgen.records.vocabulary.licences import license_words
from archgen.rules.rule import Hit, Rule
from archgen.twins.model import Pair

_Check = Callable[[Piece, PieceRecord, Catalogue], Iterator[Hit]]


def _described(piece: Piece, record: PieceRecord) -> dict[str, int]:
    return {f"{piece.folder}/{stencil.file}": number for number, stencil in enumerate(record.stencil)}


def _earlier(number: int, piece: Piece, record: PieceRecord, catalogue: Catalogue) -> tuple[int, Pair] | None:
    """Find the stencil that one is to be compared with: its parent, else the first of the earlier ones."""
    numbers = _described(piece, record)
    stencil = record.stencil[number]
    path = f"{piece.folder}/{stencil.file}"
    found = [(numbers[o], pair) for o, pair in twins_in_folder(path, catalogue) if o in numbers]
    found = [(other, pair) for other, pair in found if _order(record, other) < _order(record, number)]

    def rank(one: tuple[int, Pair]) -> tuple[bool, bool, int, int]:
        is_parent = stencil.parent is not None and record.stencil[one[0]].version == stencil.parent
        return (not is_parent, *_order(record, one[0]))

    return min(found, key=rank, default=None)


def _order(record: PieceRecord, number: int) -> tuple[bool, int, int]:
    version = record.stencil[number].version
    return version is None, version or 0, number


def _name(stencil: Stencil) -> str:
    return say("version {version}", version=stencil.version) if stencil.version is not None else stencil.file


def _mirrored(piece: Piece, record: PieceRecord, catalogue: Catalogue) -> Iterator[Hit]:
    for number, stencil in enumerate(record.stencil):
        key = f"stencil.{number}.mirrored"
        if key in piece.lines or f"{piece.folder}/{stencil.file}" in catalogue.twins.symmetric:
            continue
        if found := _earlier(number, piece, record, catalogue):
            other = record.stencil[found[0]]
            if found[1].mirrored and other.mirrored == stencil.mirrored:
                yield Hit(
                    say(
                        "{file} is {other} mirrored, and the record says nothing of it.",
                        file=stencil.file,
                        other=_name(other),
                    ),
                    say(
                        "If the file was saved mirrored for printing, add mirrored = true, so that it is not turned "
                        "over twice; if the drawing is meant to face the other way, add mirrored = false."
                    ),
                    key=key,
                )


def _not_mirrored(piece: Piece, record: PieceRecord, catalogue: Catalogue) -> Iterator[Hit]:
    for number, stencil in enumerate(record.stencil):
        if f"{piece.folder}/{stencil.file}" in catalogue.twins.symmetric:
            continue
        if found := _earlier(number, piece, record, catalogue):
            other = record.stencil[found[0]]
            if not found[1].mirrored and other.mirrored != stencil.mirrored:
                which = stencil if stencil.mirrored else other
                yield Hit(
                    say(
                        "{file} lies the same way round as {other}, but only {that} is recorded as mirrored. "
                        "One of the two would be printed the wrong way round.",
                        file=stencil.file,
                        other=_name(other),
                        that=which.file,
                    ),
                    say(
                        "Compare both with a photo of the piece, and take mirrored = true off the one that is not "
                        "reversed, or add it to the other."
                    ),
                    key=f"stencil.{number}.mirrored",
                )


def _no_parent(piece: Piece, record: PieceRecord, catalogue: Catalogue) -> Iterator[Hit]:
    for number, stencil in enumerate(record.stencil):
        if stencil.parent is not None:
            continue
        if found := _earlier(number, piece, record, catalogue):
            other = record.stencil[found[0]]
            lines = [f"version = {_next_version(record)}"] if stencil.version is None else []
            lines += [f"parent = {other.version}"] if other.version is not None else []
            if lines:
                yield Hit(
                    say(
                        "{file} shows the drawing of {other}, but not what it was made from.",
                        file=stencil.file,
                        other=_name(other),
                    ),
                    say("If it was made from that, add: {lines}", lines=", ".join(lines)),
                    key=f"stencil.{number}",
                )


def _other_parent(piece: Piece, record: PieceRecord, catalogue: Catalogue) -> Iterator[Hit]:
    numbers = _described(piece, record)
    for number, stencil in enumerate(record.stencil):
        if stencil.parent is None or stencil.version is None:
            continue
        path = f"{piece.folder}/{stencil.file}"
        # A parent is not asked for certainty: what was redrawn a good deal looks like it only faintly.
        alike = {pair.b if pair.a == path else pair.a for pair in catalogue.pairs_by_path.get(path, ())}
        versions = {record.stencil[numbers[other]].version for other in alike if other in numbers}
        earlier = sorted(version for version in versions if version is not None and version < stencil.version)
        if earlier and stencil.parent not in versions:
            yield Hit(
                say(
                    "{file} is recorded as made from version {parent}, but looks like {earlier}.",
                    file=stencil.file,
                    parent=stencil.parent,
                    earlier=earlier[0],
                ),
                say("Look at the three side by side; if that is right, write parent = {earlier}.", earlier=earlier[0]),
                key=f"stencil.{number}.parent",
            )


def _not_described(piece: Piece, record: PieceRecord, catalogue: Catalogue) -> Iterator[Hit]:
    numbers = _described(piece, record)
    for path in piece.stencils:
        if path in numbers:
            continue
        known = [(numbers[other], pair) for other, pair in twins_in_folder(path, catalogue) if other in numbers]
        if known:
            number, pair = min(known, key=lambda one: _order(record, one[0]))
            parent = record.stencil[number]
            lines = ["[[stencil]]", f'file = "{path.removeprefix(piece.folder + "/")}"']
            lines += [f"version = {_next_version(record)}"]
            lines += [f"parent = {parent.version}"] if parent.version is not None else []
            symmetric = path in catalogue.twins.symmetric
            lines += ["mirrored = true"] if pair.mirrored != parent.mirrored and not symmetric else []
            yield Hit(
                say("This stencil shows the drawing of {parent} of this piece.", parent=_name(parent)),
                say("Add to piece.toml:\n{lines}", lines="\n".join(lines)),
                file=path,
            )


def _next_version(record: PieceRecord) -> int:
    return max((stencil.version or 0 for stencil in record.stencil), default=0) + 1


def _same_reference(piece: Piece, record: PieceRecord, catalogue: Catalogue) -> Iterator[Hit]:
    for number, reference in enumerate(record.reference):
        path = f"{piece.folder}/{reference.file}"
        around = (*twins_in_folder(path, catalogue), *twins_elsewhere(path, catalogue))
        for other, _pair in around:
            found = catalogue.reference_at(other)
            if found and _differs(reference, found[1]):
                there, that = found
                where = say("this piece") if there is piece else f"“{there.title}”"
                yield Hit(
                    say(
                        "{file} is the same picture as {that} of {where}, where {right}; here {own}.",
                        file=reference.file,
                        that=that.file,
                        where=where,
                        right=_right(that),
                        own=_right(reference),
                    ),
                    say(
                        "One picture has one right, unless you asked for each use: compare the two records and their "
                        "sources, and correct the one that is wrong."
                    ),
                    key=f"reference.{number}.license",
                )


def _differs(reference: Reference, other: Reference) -> bool:
    """Say whether another record of the same picture should make the artist look at this one."""
    return other.license is not None and (reference.license or "").casefold() != other.license.casefold()


def _right(reference: Reference) -> str:
    if not reference.license:
        return say("no right is recorded")
    return say("the right is {license}", license=license_words(reference.license))


def _rule(
    code: str, severity: Severity, reason: str, check: Callable[[Piece, PieceRecord, Catalogue], Iterator[Hit]]
) -> Rule:
    return Rule(code, severity, reason, check, needs_pictures=True)


_ASK, _NOTE = Severity.WARNING, Severity.NOTE
RULES: tuple[Rule, ...] = (
    _rule("version.mirrored", _ASK, "A stencil turned over twice lands reversed on skin.", _mirrored),
    _rule("version.not-mirrored", _ASK, "A stencil not turned over lands reversed on skin.", _not_mirrored),
    _rule("version.no-parent", _NOTE, "Versions tell how a drawing came about.", _no_parent),
    _rule("version.other-parent", _NOTE, "A wrong parent tells a wrong history.", _other_parent),
    _rule("version.not-described", _NOTE, "What is not described cannot be reprinted at its size.", _not_described),
    _rule("rights.same-picture", _ASK, "One picture with two rights: one of them is wrong.", _same_reference),
)
