"""The piece that is meant."""

import os
import subprocess
import sys

from tests.drawn_twins import piece


def test_a_pipe_in_place_of_a_record_is_passed_over(tmp_path):
    piece(tmp_path, "owl")
    (tmp_path / "pieces" / "moth").mkdir()
    os.mkfifo(tmp_path / "pieces" / "moth" / "piece.toml")
    # In a process of its own, which can be ended: what opens a pipe waits for ever.
    command = [sys.executable, "-m", "archgen", "gauge", "nobody", "--archive", str(tmp_path)]
    result = subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)
    assert 'There is no piece "nobody"' in result.stderr
