"""The settings of archive.toml as one frozen value; nobody else reads the file or the environment."""

import os
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath
from typing import Annotated, Any

from archgen.errors import ConfigError, InputError
from archgen.languages.house import say, speak, to_say
from archgen.papers import parse_paper
from archgen.privacy import Private, Public, Sought
from archgen.storage.files import is_inside
from archgen.toml.kinds import Flag, Many, Number, OneWord, Parsed, Table, Text, ValueKind, Walk, read_table
from archgen.toml.problem import Problem
from archgen.toml.text import TomlFile, UnreadableTextError, outside, read_toml
from archgen.units import parse_days, parse_length
from archgen.values.frozen import Value

FILE = "archive.toml"
# A printer that is further out than this prints "fit to page"; a factor would only hide that.
_LEAST_MEASURED_MM, _MOST_MEASURED_MM = 95.0, 105.0


# A name, or the number of a computer in the studio's own network, and a port (RFC 3986, 3.2.2 and 3.2.3).
_HOST = re.compile(r"(?:[\w-]+(?:\.[\w-]+)*\.?|\[[0-9a-fA-F:.]+\])(?::\d{1,5})?")


class ArchiveSettings(Value, frozen=True):
    """[archive]."""

    title: Annotated[str, Private("title of the private archive")] = to_say("Working archive")
    language: Annotated[str, Public("language", Sought.NEVER)] = "en"
    units: Annotated[str, Public("units", Sought.NEVER)] = "mm"
    inbox: Annotated[str, Private("folder for new pictures", Sought.NEVER)] = "inbox"


class SettingsInLanguage(Value, frozen=True):
    """[portfolio.de] and so on: what the portfolio says of itself in another language; None is said in the main one."""

    language: Annotated[str, Public("language", Sought.NEVER)]
    title: Annotated[str | None, Public("title of the portfolio")] = None
    description: Annotated[str | None, Public("description")] = None
    town: Annotated[str | None, Public("town")] = None
    open_from: Annotated[str | None, Public("opening")] = None


class PortfolioSettings(Value, frozen=True):
    """[portfolio]; what is written into published images stands in creator ... licensor_url.

    Attributes:
        languages: The main one first; empty for that of the archive alone.
        order: Ids of the pieces that come first; the others follow, newest first.
        mark: A picture in the archive folder that is the site's sign.
        form: Where the enquiry form is sent; None: there is no form, visitors write letters.
        model_training: Whether trained models may learn from the portfolio; None says nothing about it.
        avif: Whether photos are published as AVIF too, for browsers that read it.
    """

    title: Annotated[str, Public("title of the portfolio")] = "Portfolio"
    artist: Annotated[str | None, Public("artist")] = None
    url: Annotated[str | None, Public("address", Sought.ADDRESS)] = None
    description: Annotated[str | None, Public("description")] = None
    creator: Annotated[str | None, Public("creator")] = None
    copyright: Annotated[str | None, Public("copyright notice")] = None
    credit: Annotated[str | None, Public("credit line")] = None
    rights_url: Annotated[str | None, Public("address", Sought.ADDRESS)] = None
    licensor_url: Annotated[str | None, Public("address", Sought.ADDRESS)] = None
    require_rights: Annotated[bool, Public("rule of publication")] = True
    require_release: Annotated[bool, Public("rule of publication")] = True
    theme: Annotated[str | None, Private("theme", Sought.NEVER)] = None
    languages: Annotated[tuple[str, ...], Public("language", Sought.NEVER)] = ()
    order: Annotated[tuple[str, ...], Private("folder name", Sought.FOLDER)] = ()
    currency: Annotated[str | None, Public("currency", Sought.NEVER)] = None
    town: Annotated[str | None, Public("town")] = None
    open_from: Annotated[str | None, Public("opening")] = None
    model_training: Annotated[bool | None, Public("rule for trained models")] = None
    mark: Annotated[str | None, Private("file of the mark", Sought.NEVER)] = None
    form: Annotated[str | None, Public("address", Sought.ADDRESS)] = None
    avif: Annotated[bool, Public("format of pictures", Sought.NEVER)] = True
    in_languages: Annotated[tuple[SettingsInLanguage, ...], Public("settings in other languages")] = ()


