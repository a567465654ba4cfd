"""The types of the whole package agree: as a test, so that it runs beside the others and is named among what failed."""

import subprocess
import sys

from tests.conftest import ROOT


def test_mypy_finds_nothing():
    ran = subprocess.run([sys.executable, "-m", "mypy"], cwd=ROOT, capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stdout + ran.stderr
