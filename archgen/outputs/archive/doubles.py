"""The page of pictures that look nearly the same: what is undecided, then what was decided."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import PurePosixPath

from archgen.catalogue import DoubleGroup, Settled
from archgen.clock import printed
from archgen.doubles.decisions import DIGEST_SIGNS
from archgen.doubles.decisions_file import Verdict
from archgen.languages.house import say, to_say
from archgen.outputs.archive.context import Context, Site
from archgen.outputs.archive.piece.overlay import PictureOverlay, overlays
from archgen.outputs.site_pages import PagePicture, picture
from archgen.pieces.photos import PhotoOverview
from archgen.pieces.versions import VersionOverview
from archgen.records.model import Piece
from archgen.units import length_words
from archgen.values.frozen import Value
from archgen.wording.likenesses import group_words, member_words
from archgen.wording.pieces import day_words, stage_words, version_number

# Pictures of one group and groups that are shown; what is beyond is told. Thousands of copies are no page to look at.
MOST_PICTURES = 12
MOST_GROUPS = 100
_NAMES = (to_say("First"), to_say("Second"), to_say("Third"), to_say("Fourth"), to_say("Fifth"), to_say("Sixth"))
_WITHIN = (
    to_say("the first"),
    to_say("the second"),
    to_say("the third"),
    to_say("the fourth"),
    to_say("the fifth"),
    to_say("the sixth"),
)

_Known = tuple[Piece, PhotoOverview | VersionOverview | None]
_Named = Mapping[str, _Known]


class DoublePicture(Value, frozen=True):
    """One picture of a group, what it is to the first, and what is known of it."""

    name: str
    relation: str
    picture: PagePicture | None
    drawing: bool
    title: str
    href: str
    original: str
    path: str
    file: str
    facts: tuple[str, ...]


class DoubleView(Value, frozen=True):
    """One group, with the lines that record the artist's decision."""

    number: int
    name: str
    words: str
    again: tuple[str, ...]
    why_first: str
    pictures: tuple[DoublePicture, ...]
    left_out: int
    drawing: bool
    overlays: tuple[PictureOverlay, ...]
    same: str
    different: str


class SettledView(Value, frozen=True):
    """One decision that holds."""

    verdict: str
    words: str
    pictures: tuple[DoublePicture, ...]
    left_out: int


class DoublesView(Value, frozen=True):
    """The page of doubles."""

    site: Site
    groups: tuple[DoubleView, ...]
    left_out: int
    settled: tuple[SettledView, ...]


def doubles_view(context: Context) -> DoublesView:
    """Make the page of doubles."""
    named = _named_files(context)
    twins = context.catalogue.twins
    shown = twins.doubles[:MOST_GROUPS]
    return DoublesView(
        site=context.site,
        groups=tuple(_double(context, number, group, named) for number, group in enumerate(shown, 1)),
        left_out=len(twins.doubles) - len(shown),
        settled=tuple(_settled(context, settled, named) for settled in twins.settled),
    )


def _named_files(context: Context) -> _Named:
    """Give the piece of every picture, and what its record says of it."""
    named: dict[str, _Known] = {}
    for overview in context.overviews.values():
        piece = overview.piece
        named |= dict.fromkeys((*piece.photos, *piece.stencils, *piece.references), (piece, None))
        items: tuple[PhotoOverview | VersionOverview, ...] = (*overview.photos.shown, *overview.versions)
        named |= {item.path: (piece, item) for item in items if item.is_described}
    return named


def _double(context: Context, number: int, group: DoubleGroup, named: _Named) -> DoubleView:
    paths = group.paths[:MOST_PICTURES]
    pictures = tuple(_pictures(context, group, named))
    titles = list(dict.fromkeys(shown.title for shown in pictures))
    drawing = all(shown.drawing for shown in pictures)
    return DoubleView(
        number=number,
        name=titles[0] if len(titles) == 1 else " and ".join((", ".join(titles[:-1]), titles[-1])),
        words=group_words(group.pairs) if group.pairs else say("Pictures that look nearly the same"),
        again=group.again,
        why_first=_why_first(group) if group.is_burst else "",
        pictures=pictures,
        left_out=len(group.paths) - len(paths),
        drawing=drawing,
        overlays=overlays(paths, [one.name for one in pictures], group.pairs, context.catalogue.facts),
        same=_lines(context, group, same=True),
        different=_lines(context, group, same=False),
    )


