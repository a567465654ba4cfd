"""The files of one print: the stencil, and the working print that lies beside the skin."""

from pathlib import Path

from archgen.printing.reference_pdf import ReferenceJob, write_reference
from archgen.printing.stencil_pdf import write
from archgen.printing.stencil_plan import Plan


def print_files(target: Path, plan: Plan, beside: ReferenceJob | None) -> list[tuple[Path, bytes]]:
    """Make all of them, before any is written; the working print is named after the stencil."""
    files = [(target, write(plan))]
    if beside:
        files.append((target.with_name(f"{target.stem}-reference.pdf"), write_reference(beside)))
    return files
