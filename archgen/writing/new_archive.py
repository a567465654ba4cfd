"""Make a new archive folder: settings with remarks, a folder for the pieces; nothing that is there is touched."""

import re
from dataclasses import dataclass
from pathlib import Path

import tomlkit

from archgen.config import FILE
from archgen.errors import OutputError
from archgen.storage.files import write_atomically

PIECES = "pieces"


@dataclass(frozen=True, slots=True)
class StudioAnswers:
    """What the artist said about the studio; None: left open, which writes the line as a remark.

    Attributes:
        method: ink-jet or thermal.
        units: mm or in, for display.
        currency: The three letters prices are given in.
    """

    title: str
    artist: str | None = None
    paper: str | None = None
    method: str | None = None
    units: str | None = None
    currency: str | None = None


def new_settings(answers: StudioAnswers) -> str:
    """Write archive.toml for the answers; what was left open stands there as a remark to be filled in."""
    return f"""# Settings of this archive. Lines that begin with # are remarks: take the # away to use them.

[archive]
{_line("title", answers.title, "the name on the private archive")}
{_line("units", answers.units, "mm or in: how lengths are shown", "mm")}

[portfolio]
{_line("title", answers.artist and f"{answers.artist}, tattoos", "the name on the public pages", "Your name, tattoos")}
{_line("artist", answers.artist, "your name as visitors read it", "Your name")}
{_line("creator", answers.artist, "written into every published picture", "Your name")}
{_line("copyright", answers.artist and f"© {answers.artist}", "likewise", "© Your name")}
{_line("currency", answers.currency, "for prices, in three letters", "EUR")}
# url       = "https://your-address.example"   # where the portfolio will be; the feed and the site map need it
# town      = "Your town"

[printer]
{_line("paper", answers.paper, "A4, A5, Letter, Legal or two sides such as 210 x 297 mm", "A4")}
{_line("method", answers.method, "ink-jet prints mirrored, thermal does not", "ink-jet")}
# Print `archgen ruler` once and give what you measured: then every stencil comes out at its exact size.

[limits]
# stroke = "0.3 mm"   # thinner lines and
# gap    = "1.0 mm"   # narrower gaps are marked; both common practice without a source, so set your own
"""


def _line(key: str, value: str | None, remark: str, example: str = "") -> str:
    line = f"{key} = {tomlkit.item(value or example).as_string()}"
    return f"{'' if value else '# '}{line:<34}  # {remark}"


def make_archive(root: Path, answers: StudioAnswers) -> tuple[Path, ...]:
    """Write the settings and make the folder of the pieces; gives what is new.

    Raises:
        OutputError: There is an archive already, something else has the name, or the disk does not let it.
    """
    settings, pieces = root / FILE, root / PIECES
    if settings.exists():
        raise OutputError(f"{root} is an archive already: {FILE} is there. Nothing was changed.")
    made = tuple(path for path in (settings, pieces) if not path.exists())
    try:
        pieces.mkdir(parents=True, exist_ok=True)
        write_atomically(settings, new_settings(answers).encode())
    except OSError as error:
        reason = (error.strerror or "disk error").lower()
        raise OutputError(f"{root} can't be made into an archive ({reason}). Choose another place.") from error
    return made


def title_from(root: Path) -> str:
    """Make a title of a folder's name: "my-archive" becomes "My archive"."""
    words = re.sub(r"[-_\s]+", " ", root.resolve().name).strip()
    return words[:1].upper() + words[1:] or "Working archive"
