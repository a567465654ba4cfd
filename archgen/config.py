"""The settings of archive.toml as one frozen value; nobody else reads the file or the environment."""

import os
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from archgen.errors import ConfigError, InputError
from archgen.papers import parse_paper
from archgen.storage.files import is_inside
from archgen.toml.kinds import Flag, Number, OneWord, Parsed, Table, Text, ValueKind, read_table
from archgen.toml.problem import Problem
from archgen.toml.text import OUTSIDE, TomlFile, UnreadableTextError, read_toml
from archgen.units import parse_days, parse_length

FILE = "archive.toml"
# A printer that is further out than this prints "fit to page"; a factor would only hide that.
_LEAST_MEASURED_MM, _MOST_MEASURED_MM = 95.0, 105.0


# A name, or the number of a computer in the studio's own network, and a port (RFC 3986, 3.2.2 and 3.2.3).
_HOST = re.compile(r"(?:[\w-]+(?:\.[\w-]+)*\.?|\[[0-9a-fA-F:.]+\])(?::\d{1,5})?")


@dataclass(frozen=True, slots=True)
class ArchiveSettings:
    """[archive]."""

    title: str = "Working archive"
    language: str = "en"
    units: str = "mm"


@dataclass(frozen=True, slots=True)
class PortfolioSettings:
    """[portfolio]; what is written into published images stands in creator ... licensor_url."""

    title: str = "Portfolio"
    artist: str | None = None
    url: str | None = None
    description: str | None = None
    creator: str | None = None
    copyright: str | None = None
    credit: str | None = None
    rights_url: str | None = None
    licensor_url: str | None = None
    require_rights: bool = True
    require_release: bool = True
    theme: str = "plate"


@dataclass(frozen=True, slots=True)
class PrinterSettings:
    """[printer] or [printer.NAME]; lengths in mm, measured_* is what the 100 mm rule measured on paper."""

    name: str = "default"
    paper: str = "A4"
    method: str = "ink-jet"
    measured_x_mm: float = 100.0
    measured_y_mm: float = 100.0
    margin_mm: float = 5.0
    dpi: int = 600


@dataclass(frozen=True, slots=True)
class Limits:
    """[limits]; studio defaults, common practice without a source."""

    stroke_mm: float = 0.3
    gap_mm: float = 1.0
    healed_after_days: int = 28
    touch_up_from_days: int = 42
    touch_up_until_days: int = 180


@dataclass(frozen=True, slots=True)
class Config:
    """All settings of one archive folder."""

    root: Path
    archive: ArchiveSettings = field(default_factory=ArchiveSettings)
    portfolio: PortfolioSettings = field(default_factory=PortfolioSettings)
    printers: tuple[PrinterSettings, ...] = (PrinterSettings(),)
    limits: Limits = field(default_factory=Limits)

    @property
    def printer(self) -> PrinterSettings:
        """Give the default printer: the plain [printer], else the first."""
        return self.printers[0]


def _paper(text: str) -> str:
    return parse_paper(text).name


def _measured(text: str) -> float:
    length = parse_length(text)
    if not _LEAST_MEASURED_MM <= length <= _MOST_MEASURED_MM:
        raise ValueError(
            "the 100 mm rule of the ruler page measures 95 to 105 mm when nothing was scaled; "
            'print it again at "actual size" (100 %)'
        )
    return length


def _address(text: str) -> str:
    text = text.strip()
    match = re.match(r"https?://([^/?#]*)", text, re.IGNORECASE)
    if match is None:
        raise ValueError("an address starts with https://")
    # RFC 3986, appendix A; letters of other scripts may stand in an address too (RFC 3987).
    odd = next((sign for sign in text if not sign.isprintable() or sign in ' "<>\\^`{|}'), None)
    if odd is not None:
        name = "a space" if odd.isspace() else f"the sign {odd}" if odd.isprintable() else "a sign that cannot be seen"
        raise ValueError(f"{name} cannot stand in an address; copy it from the browser's address line")
    if "@" in match[1]:
        raise ValueError("everybody can read it, so no user name or password may stand in it; leave out what ends in @")
    if not _HOST.fullmatch(match[1]):
        raise ValueError("the name of a site such as example.org comes after https://")
    return text


def _site_address(text: str) -> str:
    address = _address(text)
    if "?" in address or "#" in address:
        raise ValueError("the address of a site's folder has no ? and no #; leave them out with what follows")
    return address


def _language(text: str) -> str:
    if not re.fullmatch(r"[A-Za-z]{2,3}(-[A-Za-z0-9]{2,8})*", text):
        raise ValueError("a language is a short code (BCP 47) such as en, de or pt-BR")
    return text