def _why_first(group: DoubleGroup) -> str:
    return say(
        "The sharpest of {paths} is first: its fine detail is the strongest. Frames with less than "
        "half the pixels come after it.",
        paths=len(group.paths),
    )


def _pictures(context: Context, group: DoubleGroup, named: _Named) -> Iterator[DoublePicture]:
    paths = group.paths[:MOST_PICTURES]
    names = [
        say(_NAMES[place]) if place < len(_NAMES) else say("Number {number}", number=place + 1)
        for place in range(len(paths))
    ]
    relations = member_words(paths, group.pairs, [_of_the_group(place) for place in range(len(paths))])
    for place, (path, name, relation) in enumerate(zip(paths, names, relations, strict=True)):
        shown = _picture(context, path, named)
        sharpness = _sharpness(group, place)
        facts = (*shown.facts, sharpness) if sharpness else shown.facts
        yield replace(shown, name=name, relation=relation, facts=facts)


def _of_the_group(place: int) -> str:
    return say(_WITHIN[place]) if place < len(_WITHIN) else say("number {number}", number=place + 1)


def _sharpness(group: DoubleGroup, place: int) -> str:
    if not group.is_burst or not group.sharpness or group.sharpness[0] <= 0:
        return ""
    if place == 0:
        return say("the sharpest")
    if group.sharpness[place] > group.sharpness[0]:
        return say("as sharp, but with fewer pixels")
    return say("sharpness {sharpness:.0%} of the first", sharpness=group.sharpness[place] / group.sharpness[0])


def _picture(context: Context, path: str, named: _Named) -> DoublePicture:
    piece, item = named.get(path, (None, None))
    facts = context.catalogue.facts.get(path)
    said = list(_said(context, item)) if item else []
    if facts:
        said += [f"{facts.width} × {facts.height} pixels, {facts.file_format}"]
        said += [say("taken {day}", day=day_words(facts.taken.date()))] if facts.taken else []
    file = PurePosixPath(path).name
    return DoublePicture(
        name="",
        relation="",
        picture=picture(facts.screen, f"{piece.title if piece else path}: {file}", wanted_px=600) if facts else None,
        drawing="/stencils/" in path,
        title=piece.title if piece else path,
        href=context.piece_pages[piece.id] if piece else "",
        original=context.original(path),
        path=path,
        file=file,
        facts=tuple(said),
    )


def _said(context: Context, item: PhotoOverview | VersionOverview) -> Iterator[str]:
    if isinstance(item, PhotoOverview):
        yield stage_words(item)
        return
    yield version_number(item.stencil)
    if item.stencil.width:
        yield say("{length} wide", length=length_words(item.stencil.width, context.units))
    if item.is_applied:
        yield say("On the skin")


def _lines(context: Context, group: DoubleGroup, *, same: bool) -> str:
    facts = context.catalogue.facts
    digests = tuple(facts[path].digest[:DIGEST_SIGNS] for path in group.paths if path in facts)
    whole = digests if len(digests) == len(group.paths) else ()
    return Verdict(group.paths, whole, same, printed(context.catalogue.built_on)).lines()


def _settled(context: Context, settled: Settled, named: _Named) -> SettledView:
    decision = settled.decision
    images: Sequence[str] = [path for path in dict.fromkeys(decision.images) if path in context.catalogue.facts]
    if settled.kept in images:
        images = sorted(images, key=lambda path: path != settled.kept)
    kept = say("kept {file}", file=PurePosixPath(settled.kept).name) if settled.kept else ""
    words = (kept, decision.reason, day_words(decision.date))
    return SettledView(
        verdict=say("Same picture") if settled.same else say("Different pictures"),
        words=" · ".join(part for part in words if part),
        pictures=tuple(_picture(context, path, named) for path in images[:MOST_PICTURES]),
        left_out=max(len(images) - MOST_PICTURES, 0),
    )
