"""Say to which filed pieces new photos may belong, from the day, the client, what is due, and the lines themselves.

A proposal is never a decision: nothing goes to a filed piece before somebody says yes.
"""

import datetime as dt
import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from archgen.catalogue import Catalogue
from archgen.intake.comparing.filed_lines import LEAST_MARKS, LinesFound
from archgen.intake.comparing.likeness import FiledTwin
from archgen.intake.plan import PieceProposal, What
from archgen.languages.house import say
from archgen.laying.lay import LaidLines
from archgen.pieces.followup import DueKind, follow_up
from archgen.records.model import Client, Piece
from archgen.units import date_words, days_between

MOST = 5
# Marks that must agree before lines are said to lie on each other, alone or with lines under them. By pixels alone, in
# a drawn archive of 300 pieces, the right piece came first for 82 % of 61 later photos, among three for 89 %; for 4 of
# them another one came first by its lines (tests/bench/bench_intake.py). So it is an offer, and never more.
SURE_MARKS, SOME_GAIN = 18, 0.12
# How much each thing counts for the order of several proposals.
_LINES, _CLIENT, _DUE, _DAY = 1.0, 0.5, 0.25, 0.35
# A photo within so many days after the work is one of the fresh tattoo.
_FRESH_DAYS = 3


@dataclass(slots=True)
class _Evidence:
    score: float = 0.0
    reasons: list[str] = field(default_factory=list)
    beside: str | None = None
    turned: float | None = None
    by_lines: bool = False

    def add(self, score: float, reason: str) -> None:
        self.score += score
        self.reasons.append(reason)


@dataclass(frozen=True, slots=True)
class NewPhotos:
    """What is known of new photos that belong together: their day, whose they are, what they look like."""

    day: dt.date | None
    client: str | None
    lines: Sequence[LinesFound] = ()
    twins: Sequence[FiledTwin] = ()


def propose_pieces(new: NewPhotos, catalogue: Catalogue) -> tuple[PieceProposal, ...]:
    """Give the filed pieces the photos may belong to, the likeliest first."""
    found: dict[str, _Evidence] = {}
    by_id = {piece.id: piece for piece in catalogue.pieces}
    for twin in new.twins:
        piece = catalogue.piece_at(twin.path)
        if piece is not None and not found.get(piece.id):
            evidence = found[piece.id] = _Evidence(beside=twin.path, by_lines=True)
            evidence.add(_LINES + twin.score, say("Another frame of a photo that is filed there."))
    for one in new.lines:
        if lie_on_each_other(one.laid):
            _add_lines(found.setdefault(one.filed.piece, _Evidence()), one)
    for piece in catalogue.pieces:
        _add_records(piece, new, catalogue, found)
    proposals = (_proposal(by_id[piece], evidence, new, catalogue) for piece, evidence in found.items())
    return tuple(sorted(proposals, key=lambda one: (-one.score, -(one.day or 0), one.piece))[:MOST])


def lie_on_each_other(laid: LaidLines) -> bool:
    """Say whether lines lie on each other so well that it may be said."""
    return laid.agreeing >= SURE_MARKS or (laid.agreeing >= LEAST_MARKS and laid.score.gain >= SOME_GAIN)


def _add_lines(evidence: _Evidence, one: LinesFound) -> None:
    turned = round(one.laid.pose.turned)
    words = say("The lines lie on each other.")
    if abs(turned) >= 2:
        words = say("The lines lie on each other after a turn of {degrees}°.", degrees=abs(turned))
    evidence.add(_LINES * min(1.0, math.log10(one.laid.agreeing) / 2), words)
    evidence.beside, evidence.turned, evidence.by_lines = one.filed.path, float(turned), True


def _add_records(piece: Piece, new: NewPhotos, catalogue: Catalogue, found: dict[str, _Evidence]) -> None:
    record = piece.record
    if record is None:
        return
    is_clients = new.client is not None and record.client == new.client
    if not is_clients and piece.id not in found:
        return  # a day alone says nothing: several people come on one
    evidence = found.setdefault(piece.id, _Evidence())
    if is_clients:
        evidence.add(_CLIENT, say("It is of the same client, {client}.", client=record.client))
    if new.day is None:
        return
    due = {one.kind for one in follow_up(piece, catalogue.config, new.day).due if one.is_now}
    if DueKind.HEALED_PHOTO in due:
        evidence.add(_DUE, say("A healed photo of it is due."))
    elif DueKind.TOUCH_UP in due:
        evidence.add(_DUE, say("A touch-up of it is wanted."))
    if any(sitting.date == new.day for sitting in record.sitting):
        evidence.add(_DAY, say("It was worked on that day, {day}.", day=date_words(new.day)))


def _proposal(piece: Piece, evidence: _Evidence, new: NewPhotos, catalogue: Catalogue) -> PieceProposal:
    finished = piece.record.finished_on if piece.record else None
    day = days_between(finished, new.day)
    if day is not None:
        evidence.reasons.append(say("Day {day} after the sitting.", day=day) if day else say("The day of the sitting."))
    return PieceProposal(
        piece=piece.id,
        title=piece.record.title if piece.record else piece.id,
        what=stage_at(finished, new.day, catalogue.config.limits.healed_after_days),
        score=round(evidence.score, 4),
        day=day,
        reasons=tuple(evidence.reasons),
        beside=evidence.beside,
        turned=evidence.turned,
        by_lines=evidence.by_lines,
        against=_other_client(piece, new),
    )


def _other_client(piece: Piece, new: NewPhotos) -> tuple[str, ...]:
    """Say that a piece is somebody else's: the same motif on another client is a new piece."""
    theirs = piece.record.client if piece.record else None
    return (say("another client, {theirs}", theirs=theirs),) if theirs and new.client and theirs != new.client else ()


def stage_at(finished: dt.date | None, day: dt.date | None, healed_after: int) -> What:
    """Say what a photo of a piece is by its day."""
    if finished is None or day is None:
        return What.HEALED
    if day < finished:
        return What.IN_PROGRESS
    return What.FRESH if (day - finished).days <= max(_FRESH_DAYS, healed_after // 4) else What.HEALED


def clients_named(names: Iterable[str], clients: Mapping[str, Client]) -> str | None:
    """Give the one client whose code or name stands in the names of files or folders; None for none or several."""
    text = " ".join(name.replace("_", " ").casefold() for name in names)
    found = [code for code, client in clients.items() if any(_stands_in(word, text) for word in (code, client.name))]
    return found[0] if len(found) == 1 else None


def _stands_in(word: str | None, text: str) -> bool:
    """Say whether a word or several stand in a text by themselves, whatever their capitals."""
    plain = " ".join((word or "").replace("_", " ").casefold().split())
    return len(plain) >= _SHORTEST and re.search(rf"(?<!\w){re.escape(plain)}(?!\w)", text) is not None


# A shorter name stands in too many others.
_SHORTEST = 3