_LENGTH = Parsed("bad-length", "a length", parse_length, '"5 mm"')
_MEASURED = Parsed("bad-length", "a length", _measured, '"99.4 mm"')
_DAYS = Parsed("bad-days", "a number of days", parse_days, '"28 days"')
_ADDRESS = Parsed("bad-address", "a web address", _address, '"https://example.org"')
_SITE = Parsed("bad-address", "a web address", _site_address, '"https://example.org"')
_PRINTER: dict[str, ValueKind] = {
    "paper": Parsed("bad-paper", "a paper", _paper, '"A4"'),
    "method": OneWord(("ink-jet", "thermal")),
    "measured_x": _MEASURED,
    "measured_y": _MEASURED,
    "margin": _LENGTH,
    # From the coarsest thermal heads to the finest ink-jets.
    "dpi": Number(whole=True, least=100, most=4800),
}
_SHAPE = Table(
    {
        "archive": Table(
            {
                "title": Text(),
                "language": Parsed("bad-language", "a language", _language, '"en"'),
                "units": OneWord(("mm", "in")),
            }
        ),
        "portfolio": Table(
            {
                **dict.fromkeys(("title", "artist", "description", "creator", "copyright", "credit", "theme"), Text()),
                "url": _SITE,
                **dict.fromkeys(("rights_url", "licensor_url"), _ADDRESS),
                **dict.fromkeys(("require_rights", "require_release"), Flag()),
            }
        ),
        "printer": Table(_PRINTER, others=Table(_PRINTER)),
        "limits": Table(
            {
                **dict.fromkeys(("stroke", "gap"), _LENGTH),
                **dict.fromkeys(("healed_after", "touch_up_from", "touch_up_until"), _DAYS),
            }
        ),
    }
)
# Keys whose unit stands in the field's name.
_UNITS = {
    **dict.fromkeys(("measured_x", "measured_y", "margin", "stroke", "gap"), "mm"),
    **dict.fromkeys(("healed_after", "touch_up_from", "touch_up_until"), "days"),
}


def read_config(root: Path) -> Config:
    """Read the settings of an archive folder; without archive.toml all are the defaults.

    Raises:
        InputError: There is no such folder.
        ConfigError: The settings cannot be used; the message names every problem.
    """
    if not root.is_dir():
        raise InputError(f"There is no folder {root}. Name your archive folder with --archive.")
    if not os.path.lexists(root / FILE):
        return Config(root)
    try:
        if not is_inside(root / FILE, root):
            raise UnreadableTextError(OUTSIDE)
        toml = read_toml(root / FILE)
    except UnreadableTextError as error:
        raise ConfigError(_message([error.problem])) from error
    values, problems = read_table(_without_blanks(toml.raw), _SHAPE, toml.lines)
    if not problems:
        problems = list(_disagreements(values, toml))
    if problems:
        raise ConfigError(_message(problems))
    return Config(
        root,
        ArchiveSettings(**values.get("archive", {})),
        PortfolioSettings(**values.get("portfolio", {})),
        tuple(_printers(values.get("printer", {}))) or (PrinterSettings(),),
        Limits(**_fields(values.get("limits", {}))),
    )


def _without_blanks(raw: Mapping[str, Any]) -> dict[str, Any]:
    """Leave out keys whose text is empty: the default counts."""
    return {
        key: _without_blanks(value) if isinstance(value, dict) else value
        for key, value in raw.items()
        if not isinstance(value, str) or value.strip()
    }


def _message(problems: list[Problem]) -> str:
    return "\n".join(f"{FILE}, {problem}" if problem.line else f"{FILE}: {problem}" for problem in problems)


def _fields(values: Mapping[str, Any]) -> dict[str, Any]:
    return {f"{key}_{_UNITS[key]}" if key in _UNITS else key: value for key, value in values.items()}


def _printers(values: Mapping[str, Any]) -> Iterator[PrinterSettings]:
    """Give the plain keys as the default printer, then the named ones as they stand in the file."""
    plain = {key: value for key, value in values.items() if key in _PRINTER}
    if plain:
        yield PrinterSettings(**_fields(plain))
    for name, keys in values.items():
        if name not in _PRINTER:
            yield PrinterSettings(name=name, **_fields(keys))


def _disagreements(values: Mapping[str, Any], toml: TomlFile) -> Iterator[Problem]:
    limits = Limits(**_fields(values.get("limits", {})))
    if limits.touch_up_from_days > limits.touch_up_until_days:
        text = (
            f"touch_up_from ({limits.touch_up_from_days} days) comes after "
            f"touch_up_until ({limits.touch_up_until_days} days)."
        )
        line = toml.line("limits.touch_up_from") or toml.line("limits.touch_up_until")
        yield Problem("disagree", "limits.touch_up_from", line, text, "Make the first the shorter.")
