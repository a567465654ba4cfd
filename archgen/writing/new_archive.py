"""Make a new archive folder: settings with remarks, a folder for the pieces; nothing that is there is touched."""

import re
from dataclasses import dataclass
from pathlib import Path

import tomlkit

from archgen.config import FILE
from archgen.errors import OutputError, disk_reason
from archgen.languages.house import house, say
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
    artist, name = answers.artist, say("Your name")
    title = say("{artist}, tattoos", artist=artist or name)
    language = "" if house().is_source else f'language = "{house().tag}"\n'
    online = say("where the portfolio will be; the feed and the site map need it")
    thinner = say("thinner lines and")
    narrower = say("narrower gaps are marked; both common practice without a source, so set your own")
    return f"""# {say("Settings of this archive. Lines that begin with # are remarks: take the # away to use them.")}

[archive]
{_line("title", answers.title, say("the name on the private archive"))}
{_line("units", answers.units, say("mm or in: how lengths are shown"), "mm")}
{language}
[portfolio]
{_line("title", artist and title, say("the name on the public pages"), title)}
{_line("artist", artist, say("your name as visitors read it"), name)}
{_line("creator", artist, say("written into every published picture"), name)}
{_line("copyright", artist and f"© {artist}", say("likewise"), f"© {name}")}
{_line("currency", answers.currency, say("for prices, in three letters"), "EUR")}
# url       = "{say("https://your-address.example")}"   # {online}
# town      = "{say("Your town")}"

[printer]
{_line("paper", answers.paper, say("A4, A5, Letter, Legal or two sides such as 210 x 297 mm"), "A4")}
{_line("method", answers.method, say("ink-jet prints mirrored, thermal does not"), "ink-jet")}
# {say("Print `archgen ruler` once and give what you measured: then every stencil comes out at its exact size.")}

[limits]
# stroke = "0.3 mm"   # {thinner}
# gap    = "1.0 mm"   # {narrower}
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
        raise OutputError(
            say("{root} is an archive already: {file} is there. Nothing was changed.", root=root, file=FILE)
        )
    made = tuple(path for path in (settings, pieces) if not path.exists())
    try:
        pieces.mkdir(parents=True, exist_ok=True)
        write_atomically(settings, new_settings(answers).encode())
    except OSError as error:
        message = say(
            "{root} can't be made into an archive ({reason}). Choose another place.",
            root=root,
            reason=disk_reason(error),
        )
        raise OutputError(message) from error
    return made


def title_from(root: Path) -> str:
    """Make a title of a folder's name: "my-archive" becomes "My archive"."""
    words = re.sub(r"[-_\s]+", " ", root.resolve().name).strip()
    return words[:1].upper() + words[1:] or say("Working archive")
