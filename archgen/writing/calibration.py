"""Write what the ruler page measured into archive.toml, its comments and order kept."""

from dataclasses import dataclass
from pathlib import Path

import tomlkit

from archgen.config import FILE, PrinterSettings
from archgen.errors import ConfigError, OutputError, UsageError
from archgen.printing.page import correction
from archgen.storage.files import write_atomically


@dataclass(frozen=True, slots=True)
class SettingsChange:
    """One change of archive.toml, ready to be written.

    Attributes:
        table: Where the lines stand, such as "[printer.thermal]".
        lines: Old and new value of each key; None: it was not there.
        factors: What everything is enlarged by from now on, across and along.
    """

    file: Path
    table: str
    lines: tuple[tuple[str, str | None, str], ...]
    factors: tuple[float, float]
    content: str


def measured_change(root: Path, printer: PrinterSettings, measured_x_mm: float, measured_y_mm: float) -> SettingsChange:
    """Work out the change; nothing is written.

    Raises:
        UsageError: A length is off by more than a printer can be.
        ConfigError: archive.toml cannot be changed safely.
    """
    try:
        factors = correction(measured_x_mm, measured_y_mm)
    except ConfigError as error:
        raise UsageError(str(error)) from error
    file = root / FILE
    try:
        document = tomlkit.parse(file.read_text(encoding="utf-8")) if file.exists() else tomlkit.document()
    except (OSError, ValueError) as error:
        raise ConfigError(f"{FILE} cannot be read, so nothing was changed.") from error
    parent = document.setdefault("printer", tomlkit.table())
    named = printer.name in parent and isinstance(parent[printer.name], dict)
    table = parent[printer.name] if named else parent
    lines = []
    for key, measured in (("measured_x", measured_x_mm), ("measured_y", measured_y_mm)):
        new = f"{measured:g} mm"
        lines.append((key, str(table[key]) if key in table else None, new))
        table[key] = new
    where = f"[printer.{printer.name}]" if named else "[printer]"
    return SettingsChange(file, where, tuple(lines), factors, tomlkit.dumps(document))


def write_change(change: SettingsChange) -> None:
    """Write the change.

    Raises:
        OutputError: The disk does not let it.
    """
    try:
        write_atomically(change.file, change.content.encode())
    except OSError as error:
        raise OutputError(f"{change.file} cannot be written ({(error.strerror or 'disk error').lower()}).") from error
