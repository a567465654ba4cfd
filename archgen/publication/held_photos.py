"""Photos that must not be shown because of another: a reference, a photo nobody allowed, work in progress.

Pictures are the same when their files are equal or the artist decided so; near-identical ones are asked about until
the artist decides. "Different" frees a photo, but not one whose file is equal byte for byte.
"""

from collections.abc import Iterator

from archgen.catalogue import Catalogue
from archgen.languages.house import say
from archgen.publication.gate import Answer
from archgen.publication.misread import release_trouble
from archgen.publication.reference_rights import rights_of
from archgen.publication.releases import refusal_words
from archgen.records.model import Photo, Piece, Stage
from archgen.toml.problem import as_text
from archgen.twins.model import Relation


def why_held(photo: Photo, piece: Piece, catalogue: Catalogue) -> str | None:
    """Say which other picture keeps a photo in, and why; None when none does."""
    path = f"{piece.folder}/{photo.file}"
    same = _same_pictures(path, catalogue)
    for other in same:
        if reason := _reason(other, path, piece, catalogue):
            return say("This photo is {reason}.", reason=reason)
    for other in _alike(path, same, catalogue):
        if reason := _reason(other, path, piece, catalogue):
            return say(
                "This photo looks like {reason}. If they are two pictures, say so: archgen twins --different.",
                reason=reason,
            )
    return None


def _same_pictures(path: str, catalogue: Catalogue) -> tuple[str, ...]:
    """Give the pictures that are this one: equal files, and what was decided to be the same, one after the other."""
    found = {path: None}
    ahead = [path]
    for one in ahead:
        others = (*catalogue.equal_files(one), *_decided_same(one, catalogue))
        ahead += [other for other in dict.fromkeys(others) if other not in found]
        found |= dict.fromkeys(others)
    return tuple(sorted(found.keys() - {path}))


def _decided_same(path: str, catalogue: Catalogue) -> Iterator[str]:
    for settled in catalogue.settled_by_path.get(path, ()):
        for other in settled.decision.images:
            if catalogue.is_decided_same(path, other):
                yield other


def _alike(path: str, same: tuple[str, ...], catalogue: Catalogue) -> Iterator[str]:
    """Give the pictures that are near-identical to this one, or to one that is the same, and not decided to differ.

    A drawing with other lines is no copy: a photo shows the tattoo that was made after it.
    """
    known = {path, *same}
    for one in sorted(known):
        for pair in catalogue.pairs_by_path.get(one, ()):
            other = pair.b if pair.a == one else pair.a
            is_copy = other not in known and pair.relation is not Relation.VERSION
            if is_copy and catalogue.is_decided_same(path, other) is not False:
                yield other


def _reason(other: str, path: str, piece: Piece, catalogue: Catalogue) -> str | None:
    """Say what another picture is, when a photo that is the same must not be shown."""
    owner = catalogue.piece_at(other)
    if owner is None:
        return None
    _, folder, name = other.removeprefix(owner.folder).split("/", 2)
    where = "" if owner.id == piece.id else " " + say("of “{title}” ({id})", title=as_text(owner.title), id=owner.id)
    if folder == "references":
        is_kept = _is_kept_as_photo(path, other, owner, catalogue)
        return None if is_kept else say("the reference {name}", name=name + where)
    if folder != "photos":
        return None
    refused = _refusal(owner, catalogue) if owner.id != piece.id else None
    if refused:
        one, here = (f"“{as_text(each.title)}” ({each.id})" for each in (owner, piece))
        return say("a photo of {one}, {refused}; here it stands in {here}", one=one, refused=refused, here=here)
    if _is_private_progress(other, owner):
        return say("{name}, a photo of work in progress that isn't public", name=name + where)
    return None


def _refusal(owner: Piece, catalogue: Catalogue) -> str | None:
    if owner.record is None:
        return say("whose record can't be read, so what its client said isn't known")
    if release_trouble(owner, catalogue):
        return say("whose photo release isn't understood")
    return refusal_words(owner.record.release, catalogue.built_on)


def _is_kept_as_photo(path: str, other: str, owner: Piece, catalogue: Catalogue) -> bool:
    """Say whether it was decided that a reference is this very photo, and its right lets it be shown."""
    latest = next((one for one in catalogue.settled_by_path.get(path, ()) if other in one.decision.images), None)
    if latest is None or not latest.same or latest.kept != path or owner.record is None:
        return False
    rights = zip(owner.record.reference, rights_of(owner, catalogue), strict=True)
    found = [right for reference, right in rights if f"{owner.folder}/{reference.file}" == other]
    return bool(found) and all(right.show_reference.answer is Answer.YES for right in found)


def _is_private_progress(path: str, owner: Piece) -> bool:
    photos = owner.record.photo if owner.record else ()
    return any(
        photo.stage is Stage.IN_PROGRESS and not photo.may_publish and f"{owner.folder}/{photo.file}" == path
        for photo in photos
    )