class PrinterSettings(Value, frozen=True):
    """[printer] or [printer.NAME]; lengths in mm, measured_* is what the 100 mm rule measured on paper."""

    name: Annotated[str, Private("printer", Sought.NEVER)] = "default"
    paper: Annotated[str, Private("paper", Sought.NEVER)] = "A4"
    method: Annotated[str, Private("method of a printer", Sought.NEVER)] = "ink-jet"
    measured_x_mm: Annotated[float, Private("measure of a printer")] = 100.0
    measured_y_mm: Annotated[float, Private("measure of a printer")] = 100.0
    margin_mm: Annotated[float, Private("margin of a printer")] = 5.0
    dpi: Annotated[int, Private("dots of a printer")] = 600


class Limits(Value, frozen=True):
    """[limits]; studio defaults, common practice without a source."""

    stroke_mm: Annotated[float, Private("limit of the studio")] = 0.3
    gap_mm: Annotated[float, Private("limit of the studio")] = 1.0
    healed_after_days: Annotated[int, Private("limit of the studio")] = 28
    touch_up_from_days: Annotated[int, Private("limit of the studio")] = 42
    touch_up_until_days: Annotated[int, Private("limit of the studio")] = 180

    @property
    def has_usual_touch_up_days(self) -> bool:
        """Say whether the days of a touch-up are the defaults."""
        usual = Limits()
        own = self.touch_up_from_days, self.touch_up_until_days
        return own == (usual.touch_up_from_days, usual.touch_up_until_days)


@dataclass(frozen=True, slots=True)
class UploadSettings:
    """[upload]; passwords have no place in it."""

    target: Annotated[str | None, Private("place the portfolio is sent to", Sought.NEVER)] = None


class QuoteSettings(Value, frozen=True):
    """[quote]; in the archive's currency.

    Attributes:
        hour: What an hour costs.
        least: What the smallest piece costs.
    """

    hour: Annotated[float | None, Private("price of an hour", Sought.PRICE)] = None
    least: Annotated[float | None, Private("price of the smallest piece", Sought.PRICE)] = None


class KeepSettings(Value, frozen=True):
    """[keep]; how long what must be kept is kept, by the law of the place."""

    years: Annotated[int | None, Private("years of keeping", Sought.NEVER)] = None


class ClaimSettings(Value, frozen=True):
    """[claims]; what clients are told of what went into their skin, as the studio recorded it."""

    tell: Annotated[tuple[str, ...], Public("claim that is told")] = ()


@dataclass(frozen=True, slots=True)
class Config:
    """All settings of one archive folder."""

    root: Annotated[Path, Private("archive folder", Sought.NEVER)]
    archive: Annotated[ArchiveSettings, Public("settings")] = field(default_factory=ArchiveSettings)
    portfolio: Annotated[PortfolioSettings, Public("settings")] = field(default_factory=PortfolioSettings)
    printers: Annotated[tuple[PrinterSettings, ...], Private("printers")] = (PrinterSettings(),)
    limits: Annotated[Limits, Private("limits")] = field(default_factory=Limits)
    upload: Annotated[UploadSettings, Private("upload")] = field(default_factory=UploadSettings)
    quote: Annotated[QuoteSettings, Private("quote")] = field(default_factory=QuoteSettings)
    keep: Annotated[KeepSettings, Private("keeping")] = field(default_factory=KeepSettings)
    claims: Annotated[ClaimSettings, Public("claims")] = field(default_factory=ClaimSettings)

    @property
    def main_language(self) -> str:
        """Give the language of the portfolio's first pages."""
        return next(iter(self.portfolio.languages), self.archive.language)

    @property
    def inbox(self) -> Path:
        """Give the folder that new pictures come into, relative to the archive folder unless it is a whole path."""
        return self.root / Path(self.archive.inbox).expanduser()

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
            say(
                "the 100 mm rule of the ruler page measures 95 to 105 mm when nothing was scaled; print "
                'it again at "actual size" (100 %)'
            )
        )
    return length


def _address(text: str) -> str:
    text = text.strip()
    match = re.match(r"https?://([^/?#]*)", text, re.IGNORECASE)
    if match is None:
        raise ValueError(say("an address starts with https://"))
    # RFC 3986, appendix A; letters of other scripts may stand in an address too (RFC 3987).
    odd = next((character for character in text if not character.isprintable() or character in ' "<>\\^`{|}'), None)
    if odd is not None:
        seen = say("the character {odd}", odd=odd) if odd.isprintable() else say("a character that cannot be seen")
        name = say("a space") if odd.isspace() else seen
        raise ValueError(say("{name} cannot stand in an address; copy it from the browser's address line", name=name))
    if "@" in match[1]:
        raise ValueError(
            say("everybody can read it, so no user name or password may stand in it; leave out what ends in @")
        )
    if not _HOST.fullmatch(match[1]):
        raise ValueError(say("the name of a site such as example.org comes after https://"))
    return text


