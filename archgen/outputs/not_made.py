"""What becomes of a file of an output that could not be made: a finding, and a page that says so in its place."""

import errno
from collections.abc import Mapping
from dataclasses import replace

from archgen.errors import ArchgenError
from archgen.findings import Finding, Place, Severity
from archgen.languages.house import house, say
from archgen.outputs.artifact import Artifact
from archgen.outputs.reprints.stencil_reprint import print_path
from archgen.pieces.survey import SurveyedCatalogue

# What is wrong with the disk is no fault of one file.
_OF_THE_DISK = {errno.ENOSPC, errno.EDQUOT, errno.EROFS, errno.EMFILE, errno.ENFILE}
_PAGE = """<!doctype html>
<html lang="{language}"><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<title>{title}</title>
<p>{words}</p>
<p><a href="{root}index.html">{link}</a></p></html>
"""


class NotMadeError(Exception):
    """A file that could not be made, in a folder that must not lack one."""

    def __init__(self, finding: Finding) -> None:
        super().__init__(finding.problem)
        self.finding = finding


def not_made(folder: str, artifact: Artifact, error: Exception) -> Finding:
    """Tell of a file that could not be made.

    Raises:
        OSError: The disk is at fault, so no other file could be made either.
    """
    if isinstance(error, OSError) and error.errno in _OF_THE_DISK:
        raise error
    path = f"{folder}/{artifact.path}"
    if isinstance(error, ArchgenError):
        problem, _, remedy = str(error).partition(". ")
        problem = say("{path} was not made: {why}.", path=path, why=problem.rstrip("."))
    else:
        problem = say(
            "{path} was not made ({kind}: {error}).",
            path=path,
            kind=type(error).__name__,
            error=" ".join(str(error).split())[:200],
        )
        remedy = say("Everything else was. This is a mistake in archgen: please report it with this line.")
    place = Place(artifact.made_of or path)
    return Finding("output.not-made", Severity.ERROR, artifact.piece, place, problem, remedy)


def in_its_place(artifact: Artifact) -> bytes | None:
    """Give a page that says so, where others lead to it; None where nothing shall lie."""
    if not artifact.path.endswith(".html"):
        return None
    return _PAGE.format(
        root="../" * artifact.path.count("/"),
        language=house().tag,
        title=say("This page could not be made"),
        words=say("This page could not be made. The last lines of the build say why; everything else was made."),
        link=say("To the first page"),
    ).encode()


def telling(catalogue: SurveyedCatalogue, missing: Mapping[str, Finding]) -> SurveyedCatalogue:
    """Give the catalogue that knows which files of the build folder are missing, so that no page leads to them."""
    overviews = {
        key: replace(
            overview,
            prints=tuple(
                replace(ready, name="", problem=missing[path].problem)
                if ready.name and (path := print_path(ready)) in missing
                else ready
                for ready in overview.prints
            ),
        )
        for key, overview in catalogue.overviews.items()
    }
    return replace(catalogue, overviews=overviews, not_made=frozenset(missing))
