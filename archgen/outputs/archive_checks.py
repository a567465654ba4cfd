"""What the checks found, by what to do, and the pictures that look nearly the same."""

import json
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from archgen.catalogue import DoubleGroup
from archgen.findings import Finding, Severity
from archgen.outputs.archive_context import Context, Problem, Site, problem
from archgen.outputs.archive_followup import due_now
from archgen.outputs.archive_words import day_words
from archgen.outputs.site_pages import Picture, picture
from archgen.records.model import Photo, Piece, Stencil
from archgen.units import length_words

# Findings written out per code; a large archive has thousands, and each stands on its piece's page too.
MOST_PER_CODE = 40

_GROUPS = (
    (Severity.ERROR, "Stops publishing", "check-stop", "Nothing stops a piece from being published."),
    (Severity.WARNING, "Ask, then record", "check-ask", "Nobody has to be asked."),
    (Severity.NOTE, "Good to know", "check-note", "Nothing else stood out."),
)


@dataclass(frozen=True, slots=True)
class CheckRow:
    """One finding with the piece it is about."""

    problem: Problem
    title: str
    href: str
    picture: Picture | None


@dataclass(frozen=True, slots=True)
class CodeCount:
    """How often a code was found, and how many of it are not written out."""

    code: str
    count: int
    left_out: int


@dataclass(frozen=True, slots=True)
class CheckGroup:
    """Findings that ask for the same kind of action."""

    name: str
    shape: str
    nothing: str
    count: int
    rows: tuple[CheckRow, ...]
    codes: tuple[CodeCount, ...]


@dataclass(frozen=True, slots=True)
class ChecksView:
    """The checks page."""

    site: Site
    total: int
    pieces: int
    groups: tuple[CheckGroup, ...]
    due_now: int


def checks_view(context: Context) -> ChecksView:
    """Make the checks page."""
    findings = context.catalogue.findings
    groups = tuple(
        _group(context, [f for f in findings if f.severity is severity], name, shape, nothing)
        for severity, name, shape, nothing in _GROUPS
    )
    return ChecksView(context.site, len(findings), len(context.catalogue.pieces), groups, due_now(context.due))


def _group(context: Context, findings: Sequence[Finding], name: str, shape: str, nothing: str) -> CheckGroup:
    counts = Counter(finding.code for finding in findings)
    written: Counter[str] = Counter()
    rows = []
    for finding in findings:
        written[finding.code] += 1
        if written[finding.code] <= MOST_PER_CODE:
            rows.append(_row(context, finding))
    codes = tuple(
        CodeCount(code, count, max(count - MOST_PER_CODE, 0))
        for code, count in sorted(counts.items(), key=lambda item: (-item[1], item[0]))
    )
    return CheckGroup(name, shape, nothing, len(findings), tuple(rows), codes)


def _row(context: Context, finding: Finding) -> CheckRow:
    piece = context.by_id.get(finding.piece or "")
    title, href = (piece.title, context.piece_pages[piece.id]) if piece else ("The whole archive", "")
    return CheckRow(problem(context, finding, depth=0), title, href, context.thumbnail(piece) if piece else None)


@dataclass(frozen=True, slots=True)
class DoublePicture:
    """One picture of a group and what is known of it."""

    picture: Picture | None
    drawing: bool
    title: str
    href: str
    original: str
    file: str
    facts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class DoubleView:
    """One group, with the lines that record the artist's decision."""

    number: int
    name: str
    words: str
    pictures: tuple[DoublePicture, ...]
    same: str
    different: str


@dataclass(frozen=True, slots=True)
class DoublesView:
    """The page of doubles."""

    site: Site
    groups: tuple[DoubleView, ...]


def doubles_view(context: Context) -> DoublesView:
    """Make the page of doubles."""
    named = _named_files(context)
    groups = enumerate(context.catalogue.twins.doubles, 1)
    return DoublesView(context.site, tuple(_double(context, number, group, named) for number, group in groups))


def _named_files(context: Context) -> dict[str, tuple[Piece, Photo | Stencil | None]]:
    """Give the piece of every picture, and what its record says of it."""
    named: dict[str, tuple[Piece, Photo | Stencil | None]] = {}
    for piece in context.catalogue.pieces:
        for path in (*piece.photos, *piece.stencils, *piece.references):
            named[path] = (piece, None)
        if piece.record:
            items: tuple[Photo | Stencil, ...] = (*piece.record.photo, *piece.record.stencil)
            for item in items:
                named[f"{piece.folder}/{item.file}"] = (piece, item)
    return named


def _double(
    context: Context, number: int, group: DoubleGroup, named: dict[str, tuple[Piece, Photo | Stencil | None]]
) -> DoubleView:
    pictures = tuple(_double_picture(context, path, *named.get(path, (None, None))) for path in group.paths)
    titles = list(dict.fromkeys(shown.title for shown in pictures))
    name = titles[0] if len(titles) == 1 else " and ".join((", ".join(titles[:-1]), titles[-1]))
    kinds = {path.split("/")[-2] for path in group.paths if "/" in path}
    kind = {"photos": "Photos", "stencils": "Stencils", "references": "References"}.get(
        min(kinds, default=""), "Pictures"
    )
    words = f"{kind if len(kinds) == 1 else 'Pictures'} that look nearly the same"
    words += ", one of them mirrored" if group.mirrored else ""
    return DoubleView(
        number, name, words, pictures, _lines(context, group, same=True), _lines(context, group, same=False)
    )


def _double_picture(context: Context, path: str, piece: Piece | None, item: Photo | Stencil | None) -> DoublePicture:
    facts = context.catalogue.facts.get(path)
    said = list(_said(context, item)) if item else []
    if facts:
        said += [f"{facts.width} × {facts.height} pixels, {facts.file_format}"]
        said += [f"taken {day_words(facts.taken.date())}"] if facts.taken else []
    return DoublePicture(
        picture=picture(facts.screen, f"{piece.title if piece else path}: {path.rpartition('/')[2]}", wanted_px=600)
        if facts
        else None,
        drawing="/stencils/" in path,
        title=piece.title if piece else path,
        href=context.piece_pages[piece.id] if piece else "",
        original=context.original(path),
        file=path,
        facts=tuple(said),
    )


def _said(context: Context, item: Photo | Stencil) -> Iterator[str]:
    if isinstance(item, Photo):
        yield item.stage.value.capitalize() if item.stage else "Stage not recorded"
        return
    yield f"Version {item.version}" if item.version is not None else "No version recorded"
    if item.width:
        yield f"{length_words(item.width, context.units)} wide"
    if item.applied:
        yield "On the skin"


def _lines(context: Context, group: DoubleGroup, *, same: bool) -> str:
    # A JSON text is a TOML text too, escapes included.
    texts = [json.dumps(path, ensure_ascii=False) for path in group.paths]
    lines = ["[[same]]" if same else "[[different]]", "images = [", *(f"  {text}," for text in texts), "]"]
    if same:
        lines.append(f"keep = {texts[0]}")
    return "\n".join([*lines, f"date = {context.catalogue.built_on.isoformat()}"])
