"""Everything one build knows, in one read-only value: pieces, registers, picture facts, findings, groups of doubles."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

import msgspec

from archgen.config import Config
from archgen.findings import Finding, Severity
from archgen.picture_facts.facts import ImageFacts
from archgen.picture_facts.gauge_facts import GaugeFacts, PairFacts, PairJob
from archgen.picture_facts.laid_facts import LaidFacts, LayJob
from archgen.records.designs.model import Design
from archgen.records.model import (
    Box,
    Client,
    Decision,
    DecisionRegister,
    Ink,
    InkBatch,
    Piece,
    Reference,
    Stencil,
    Supply,
    Told,
)
from archgen.records.people import People
from archgen.records.vocabulary.batch_fields import read_batch_field
from archgen.records.vocabulary.batch_numbers import BatchIndex
from archgen.twins.model import Pair
from archgen.values.frozen import Value


class DoubleGroup(Value, frozen=True):
    """Pictures that look nearly the same.

    Attributes:
        paths: Relative to the archive folder, the fullest or sharpest first.
        pairs: Those found among them.
        sharpness: Of each path; empty when not measured. Larger is sharper.
        is_burst: Whether all are exposures of one moment; then the sharpest is first.
        again: Why the artist is asked again after a decision.
    """

    paths: tuple[str, ...]
    mirrored: bool
    pairs: tuple[Pair, ...] = ()
    sharpness: tuple[float, ...] = ()
    is_burst: bool = False
    again: tuple[str, ...] = ()


class Settled(Value, frozen=True):
    """A decision that holds: whether the pictures are the same, which is kept, and the pairs found among them."""

    decision: Decision
    same: bool
    kept: str | None
    pairs: tuple[Pair, ...] = ()


class Twins(Value, frozen=True):
    """What the comparison of all pictures gave.

    Attributes:
        pairs: All pairs, but for those decided to be different.
        doubles: The groups that are a question to the artist.
        settled: The decisions that hold, latest first.
        moments: Photos of one piece that show one moment, the one to show first.
        symmetric: Stencils that look the same mirrored.
        parts: Pictures of a piece that hold another one of it, the holding one first; only where a record raises the
            question, and not where the two were decided to be different.
    """

    pairs: tuple[Pair, ...] = ()
    doubles: tuple[DoubleGroup, ...] = ()
    settled: tuple[Settled, ...] = ()
    moments: tuple[tuple[str, ...], ...] = ()
    symmetric: frozenset[str] = frozenset()
    parts: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class PortfolioFolder:
    """The portfolio's folder as it lies there.

    Attributes:
        pieces: The ids of the pieces that are in it.
        gone: Pieces that were in it once, by id: the title, and the paths of pages and pictures that are no more.
    """

    pieces: frozenset[str]
    gone: Mapping[str, tuple[str, tuple[str, ...]]] = field(default_factory=dict)


@dataclass(frozen=True)
class Catalogue:
    """The whole archive as read.

    Attributes:
        pieces: All pieces, newest first, broken ones (record None) by their folder's name.
        facts: Picture facts by path relative to the archive folder; unreadable pictures are missing.
        findings: Everything found, sorted.
        built_on: The day of the build.
        texts: The public pages in Markdown by name: about, care, booking.
        decisions: What the artist decided about near-identical pictures.
        decision_lines: The lines of those decisions, as `same.0`.
        ink_lines: Where each batch stands in inks.toml.
        supplies: Soap, ointment, razors and the like of inks.toml.
        boxes: Boxes of needles of inks.toml.
        told: Which client was told of which recall.
        designs: Designs that wait to be tattooed, by the names of their folders.
        twins: Near-identical pictures as compared and decided.
        gauges: The gauge of each stencil by its path and printed width; only a build has them.
        overlays: Where two versions of a stencil lie over each other.
        laid: Photos laid on each other, and stencils on them; only a build has them.
        mark: What the file of the site's sign shows; None where there is none.
        portfolio: The portfolio's folder as this build left it; None where nothing was built.
    """

    config: Config
    pieces: tuple[Piece, ...]
    inks: Mapping[str, InkBatch]
    clients: Mapping[str, Client]
    facts: Mapping[str, ImageFacts]
    findings: tuple[Finding, ...]
    built_on: dt.date
    texts: Mapping[str, str] = field(default_factory=dict)
    decisions: DecisionRegister = field(default_factory=DecisionRegister)
    decision_lines: Mapping[str, int] = field(default_factory=dict)
    ink_lines: Mapping[str, int] = field(default_factory=dict)
    supplies: tuple[Supply, ...] = ()
    boxes: tuple[Box, ...] = ()
    told: tuple[Told, ...] = ()
    designs: tuple[Design, ...] = ()
    twins: Twins = field(default_factory=Twins)
    gauges: Mapping[tuple[str, float], GaugeFacts] = field(default_factory=dict)
    overlays: Mapping[PairJob, PairFacts] = field(default_factory=dict)
    laid: Mapping[LayJob, LaidFacts] = field(default_factory=dict)
    mark: ImageFacts | None = None
    portfolio: PortfolioFolder | None = None

    @cached_property
    def to_show(self) -> tuple[Piece, ...]:
        """Give everything whose pictures may be shown: the pieces, then the designs as the gate reads them."""
        return (*self.pieces, *(design.as_piece for design in self.designs))

    @cached_property
    def findings_by_piece(self) -> Mapping[str | None, tuple[Finding, ...]]:
        """Give the findings of each piece id; None for those of the archive itself."""
        sorted_out: dict[str | None, list[Finding]] = {}
        for finding in self.findings:
            sorted_out.setdefault(finding.piece, []).append(finding)
        return {piece: tuple(found) for piece, found in sorted_out.items()}

    @cached_property
    def pairs_by_path(self) -> Mapping[str, tuple[Pair, ...]]:
        """Give the pairs of each picture."""
        found: dict[str, list[Pair]] = {}
        for pair in self.twins.pairs:
            found.setdefault(pair.a, []).append(pair)
            found.setdefault(pair.b, []).append(pair)
        return {path: tuple(pairs) for path, pairs in found.items()}

    def equal_files(self, path: str) -> tuple[str, ...]:
        """Give the other pictures whose files are equal byte for byte."""
        facts = self.facts.get(path)
        return tuple(one for one in self._paths_by_digest[facts.digest] if one != path) if facts else ()

    @cached_property
    def _paths_by_digest(self) -> Mapping[str, tuple[str, ...]]:
        found: dict[str, list[str]] = {}
        for path in sorted(self.facts):
            found.setdefault(self.facts[path].digest, []).append(path)
        return {digest: tuple(paths) for digest, paths in found.items()}

    @cached_property
    def settled_by_path(self) -> Mapping[str, tuple[Settled, ...]]:
        """Give the decisions that hold about each picture, latest first."""
        found: dict[str, list[Settled]] = {}
        for settled in self.twins.settled:
            for path in dict.fromkeys(settled.decision.images):
                found.setdefault(path, []).append(settled)
        return {path: tuple(decisions) for path, decisions in found.items()}

    def is_decided_same(self, a: str, b: str) -> bool | None:
        """Say whether two pictures were decided to be the same; None when that is undecided. The latest counts."""
        common = (settled for settled in self.settled_by_path.get(a, ()) if b in settled.decision.images)
        return next((settled.same for settled in common), None)

    def reference_at(self, path: str) -> tuple[Piece, Reference] | None:
        """Give the record of a reference by its path relative to the archive folder, and the piece it stands in."""
        return self._references.get(path)

    @cached_property
    def _references(self) -> Mapping[str, tuple[Piece, Reference]]:
        return {
            f"{piece.folder}/{reference.file}": (piece, reference)
            for piece in self.pieces
            for reference in (piece.record.reference if piece.record else ())
            if reference.file
        }

    def piece(self, piece_id: str | None) -> Piece | None:
        """Give the piece of an id."""
        return self._by_id.get(piece_id or "")

    @cached_property
    def _by_id(self) -> Mapping[str, Piece]:
        return {piece.id: piece for piece in self.pieces}

    def piece_at(self, path: str) -> Piece | None:
        """Give the piece in whose folder a path relative to the archive folder lies."""
        return self._by_folder.get("/".join(path.split("/")[:2]))

    @cached_property
    def _by_folder(self) -> Mapping[str, Piece]:
        return {piece.folder: piece for piece in self.pieces}

    def findings_of(self, piece: Piece) -> tuple[Finding, ...]:
        """Give what was found about one piece."""
        return self.findings_by_piece.get(piece.id, ())

    def picture(self, piece: Piece, file: str) -> ImageFacts | None:
        """Give the facts of a file named in a record, relative to its piece folder; None when unreadable or missing."""
        return self.facts.get(f"{piece.folder}/{file}")

    def gauge(self, piece: Piece, stencil: Stencil) -> GaugeFacts | None:
        """Give the gauge of a stencil version; None without a width or a readable file."""
        return self.gauges.get((f"{piece.folder}/{stencil.file}", float(stencil.width))) if stencil.width else None

    def with_gauges(
        self, gauges: Mapping[tuple[str, float], GaugeFacts], overlays: Mapping[PairJob, PairFacts]
    ) -> "Catalogue":
        """Give the same catalogue with what was measured on stencils."""
        return replace(self, gauges=gauges, overlays=overlays)

    def is_in_portfolio(self, piece_id: str) -> bool | None:
        """Say whether a piece lies in the portfolio's folder; None where nothing was built."""
        return piece_id in self.portfolio.pieces if self.portfolio else None

    def of_its_piece(self, finding: Finding) -> Finding:
        """Give a finding about a file with the piece the file belongs to."""
        piece = self.piece_at(finding.place.file)
        return replace(finding, piece=piece.id) if piece else finding

    def has_errors(self, piece: Piece) -> bool:
        """Say whether an ERROR finding stands against the piece."""
        return any(finding.severity is Severity.ERROR for finding in self.findings_of(piece))

    @cached_property
    def people(self) -> People:
        """Give who is who among the clients, however their codes are written."""
        return People(self.clients, {p.record.client for p in self.pieces if p.record and p.record.client})

    def client(self, written: str | None) -> Client | None:
        """Give what the register says of a client, however the code is written."""
        return self.clients.get(self.people.code_of(written)) if written else None

    def bottles(self, written: str | None) -> tuple[InkBatch, ...]:
        """Give the bottles of the register with the numbers of a field, however written; exactly written ones first."""
        if not written:
            return ()
        if exact := self.inks.get(written):
            return (exact,)
        numbers = read_batch_field(written).numbers
        found = dict.fromkeys(same for number in numbers for same in self._bottle_index.same(number))
        return tuple(self.inks[same] for same in sorted(found, key=lambda same: same not in numbers))

    def bottle(self, written: str | None) -> InkBatch | None:
        """Give the one bottle that is most to be known of: one under recall before others."""
        return min(self.bottles(written), key=lambda bottle: bottle.recalled is None, default=None)

    def described(self, ink: Ink) -> Ink:
        """Fill in from the register what the record leaves out of an ink."""
        bottle = self.bottle(ink.batch)
        if bottle is None:
            return ink
        return msgspec.structs.replace(
            ink, name=ink.name or bottle.name, maker=ink.maker or bottle.maker, expiry=ink.expiry or bottle.expiry
        )

    @cached_property
    def _bottle_index(self) -> BatchIndex:
        return BatchIndex(self.inks)
