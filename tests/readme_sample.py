"""Make the sample of the README: the record it shows, built, and what is printed.

``python -m tests.readme_sample`` writes it into the README anew.
"""

import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path

from PIL import Image

from tests.cli.archive import draw_f

ROOT = Path(__file__).resolve().parent.parent
README = ROOT / "README.md"
# The first of June 2026, so that what is due does not depend on the day of the test.
_DAY = "1780272000"
_BLOCK = re.compile(r"(<!-- sample: build -->\n```\n)(.*?)(```\n<!-- end of sample -->)", re.DOTALL)


def shown_record(readme: str) -> str:
    """Give the record that the README shows whole."""
    chapter = readme.partition("### The same without the desk")[2]
    return re.search(r"```toml\n(.*?)```", chapter, re.DOTALL)[1]


def shown_output(readme: str) -> str:
    """Give the output that the README shows."""
    return _BLOCK.search(readme)[2]


def build_sample(folder: Path, record: str) -> str:
    """Build an archive with this one record as a person does, and give what is printed, without the seconds it took."""
    piece = folder / "tattoo-archive" / "pieces" / "2026-03-14-barn-owl"
    draw_f(piece / "stencils" / "owl-1.png")
    draw_f(piece / "references" / "owl-field.jpg")
    photo = Image.linear_gradient("L").resize((900, 700))
    (piece / "photos").mkdir()
    Image.merge("RGB", (photo, photo.rotate(90, expand=True).resize(photo.size), photo)).save(
        piece / "photos" / "owl-fresh.jpg"
    )
    (piece / "piece.toml").write_text(record, encoding="utf-8")
    environment = {**os.environ, "SOURCE_DATE_EPOCH": _DAY, "COLUMNS": "100", "PYTHONPATH": str(ROOT), "NO_COLOR": "1"}
    ran = subprocess.run(
        [sys.executable, "-m", "archgen", "build", "--archive", "tattoo-archive"],
        cwd=folder, env=environment, capture_output=True, text=True, check=False,
    )  # fmt: skip
    if ran.returncode not in (0, 1):
        raise RuntimeError(ran.stderr)
    return steady(ran.stdout.replace(f"{folder.resolve()}{os.sep}", "").replace(f"{folder}{os.sep}", ""))


def steady(output: str) -> str:
    """Take the times out, which differ from run to run."""
    lines = re.sub(r"\d+\.\d+ s\b", "2.0 s", output)
    return "\n".join(line.rstrip() for line in lines.strip().splitlines()) + "\n"


def main() -> None:
    """Write the sample into the README anew."""
    readme = README.read_text(encoding="utf-8")
    with tempfile.TemporaryDirectory() as folder:
        printed = build_sample(Path(folder), shown_record(readme))
    README.write_text(_BLOCK.sub(lambda match: f"{match[1]}{printed}{match[3]}", readme), encoding="utf-8")


if __name__ == "__main__":
    main()