def _site_address(text: str) -> str:
    address = _address(text)
    if "?" in address or "#" in address:
        raise ValueError(say("the address of a site's folder has no ? and no #; leave them out with what follows"))
    return address


def _own_file(text: str) -> str:
    path = PurePosixPath(text.strip().replace("\\", "/"))
    if path.is_absolute() or ".." in path.parts or re.match(r"~|[A-Za-z]:", text.strip()):
        raise ValueError(say("the file lies in the archive folder; put a copy of it beside archive.toml"))
    if len(path.parts) > 1 and path.parts[0] in ("pieces", "designs"):
        raise ValueError(say("everybody can see it, so it has a file of its own beside archive.toml"))
    return path.as_posix()


def _form_address(text: str) -> str:
    """A web address, or a path on the host of the site itself."""
    path = text.strip()
    if path.startswith("/") and not path.startswith("//"):
        _address(f"https://example.org{path}")
        return path
    address = _address(path)
    if not address.lower().startswith("https://"):
        raise ValueError(say("what visitors write about themselves is only sent over https://"))
    return address


def _language(text: str) -> str:
    if not re.fullmatch(r"[A-Za-z]{2,3}(-[A-Za-z0-9]{2,8})*", text):
        raise ValueError(say("a language is a short code (BCP 47) such as en, de or pt-BR"))
    return text


_LENGTH = Parsed("bad-length", to_say("a length"), parse_length, '"5 mm"')
_MEASURED = Parsed("bad-length", to_say("a length"), _measured, '"99.4 mm"')
_DAYS = Parsed("bad-days", to_say("a number of days"), parse_days, '"28 days"')
_LANGUAGE = Parsed("bad-language", to_say("a language"), _language, '"en"')
_ADDRESS = Parsed("bad-address", to_say("a web address"), _address, '"https://example.org"')
_SITE = Parsed("bad-address", to_say("a web address"), _site_address, '"https://example.org"')
_MARK = Parsed("bad-path", to_say("a picture in the archive folder"), _own_file, '"mark.svg"')
_FORM = Parsed("bad-address", to_say("where the form is sent"), _form_address, '"https://example.org/form"')
_PRINTER: dict[str, ValueKind] = {
    "paper": Parsed("bad-paper", "a paper", _paper, '"A4"'),
    "method": OneWord(("ink-jet", "thermal")),
    "measured_x": _MEASURED,
    "measured_y": _MEASURED,
    "margin": _LENGTH,
    # From the coarsest thermal heads to the finest ink-jets.
    "dpi": Number(whole=True, least=100, most=4800),
}


_IN_LANGUAGE = Table(dict.fromkeys(("title", "description", "town", "open_from"), Text()))


class _Order(Value, frozen=True):
    """Either "newest" or the ids of the pieces that come first."""

    def read(self, value: Any, key: str, walk: Walk) -> tuple[str, ...] | None:
        """Give the ids; none for "newest"."""
        if isinstance(value, str):
            return () if OneWord(("newest",)).read(value, key, walk) else None
        return Many(Text()).read(value, key, walk)


_SHAPE = Table(
    {
        "archive": Table(
            {
                "title": Text(),
                "language": _LANGUAGE,
                "units": OneWord(("mm", "in")),
                "inbox": Text(),
            }
        ),
        "portfolio": Table(
            {
                **dict.fromkeys(("title", "artist", "description", "creator", "copyright", "credit", "theme"), Text()),
                "mark": _MARK,
                **dict.fromkeys(("currency", "town", "open_from"), Text()),
                "languages": Many(_LANGUAGE),
                "order": _Order(),
                "url": _SITE,
                "form": _FORM,
                **dict.fromkeys(("rights_url", "licensor_url"), _ADDRESS),
                **dict.fromkeys(("require_rights", "require_release", "model_training", "avif"), Flag()),
            },
            others=_IN_LANGUAGE,
        ),
        "printer": Table(_PRINTER, others=Table(_PRINTER)),
        "limits": Table(
            {
                **dict.fromkeys(("stroke", "gap"), _LENGTH),
                **dict.fromkeys(("healed_after", "touch_up_from", "touch_up_until"), _DAYS),
            }
        ),
        "upload": Table({"target": Text()}),
        "claims": Table({"tell": Many(Text())}),
        "keep": Table({"years": Number(whole=True, least=0, most=100)}),
        "quote": Table(dict.fromkeys(("hour", "least"), Number(least=0, most=100_000))),
    }
)
# Keys whose unit stands in the field's name.
_UNITS = {
    **dict.fromkeys(("measured_x", "measured_y", "margin", "stroke", "gap"), "mm"),
    **dict.fromkeys(("healed_after", "touch_up_from", "touch_up_until"), "days"),
}


