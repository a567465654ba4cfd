"""One thing that would go: a file, or lines in one."""

from archgen.languages.house import say
from archgen.values.frozen import Value
from archgen.writing.record_text import Edit


class Going(Value, frozen=True):
    """A file that would go, or lines in one.

    Attributes:
        lines: Where they stand; empty for the whole file.
        is_file: Whether the file itself goes.
        edits: What changes in records and registers, by the file.
        sentences: What goes out of a text that is no record.
        care: Why to think twice before saying yes; empty for no reason.
        shown: The words that go.
    """

    path: str
    what: str
    lines: tuple[int, ...] = ()
    is_file: bool = False
    edits: tuple[tuple[str, Edit], ...] = ()
    sentences: tuple[str, ...] = ()
    care: str = ""
    shown: str = ""

    @property
    def where(self) -> str:
        """Say where it stands."""
        return say("{file}, line {line}", file=self.path, line=self.lines[0]) if self.lines else self.path
