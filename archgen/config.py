"""The settings of archive.toml as one frozen value; nobody else reads the file or the environment."""

from dataclasses import dataclass, field
from pathlib import Path


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
class Printer:
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
    printers: tuple[Printer, ...] = (Printer(),)
    limits: Limits = field(default_factory=Limits)

    @property
    def printer(self) -> Printer:
        """Give the default printer: the plain [printer], else the first."""
        return self.printers[0]