def read_config(root: Path) -> Config:
    """Read the settings of an archive folder, and speak its language; without archive.toml all are the defaults.

    Raises:
        InputError: There is no such folder.
        ConfigError: The settings cannot be used; the message names every problem.
    """
    if not root.is_dir():
        raise InputError(say("There is no folder {root}. Name your archive folder with --archive.", root=root))
    if not os.path.lexists(root / FILE):
        speak(ArchiveSettings().language)
        return Config(root)
    try:
        if not is_inside(root / FILE, root):
            raise UnreadableTextError(outside())
        toml = read_toml(root / FILE)
    except UnreadableTextError as error:
        raise ConfigError(_message([error.problem])) from error
    speak(_written_language(toml.raw))
    values, problems = read_table(_without_blanks(toml.raw), _SHAPE, toml.lines)
    if not problems:
        problems = list(_disagreements(values, toml))
    if problems:
        raise ConfigError(_message(problems))
    return Config(
        root,
        ArchiveSettings(**{"title": say(ArchiveSettings().title), **values.get("archive", {})}),
        _portfolio(values.get("portfolio", {})),
        tuple(_printers(values.get("printer", {}))) or (PrinterSettings(),),
        Limits(**_fields(values.get("limits", {}))),
        UploadSettings(**values.get("upload", {})),
        QuoteSettings(**values.get("quote", {})),
        KeepSettings(**values.get("keep", {})),
        ClaimSettings(**values.get("claims", {})),
    )


def _written_language(raw: Mapping[str, Any]) -> str:
    """Find the language before anything is said about the settings; the default where it cannot be read."""
    archive = raw.get("archive")
    written = archive.get("language") if isinstance(archive, dict) else None
    try:
        return _language(str(written or ArchiveSettings().language))
    except ValueError:
        return ArchiveSettings().language


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


def _portfolio(values: Mapping[str, Any]) -> PortfolioSettings:
    in_languages = tuple(SettingsInLanguage(name, **keys) for name, keys in values.items() if isinstance(keys, dict))
    plain = {name: value for name, value in values.items() if not isinstance(value, dict)}
    return PortfolioSettings(**plain, in_languages=in_languages)


def _printers(values: Mapping[str, Any]) -> Iterator[PrinterSettings]:
    """Give the plain keys as the default printer, then the named ones as they stand in the file."""
    plain = {key: value for key, value in values.items() if key in _PRINTER}
    if plain:
        yield PrinterSettings(**_fields(plain))
    for name, keys in values.items():
        if name not in _PRINTER:
            yield PrinterSettings(name=name, **_fields(keys))


def _disagreements(values: Mapping[str, Any], toml: TomlFile) -> Iterator[Problem]:
    yield from _language_disagreements(values.get("portfolio", {}), toml)
    limits = Limits(**_fields(values.get("limits", {})))
    if limits.touch_up_from_days > limits.touch_up_until_days:
        text = say(
            "touch_up_from ({first} days) comes after touch_up_until ({second} days).",
            first=limits.touch_up_from_days,
            second=limits.touch_up_until_days,
        )
        line = toml.line("limits.touch_up_from") or toml.line("limits.touch_up_until")
        yield Problem("disagree", "limits.touch_up_from", line, text, say("Make the first the shorter."))


def _language_disagreements(portfolio: Mapping[str, Any], toml: TomlFile) -> Iterator[Problem]:
    languages = [tag.lower() for tag in portfolio.get("languages") or ()]
    twice = next((tag for number, tag in enumerate(languages) if tag in languages[:number]), None)
    if twice:
        line = toml.line("portfolio.languages")
        yield Problem(
            "disagree",
            "portfolio.languages",
            line,
            say('languages names "{twice}" twice.', twice=twice),
            say("Leave one out."),
        )
    for name, keys in portfolio.items():
        if isinstance(keys, dict) and name.lower() not in languages[1:]:
            text = say(
                "[portfolio.{name}] is for one of the languages after the first, and {name} isn't one of them.",
                name=name,
            )
            remedy = say(
                'Add it: languages = ["{main}", "{name}"], or take the table away.',
                main=(languages or ["en"])[0],
                name=name,
            )
            yield Problem("disagree", f"portfolio.{name}", toml.line(f"portfolio.{name}"), text, remedy)
