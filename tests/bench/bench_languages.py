"""Time the processor on the pages of a portfolio in one, two and six languages, without their pictures.

python -m tests.bench.bench_languages [PIECES]
"""

import dataclasses
import sys
import tempfile
import time
from pathlib import Path

from archgen.config import Config
from archgen.languages.language import spoken
from archgen.outputs.portfolio.site import PortfolioSite
from archgen.outputs.portfolio.theme import portfolio_theme
from archgen.outputs.public_pictures import PublicPictures
from archgen.publication.public_catalogue import language_folder, make_public_catalogue
from archgen.records import model
from tests.builders import make_catalogue, make_piece
from tests.portfolio_pages import TEXTS

STORY = "Drawn after a moth that sat on the lamp all evening.\n\nSingle passes, no shading at all.\n"


def public(pieces, languages):
    """One piece many times over, every second with a story in each language."""
    with tempfile.TemporaryDirectory() as folder:
        stories = tuple(model.OtherStory(language=tag, story=f"# {tag} owl\n\n{STORY}") for tag in languages[1:])
        found = make_public_catalogue(make_catalogue(Path(folder), make_piece(story=STORY)))
    settings = dataclasses.replace(found.settings, languages=languages)
    folders = tuple(map(language_folder, languages[1:]))
    many = tuple(
        dataclasses.replace(
            found.pieces[0], slug=f"owl-{n}", title=f"Owl {n}", folders=folders, stories=stories if n % 2 else ()
        )
        for n in range(pieces)
    )
    return dataclasses.replace(found, settings=settings, pieces=many)


def pages_of(cleared):
    """Plan everything and make all but pictures and paper, as a first build does; give how many files and seconds."""
    theme = portfolio_theme(Config(Path("nowhere")))
    started = time.process_time()
    site = PortfolioSite(cleared, PublicPictures(cleared, Path("nowhere")), TEXTS, theme)
    made = [artifact.make() for artifact in site.artifacts() if artifact.path.endswith((".html", ".xml"))]
    return len(made), time.process_time() - started


def main():
    pieces = int(sys.argv[1]) if len(sys.argv) > 1 else 300
    for languages in (("en",), ("en", "de"), ("en", *spoken())):
        cleared = public(pieces, languages)
        runs = [pages_of(cleared) for _ in range(3)]
        count, seconds = min(runs)
        each = seconds / count * 1000
        print(f"{len(languages)} languages, {pieces} pieces: {count} pages, {seconds:.2f} s, {each:.2f} ms a page")


if __name__ == "__main__":
    main()
