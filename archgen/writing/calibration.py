"""Write what the ruler page measured into archive.toml, its comments and order kept."""

from dataclasses import dataclass
from pathlib import Path

from archgen.config import FILE, PrinterSettings
from archgen.errors import ConfigError, UsageError
from archgen.languages.house import say
from archgen.printing.page import correction
from archgen.toml.statements import Way, read_statements
from archgen.writing.change import Change, edited_file, read_before
from archgen.writing.record_text import SetKey


@dataclass(frozen=True, slots=True)
class SettingsChange:
    """One change of archive.toml, ready to be carried out.

    Attributes:
        table: Where the lines stand, such as "[printer.thermal]".
        lines: Old and new value of each key; None: it was not there.
        factors: What everything is enlarged by from now on, across and along.
    """

    file: Path
    table: str
    lines: tuple[tuple[str, str | None, str], ...]
    factors: tuple[float, float]
    change: Change


def measured_change(root: Path, printer: PrinterSettings, measured_x_mm: float, measured_y_mm: float) -> SettingsChange:
    """Work out the change; nothing is written.

    Raises:
        UsageError: A length is off by more than a printer can be.
        ConfigError: Something else has the name of archive.toml.
        InputError: archive.toml cannot be changed safely.
    """
    try:
        factors = correction(measured_x_mm, measured_y_mm)
    except ConfigError as error:
        raise UsageError(str(error)) from error
    before = (read_before(root, FILE) or b"").decode("utf-8-sig", "replace")
    printers = read_statements(before).values.get("printer", {})
    is_named = isinstance(printers, dict) and isinstance(printers.get(printer.name), dict)
    table: Way = ("printer", printer.name) if is_named else ("printer",)
    there = printers[printer.name] if is_named else printers
    measured = {"measured_x": f"{measured_x_mm:g} mm", "measured_y": f"{measured_y_mm:g} mm"}
    lines = tuple((key, str(there[key]) if key in there else None, new) for key, new in measured.items())
    edited = edited_file(root, FILE, [SetKey((*table, key), new) for key, new in measured.items()])
    where = f"[{'.'.join(map(str, table))}]"
    change = Change(say("What the ruler of {printer} measured", printer=printer.name), edited=(edited,))
    return SettingsChange(root / FILE, where, lines, factors, change)
