"""What becomes of the folders of other packages when the portfolio loses a piece and they cannot be renewed."""

from pathlib import Path

import pytest

from archgen.outputs.portfolio.publishing import PortfolioPublisher
from archgen.outputs.portfolio.standing import StandingPortfolio
from archgen.outputs.portfolio.theme import portfolio_theme
from archgen.publication.decision import decide_all
from archgen.publication.public_catalogue import publish
from tests.builders import paper_catalogue


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
