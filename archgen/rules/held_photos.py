"""Rules about photos that another picture keeps in, and references that seem to hold one another."""

from collections.abc import Iterator

from archgen.catalogue import Catalogue
from archgen.findings import Severity
from archgen.languages.house import say, to_say
from archgen.publication.held_photos import why_held
from archgen.records.made_from import MadeFrom
from archgen.records.model import Piece, PieceRecord
from archgen.rules.rule import Hit, Rule
from archgen.toml.problem import as_text, shown
from archgen.twins.model import Pair, Relation


def _held(piece: Piece, record: PieceRecord, catalogue: Catalogue) -> Iterator[Hit]:
    for number, photo in enumerate(record.photo):
        reason = why_held(photo, piece, catalogue) if record.publish and photo.may_publish else None
        if reason:
            yield Hit(
                say("{file} is held. {reason}", file=photo.file, reason=reason),
                say(
                    "If it must not be shown, set publish = false for this photo. If both are one picture and it may "
                    "be shown, correct the record of the other, or decide which is kept: archgen twins --same with "
                    "both."
                ),
                key=f"photo.{number}",
            )


def _seems_from(piece: Piece, record: PieceRecord, catalogue: Catalogue) -> Iterator[Hit]:
    """Ask whether a reference was made from another one that it seems to hold."""
    made = MadeFrom(record.reference)
    numbers = {f"{piece.folder}/{one.file}": n for n, one in enumerate(record.reference) if one.file}
    for path, number in numbers.items():
        pairs = catalogue.pairs_by_path.get(path, ())
        held = [
            other for pair in pairs if (other := pair.b if pair.a == path else pair.a) and _holds(path, other, pair)
        ]
        held += [part for whole, part in catalogue.twins.parts if whole == path]
        for other in dict.fromkeys(held):
            if not _are_joined(made, number, numbers.get(other)):
                yield _proposal(number, other, piece, record, catalogue)


def _holds(path: str, other: str, pair: Pair) -> bool:
    """Say whether a picture shows another reference and more, or all of it changed; each pair is told once."""
    if other.split("/")[2] != "references" or pair.relation is Relation.IDENTICAL:
        return False
    return pair.part == other if pair.part else path == pair.b


def _are_joined(made: MadeFrom, one: int, other: int | None) -> bool:
    return other is not None and (other in made.reached(one) or one in made.reached(other))


def _proposal(number: int, other: str, piece: Piece, record: PieceRecord, catalogue: Catalogue) -> Hit:
    owner = catalogue.piece_at(other)
    name = "/".join(other.split("/")[2:])
    is_here = owner is None or owner.id == piece.id
    file = record.reference[number].file
    if is_here or owner is None:
        problem = say("{file} seems to hold {name}: is it made from that?", file=file, name=name)
    else:
        title = as_text(owner.title)
        problem = say(
            "{file} seems to hold {name} of “{title}”: is it made from that?", file=file, name=name, title=title
        )
    remedy = to_say(
        "If so, add made_from = [{name}]; the stricter right then counts. If they only look alike: archgen twins "
        "--different with both."
    )
    if not is_here:
        remedy = to_say(
            "If so, give it a [[reference]] of its own here, and add made_from = [{name}]; the stricter right then "
            "counts. If they only look alike: archgen twins --different with both."
        )
    return Hit(
        problem,
        say(remedy, name=shown(name)),
        key=f"reference.{number}.made_from",
    )


_STOP, _ASK = Severity.ERROR, Severity.WARNING
RULES: tuple[Rule, ...] = (
    Rule("photo.held", _STOP, "What may not be shown is not shown as another picture.", _held, needs_pictures=True),
    Rule("rights.seems-from", _ASK, "A merged picture stands on all its sources.", _seems_from, needs_pictures=True),
)
