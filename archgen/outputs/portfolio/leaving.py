"""Let pieces leave the portfolio though a build cannot begin or is stopped, and say which have left."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from archgen.catalogue import Catalogue
from archgen.config import Config, read_config
from archgen.errors import ArchgenError
from archgen.languages.house import say
from archgen.outputs.folders import OutputFolders
from archgen.outputs.portfolio.publishing import PortfolioPublisher
from archgen.outputs.portfolio.reach import decisions_about
from archgen.outputs.portfolio.standing import StandingPortfolio
from archgen.outputs.portfolio.theme import PortfolioTheme, portfolio_theme, theme_like
from archgen.progress import Silent
from archgen.publication.withdrawals import write_gone
from archgen.records.layout import is_archive
from archgen.storage.build_folder import MARKER
from archgen.storage.cache import Cache
from archgen.storage.interrupts import finishing_first
from archgen.storage.plain_files import put_plain
from archgen.storage.staging import output_folder
from archgen.toml.problem import as_text

# What ever left the portfolio of a build folder; unlike all else there it depends on the builds before.
REMOVALS = "removals.txt"


def write_what_left(portfolio: PortfolioPublisher, url: str | None) -> None:
    """Write down what was ever in the portfolio of a build folder and is no more."""
    put_plain(portfolio.folders.out / REMOVALS, write_gone(portfolio.standing.state, url).encode())


@contextmanager
def telling_what_left(portfolio: PortfolioPublisher) -> Iterator[None]:
    """Add to whatever stops a build which pieces were taken out of the portfolio all the same, and write it down."""
    try:
        yield
    except BaseException as error:
        portfolio.standing.recall()
        if not portfolio.taken_out:
            raise
        with suppress(OSError):
            write_what_left(portfolio, portfolio.standing.kept.settings.url)
        if not isinstance(error, ArchgenError):
            raise
        left = ", ".join(as_text(title) for title in portfolio.taken_out)
        raise type(error)(
            f"{error} {say('Taken out of the portfolio all the same: {titles}.', titles=left)}"
        ) from error


def usable_theme(root: Path, out: Path, workers: int, read: Callable[[Config], Catalogue]) -> PortfolioTheme:
    """Give the looks of the portfolio; where settings or looks cannot be used, take out what has to leave all the same.

    Args:
        root: The archive folder.
        out: The build folder.
        workers: Threads.
        read: Reads the records under settings.

    Raises:
        ArchgenError: Settings or looks cannot be used.
    """
    # Settings that cannot be read were those of the last build, as far as anybody knows.
    config = Config(root, portfolio=StandingPortfolio(out).kept.settings)
    try:
        config = read_config(root)
        return portfolio_theme(config)
    except ArchgenError:
        is_there = (out / MARKER).is_file() and StandingPortfolio(out).folder.is_dir()
        if is_there and is_archive(root):
            with output_folder(out, root), finishing_first():
                standing = StandingPortfolio(out)
                folders = OutputFolders(out, Cache(out / "cache"), workers, Silent())
                portfolio = PortfolioPublisher(standing, folders, theme_like(standing.kept.theme, root))
                with telling_what_left(portfolio):
                    records = read(config)
                    portfolio.take_out(records, decisions_about(records, standing))
                    raise
        raise
