"""From the answers and the pictures to the lines of a record: what the form says beside each answer is written here."""

from collections.abc import Iterator, Mapping, Sequence

from archgen.desk.filing.answers import PieceAnswers, ReleaseAnswer
from archgen.desk.filing.lines import LineValue, RecordTable, table
from archgen.intake.plan import PlannedPicture, What
from archgen.picture_facts.facts import Role


def record_tables(
    answers: PieceAnswers, pictures: Sequence[PlannedPicture], client: str | None, widths: Mapping[str, str]
) -> tuple[RecordTable, ...]:
    """Write the whole record; `client` is the code, `widths` what the stencils' own files say, by their keys."""
    return tuple(one for one in _tables(answers, pictures, client, widths) if one.entries)


def _tables(
    answers: PieceAnswers, pictures: Sequence[PlannedPicture], client: str | None, widths: Mapping[str, str]
) -> Iterator[RecordTable]:
    head = {"title": answers.title, "publish": answers.publish, "styles": answers.styles, "client": client}
    yield table("", head)
    yield table("[size]", {"width": answers.width, "height": answers.height})
    place = answers.place
    yield table("[placement]", {"region": place.region, "side": place.side, "girth": place.girth})
    for sitting in answers.sittings:
        yield table("[[sitting]]", {"date": sitting.date, "hours": sitting.hours})
    yield from (needle.table for needle in answers.needles)
    yield from (table("[[ink]]", {"batch": batch}) for batch in answers.inks)
    said = {one.picture: dict(one.values) for one in answers.references}
    for picture in _of(pictures, Role.REFERENCE):
        yield table("[[reference]]", {"file": picture.file, **said.get(picture.key, {})})
    yield from _stencils(answers, tuple(_of(pictures, Role.STENCIL)), widths)
    yield from _photos(tuple(_of(pictures, Role.PHOTO)), answers.cover)
    if answers.release:
        yield release_table(answers.release)
    yield table("[price]", {"charged": answers.charged, "deposit": answers.deposit})


def _of(pictures: Sequence[PlannedPicture], role: Role) -> Iterator[PlannedPicture]:
    return (picture for picture in pictures if picture.guess.what.role is role)


def release_table(release: ReleaseAnswer) -> RecordTable:
    """Write what the client said."""
    values = {"status": release.status, "scope": release.scope, "date": release.date, "file": release.file}
    return table("[release]", values)


def _stencils(
    answers: PieceAnswers, stencils: Sequence[PlannedPicture], widths: Mapping[str, str]
) -> Iterator[RecordTable]:
    applied = stencils[0].key if len(stencils) == 1 else answers.applied
    for version, stencil in enumerate(stencils, 1):
        is_applied = stencil.key == applied
        width = answers.width if is_applied and answers.width else widths.get(stencil.key)
        values: dict[str, LineValue | None] = {
            "file": stencil.file,
            "version": version,
            "width": width,
            "applied": True if is_applied else None,
        }
        yield table("[[stencil]]", values)


def _photos(photos: Sequence[PlannedPicture], cover: str | None) -> Iterator[RecordTable]:
    """Write the photos; of several that would be shown by default only the cover and the healed ones are."""
    covering = cover or next((photo.key for photo in photos if photo.is_cover), None)
    for photo in photos:
        is_cover = photo.key == covering
        is_hidden = photo.guess.what is What.FRESH and not is_cover and covering is not None
        values: dict[str, LineValue | None] = {
            "file": photo.file,
            "stage": photo.guess.what.value,
            "taken": photo.day,
            "cover": True if is_cover else None,
            "publish": False if is_hidden or (not photo.show and not is_cover) else None,
        }
        yield table("[[photo]]", values)
