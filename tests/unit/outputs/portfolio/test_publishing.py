"""What becomes of the folders of other packages when the portfolio loses a piece and they cannot be renewed."""

from dataclasses import fields, replace
from pathlib import Path

import pytest

from archgen.outputs.portfolio.publishing import PortfolioPublisher
from archgen.outputs.portfolio.standing import StandingPortfolio
from archgen.outputs.portfolio.theme import portfolio_theme
from archgen.publication.decision import decide_all
from archgen.publication.public_catalogue import PublicClaim, publish
from archgen.storage.build_folder import PUBLISHED
from tests.builders import make_design, paper_catalogue, paper_facts


class Cards:
    folder = "cards"


class Folders:
    """Renews nothing, or all, and notes what it is told to take away."""

    def __init__(self, renews):
        self.renews, self.removed, self.findings = renews, [], []

    def publish(self, *_):
        if self.renews is None:
            raise ValueError("it fails")
        return self.renews

    def remove(self, name):
        self.removed.append(name)


@pytest.mark.parametrize(
    ("left", "renews", "removed"),
    [(["Owl"], False, ["cards"]), (["Owl"], None, ["cards"]), (["Owl"], True, []), ([], False, []), ([], None, [])],
)
def test_a_folder_that_may_still_hold_a_piece_that_left_is_taken_away(tmp_path: Path, left, renews, removed):
    catalogue, folders = paper_catalogue(tmp_path), Folders(renews)
    publisher = PortfolioPublisher(StandingPortfolio(tmp_path), folders, portfolio_theme(catalogue.config), left)
    published = publish(catalogue, decide_all(catalogue))
    try:
        publisher.renew([Cards()], published, catalogue, may_shrink=False)
    except ValueError:
        assert renews is None
    assert folders.removed == removed


def test_the_pages_that_stand_can_be_written_again_from_all_that_was_public(tmp_path: Path):
    catalogue = paper_catalogue(tmp_path, designs=(make_design(),))
    facts = {one.path: one for one in (paper_facts(path) for path in make_design().bare.photos)}
    catalogue = replace(catalogue, facts={**catalogue.facts, **facts}, mark=paper_facts("mark.png"))
    published = publish(catalogue, decide_all(catalogue))
    public = replace(published.catalogue, claims=(PublicClaim("vegan", "yes"),))
    standing = StandingPortfolio(tmp_path)
    standing.remember(replace(published, catalogue=public), {}, portfolio_theme(catalogue.config))
    again = standing.site(standing.kept, portfolio_theme(catalogue.config)).cleared
    assert public.designs
    assert {one.name for one in fields(public) if getattr(again, one.name) != getattr(public, one.name)} <= {"settings"}


def portfolio_of(tmp_path: Path, *designs):
    catalogue = paper_catalogue(tmp_path, designs=designs)
    pictures = [path for one in designs for path in one.bare.photos]
    catalogue = replace(catalogue, facts={**catalogue.facts, **{path: paper_facts(path) for path in pictures}})
    return catalogue, publish(catalogue, decide_all(catalogue))


@pytest.mark.parametrize("seal_begins", [b"{", b"[", b"x"])
def test_what_was_published_is_known_again_whatever_its_seal_begins_with(tmp_path: Path, seal_begins):
    """One in 256 seals begins as what was kept before there were any."""
    catalogue = paper_catalogue(tmp_path)
    published, theme = publish(catalogue, decide_all(catalogue)), portfolio_theme(catalogue.config)
    texts = ({"number": str(number)} for number in range(10_000))
    written = (StandingPortfolio(tmp_path).remember(published, text, theme) for text in texts)
    (tmp_path / PUBLISHED).write_bytes(next(one for one in written if one.startswith(seal_begins)))
    assert StandingPortfolio(tmp_path).kept.once.keys() == {one.id for one in published.origins} != set()


def test_what_was_published_is_known_again_where_it_was_kept_without_a_seal(tmp_path: Path):
    catalogue = paper_catalogue(tmp_path)
    published, theme = publish(catalogue, decide_all(catalogue)), portfolio_theme(catalogue.config)
    written = StandingPortfolio(tmp_path).remember(published, {}, theme)
    (tmp_path / PUBLISHED).write_bytes(written[32:])
    assert StandingPortfolio(tmp_path).kept.once.keys() == {one.id for one in published.origins}
    (tmp_path / PUBLISHED).write_bytes(written[:-1])
    assert StandingPortfolio(tmp_path).kept.once == {}


@pytest.mark.parametrize(
    ("left", "may_shrink", "missing"),
    [
        ((), False, ("Two ferns (design)",)),
        ((), True, ()),
        ((make_design("ferns-again"),), False, ()),
        ((make_design(publish=False),), False, ()),
    ],
    ids=["away", "meant to go", "renamed", "kept in"],
)
def test_a_design_that_cannot_be_found_any_more_keeps_the_portfolio_as_it_is(tmp_path, left, may_shrink, missing):
    catalogue, published = portfolio_of(tmp_path, make_design())
    theme, standing, folders = portfolio_theme(catalogue.config), StandingPortfolio(tmp_path), Folders(True)
    standing.remember(published, {}, theme)
    publisher = PortfolioPublisher(standing, folders, theme)
    catalogue, published = portfolio_of(tmp_path, *left)
    publisher.renew([], published, catalogue, may_shrink=may_shrink)
    assert publisher.missing == missing
    assert ["Two ferns (design)" in finding.problem for finding in folders.findings] == [True] * len(missing)
