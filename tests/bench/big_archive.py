"""Build an archive of many pieces so that what is done again with nothing or one thing changed can be timed.

    python -m tests.bench.big_archive FOLDER PIECES

Draws FOLDER/content and builds FOLDER/build. The first build of 6,000 pieces takes most of an hour; here one sheet, one
print, one gauge and one laying stand in for all in the cache, one picture in twenty can be compared with others, and
the portfolio goes without its search for leaks. Pieces changed afterwards get their own, by the ordinary way.
"""

import functools
import itertools
import sys
from pathlib import Path
from unittest import mock

from archgen import build as building
from archgen.leaks.find import FolderSearch
from archgen.outputs import folders
from archgen.outputs.reprints import stencil_reprint
from archgen.outputs.sheets.case_sheet import Press
from archgen.picture_facts import copies, gauge_stage, laid_stage
from archgen.progress import Silent
from tests.bench.many_pieces import write_archive

DESCRIBED = 20


def once(function):
    """Call a function the first time only, and give that answer ever after."""
    answers = []

    @functools.wraps(function)
    def stand_in(*given, **named):
        if not answers:
            answers.append(function(*given, **named))
        return answers[0]

    return stand_in


def some_described(function):
    numbers = itertools.count()
    return lambda sizes, wanted: None if next(numbers) % DESCRIBED else function(sizes, wanted)


def build_with_stand_ins(root: Path, out: Path) -> None:
    with (
        mock.patch.object(Press, "make", once(Press.make)),
        mock.patch.object(stencil_reprint, "write", once(stencil_reprint.write)),
        mock.patch.object(stencil_reprint, "make_plan", once(stencil_reprint.make_plan)),
        mock.patch.object(gauge_stage, "_look", once(gauge_stage._look)),
        mock.patch.object(laid_stage, "_look", once(laid_stage._look)),
        mock.patch.object(copies, "_describe", some_described(copies._describe)),
        mock.patch.object(folders, "search_made", return_value=FolderSearch(0, 0, 0, 0, ())),
    ):
        building.build(root, out, building.Options(2), Silent())


if __name__ == "__main__":
    folder, pieces = Path(sys.argv[1]), int(sys.argv[2])
    if not (folder / "content").is_dir():
        write_archive(folder / "content", pieces)
    build_with_stand_ins(folder / "content", folder / "build")
