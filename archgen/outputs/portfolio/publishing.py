"""Renew the portfolio, or keep the old one without what may no longer be shown; never let it shrink for a lost disk."""

import os
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from archgen.catalogue import Catalogue
from archgen.findings import Finding, Place, Severity
from archgen.languages.house import say, say_count
from archgen.outputs.artifact import Output
from archgen.outputs.folders import OutputFolders, has_leaks
from archgen.outputs.portfolio.standing import KeptPiece, StandingPortfolio
from archgen.outputs.portfolio.theme import PortfolioTheme
from archgen.publication.decision import Obstacle, Publication
from archgen.publication.public_catalogue import Published, slug
from archgen.records.model import Piece
from archgen.records.registers import CLIENTS
from archgen.storage.build_folder import PUBLISHED
from archgen.toml.problem import as_text, listed

# More titles than this are counted in a message.
_MOST_NAMED = 5


@dataclass
class PortfolioPublisher:
    """The portfolio of one build.

    Attributes:
        taken_out: The titles of pieces that had to leave the pages that stood there.
        missing: What stands in the portfolio and would be lost with nothing to explain it; then the old one stays.
    """

    standing: StandingPortfolio
    folders: OutputFolders
    theme: PortfolioTheme
    taken_out: list[str] = field(default_factory=list)
    missing: tuple[str, ...] = ()

    def take_out(self, catalogue: Catalogue, decisions: Mapping[str, Publication]) -> None:
        """Take what may no longer be shown out of the pages that stand, whatever else comes of this build."""
        titles, photos = self._forbidden(catalogue, decisions)
        if self.standing.holds(titles, photos):
            self.folders.before_change()
            there = self.standing.there
            self.taken_out += [title for piece, title in titles.items() if piece in there]
            is_reduced = False
            try:
                is_reduced = self._reduced(catalogue, titles, photos)
            finally:
                if not is_reduced:
                    self.standing.delete(titles, photos)
                    self.folders.note(self.standing.folder.name)

    def renew(self, outputs: Iterable[Output], published: Published, catalogue: Catalogue, *, may_shrink: bool) -> None:
        """Put the public folders into place; what cannot be renewed stays, without what may no longer be shown."""
        self.missing = () if may_shrink else tuple(self._missing(published, catalogue))
        if self.missing:
            self.folders.findings.append(_missing_finding(self.missing))
        is_blind = _no_client_is_known(catalogue)
        if is_blind:
            self.folders.findings.append(_clients_finding())
        for output in outputs:
            is_portfolio = output.folder == self.standing.folder.name
            is_there = False
            try:
                if is_blind:
                    self.folders.withheld.append(output.folder)
                elif not self.missing:
                    remember = self._remember(published, catalogue) if is_portfolio else None
                    is_there = self.folders.publish(output, catalogue, published.decisions, remember)
            finally:
                if not is_there and is_portfolio:
                    self.take_out(catalogue, published.decisions)
                elif not is_there and self.taken_out:
                    # What is in the folder of another package nobody here knows.
                    self.folders.remove(output.folder)

    def _remember(self, published: Published, catalogue: Catalogue) -> Callable[[], None]:
        def remember() -> None:
            self.folders.beside[PUBLISHED] = self.standing.remember(published, catalogue.texts, self.theme)

        return remember

    def _reduced(self, catalogue: Catalogue, titles: Mapping[str, str], photos: set[str]) -> bool:
        """Write the old pages again without these; say whether that could be done."""
        left = self.standing.without(titles, photos)
        if left is None:
            return False
        try:
            folder = self.folders.write(self.standing.site(left, self.theme))
            # Other looks were never searched for anything private.
            if not self.standing.is_of(self.theme) and has_leaks(folder, catalogue):
                return False
            self.folders.swap_now(folder, {PUBLISHED: self.standing.keeping(left)})
            self.standing.recall()
        except Exception:  # whatever it was, they must leave
            return False
        return True

    def _forbidden(self, catalogue: Catalogue, decisions: Mapping[str, Publication]) -> tuple[dict[str, str], set[str]]:
        """Give what may not be shown: pieces by the id they stand there under, with their titles; paths of photos."""
        decided = [(piece, decisions[piece.id]) for piece in catalogue.to_show if piece.id in decisions]
        forbidden = [piece for piece, decision in decided if decision.is_forbidden]
        titles = {piece.id: piece.title for piece in forbidden} | self._under_other_names(forbidden, catalogue)
        photos = {
            f"{piece.folder}/{file}" for piece, decision in decided for file in _files(decision, Obstacle.FORBIDDEN)
        }
        return titles, photos

    def _under_other_names(self, forbidden: Iterable[Piece], catalogue: Catalogue) -> dict[str, str]:
        """Find forbidden pieces that stand there under the old name of their folder: by their title, or a photo."""
        ids, kept = {piece.id for piece in catalogue.pieces}, {one.id for one in self.standing.kept.pieces}
        lost = [one for one in self.standing.kept.pieces if one.id not in ids]
        found = {}
        for piece in (piece for piece in forbidden if lost and piece.id not in kept):
            address = re.compile(rf"{re.escape(slug(piece.title) or 'piece')}(-\d+)?")
            digests = {facts.digest for path in piece.photos if (facts := catalogue.facts.get(path))}
            for one in lost:
                if address.fullmatch(one.piece.slug) or not digests.isdisjoint(one.origin.digests):
                    found[one.id] = one.piece.title
        return found

    def _missing(self, published: Published, catalogue: Catalogue) -> Iterator[str]:
        """Name what stands in the portfolio and would leave it though nothing says that it may not be shown."""
        new, slugs = {one.id for one in published.origins}, {piece.slug for piece in published.catalogue.pieces}
        forbidden, _ = self._forbidden(catalogue, published.decisions)
        there = self.standing.state.pieces.difference(forbidden)
        for one in self.standing.kept.pieces:
            if one.id not in there:
                continue
            decision = published.decisions.get(one.id)
            was_renamed = decision is None and one.piece.slug in slugs
            if one.id not in new and not was_renamed:
                yield one.piece.title
            elif decision and (lost := _lost_photos(one, decision)):
                yield say_count("{title} ({number} photo)", "{title} ({number} photos)", lost, title=one.piece.title)
        named = {design.drawn.slug for design in published.catalogue.designs}
        for design in self.standing.kept.designs:
            if design.id in forbidden or design.id in published.designs:
                continue
            if design.id in published.decisions or design.design.drawn.slug not in named:
                yield say("{title} (design)", title=design.design.drawn.title)


