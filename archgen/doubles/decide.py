"""Make decisions out of what the artist says: about named pictures, or about a group."""

from collections.abc import Iterable, Sequence
from difflib import get_close_matches
from pathlib import Path

from archgen.catalogue import Catalogue
from archgen.doubles.decisions import DIGEST_SIGNS, Decided
from archgen.doubles.decisions_file import Verdict
from archgen.errors import InputError, UsageError, disk_reason
from archgen.languages.house import say
from archgen.storage.files import digest_file


def verdict_about(
    catalogue: Catalogue, pictures: Iterable[str], *, same: bool, keep: str | None = None, reason: str | None = None
) -> Verdict | None:
    """Decide about named pictures; None when that was decided before and still holds.

    Raises:
        UsageError: A picture is none of the archive, or keep is none of the pictures.
        InputError: A picture cannot be read.
    """
    images = tuple(dict.fromkeys(_named(catalogue, name) for name in pictures))
    if len(images) < 2:
        raise UsageError(say("These are two names of one picture."))
    kept = _named(catalogue, keep) if keep else images[0]
    if kept not in images:
        raise UsageError(say("{keep} is to be kept, but it is none of the pictures that were named.", keep=keep))
    digests = {image: _digest(catalogue.config.root / image) for image in images}
    decided = Decided(catalogue.decisions, catalogue.decision_lines, digests)
    if all(decided.verdict(one, other) is same for one in images for other in images if one < other):
        already_kept = {decided.standing_for(image) for image in images}
        if not same or keep is None or already_kept == {kept}:
            return None
    return Verdict(images, tuple(digests.values()), same, catalogue.built_on, kept if same else None, reason)


def verdicts_about_group(
    catalogue: Catalogue, paths: Sequence[str], *, keep: str | None, others: Sequence[str] = ()
) -> list[Verdict]:
    """Decide about a group: all are the picture kept, but for the others; without keep all are different."""
    if keep is None:
        return [_of_facts(catalogue, paths, same=False)]
    same = [path for path in paths if path not in others]
    verdicts = [_of_facts(catalogue, same, same=True, keep=keep)] if len(same) > 1 else []
    return verdicts + [_of_facts(catalogue, (keep, other), same=False) for other in others]


def _of_facts(catalogue: Catalogue, paths: Sequence[str], *, same: bool, keep: str | None = None) -> Verdict:
    digests = tuple(catalogue.facts[path].digest[:DIGEST_SIGNS] for path in paths)
    return Verdict(tuple(paths), digests, same, catalogue.built_on, keep)


def _named(catalogue: Catalogue, name: str) -> str:
    """Find a picture by its path below the archive folder or from here."""
    known = {path for piece in catalogue.pieces for path in (*piece.photos, *piece.stencils, *piece.references)}
    plain = name.replace("\\", "/").removeprefix("./")
    if plain in known:
        return plain
    root = catalogue.config.root.resolve()
    here = Path(name).resolve()
    if here.is_relative_to(root) and (path := here.relative_to(root).as_posix()) in known:
        return path
    near = get_close_matches(plain, known, n=1)
    said = say("{name} isn't a picture of this archive.", name=name)
    raise UsageError(f"{said} {say('Nearest: {names}.', names=near[0])}" if near else said)


def _digest(path: Path) -> str:
    try:
        return digest_file(path)[:DIGEST_SIGNS]
    except OSError as error:
        raise InputError(say("{file} cannot be read ({reason}).", file=path, reason=disk_reason(error))) from error
