"""One reading of the archive with everything its pages are made from; pages are made when they are asked for."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache, cached_property

from archgen.languages.house import house
from archgen.outputs.archive.body import Figure
from archgen.outputs.archive.context import Context
from archgen.outputs.archive.list_scripts import by_name
from archgen.outputs.archive.site import Lists, PagePlan, make_lists, page_plans
from archgen.outputs.artifact import Artifact
from archgen.outputs.known_keys import KnownKeys
from archgen.pieces.survey import SurveyedCatalogue
from archgen.render.html import PROGRAM_THEMES, Theme

# Where the desk serves the files of the archive folder, from the desk's own first folder.
ORIGINALS = "originals"
DESK_THEME = Theme(PROGRAM_THEMES / "desk", shared=(PROGRAM_THEMES / "archive",), name="desk")


@cache
def _desk_theme(tag: str) -> Theme:
    return DESK_THEME.in_language(tag)


def desk_theme() -> Theme:
    """Give the theme with templates in the language of the house."""
    return _desk_theme(house().tag)


@dataclass(frozen=True)
class ShownArchive:
    """The archive as it was read last.

    Attributes:
        keys: What was made of earlier readings.
    """

    catalogue: SurveyedCatalogue
    keys: KnownKeys = field(default_factory=KnownKeys)

    @cached_property
    def context(self) -> Context:
        """Give what the views look things up in."""
        return Context(self.catalogue, ORIGINALS)

    @cached_property
    def figure(self) -> Figure:
        """Give the body figure."""
        return Figure(DESK_THEME.files["figure.svg"])

    @cached_property
    def lists(self) -> Lists:
        """Give the long lists."""
        return make_lists(desk_theme(), self.context, self.figure, self.keys)

    @cached_property
    def list_scripts(self) -> Mapping[str, Artifact]:
        """Give the scripts of the lists by the part of their names that stays."""
        return by_name(self.lists.scripts)

    @cached_property
    def plans(self) -> Mapping[str, PagePlan]:
        """Give the pages of the archive by their path."""
        return page_plans(self.context, self.lists, self.figure)