def _files(publication: Publication, obstacle: Obstacle) -> Iterable[str]:
    return (left.file for left in publication.left_out if left.obstacle is obstacle)


def _lost_photos(one: KeptPiece, publication: Publication) -> int:
    # The folder may have another name than the id: a photo's path says which.
    folders = {"/".join(photo.split("/")[:2]) for photo in one.origin.photos}
    unreadable = {f"{folder}/{file}" for folder in folders for file in _files(publication, Obstacle.UNREADABLE)}
    return len(unreadable.intersection(one.origin.photos))


def _no_client_is_known(catalogue: Catalogue) -> bool:
    """Say whether nobody can be read in the clients' register though there should be somebody."""
    if catalogue.clients or not os.path.lexists(catalogue.config.root / CLIENTS):
        return False
    is_broken = any(one.place.file == CLIENTS and one.severity is not Severity.NOTE for one in catalogue.findings)
    return is_broken or any(piece.record and piece.record.client for piece in catalogue.pieces)


def _clients_finding() -> Finding:
    return Finding(
        "portfolio.clients",
        Severity.ERROR,
        None,
        Place(CLIENTS),
        say("The portfolio wasn't renewed: no client can be read in clients.toml, so no name can be looked for in it."),
        say("Correct clients.toml, then build again. Where nobody is to stand in it, take the file away."),
    )


def _missing_finding(missing: tuple[str, ...]) -> Finding:
    more = ", …" if len(missing) > _MOST_NAMED else ""
    named = listed(as_text(title) for title in missing[:_MOST_NAMED]) + more
    return Finding(
        "portfolio.missing",
        Severity.ERROR,
        None,
        Place("pieces"),
        say_count(
            "The portfolio wasn't renewed: {number} piece of it can't be found or read any more ({named}).",
            "The portfolio wasn't renewed: {number} pieces of it can't be found or read any more ({named}).",
            len(missing),
            named=named,
        ),
        say(
            "Check that the disk with your archive is connected, then build again. If they are meant to go: "
            "archgen build --fewer."
        ),
    )
