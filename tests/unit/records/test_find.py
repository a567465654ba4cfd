"""The piece that is meant."""

import os
import subprocess
import sys

from archgen.records.find import read_one
from tests.drawn_twins import piece


def test_a_pipe_in_place_of_a_record_is_passed_over(tmp_path):
    piece(tmp_path, "owl")
    (tmp_path / "pieces" / "moth").mkdir()
    os.mkfifo(tmp_path / "pieces" / "moth" / "piece.toml")
    # In a process of its own, which can be ended: what opens a pipe waits for ever.
    command = [sys.executable, "-m", "archgen", "gauge", "nobody", "--archive", str(tmp_path)]
    result = subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)
    assert 'There is no piece "nobody"' in result.stderr


def test_a_piece_is_found_by_its_title_in_a_record_of_another_name(tmp_path):
    for folder, title in (("a", "Swallow"), ("b", "Moth")):
        (tmp_path / "pieces" / folder).mkdir(parents=True)
        (tmp_path / "pieces" / folder / "Piece.toml").write_text(f'title = "{title}"')
    assert read_one(tmp_path, "moth").id == "b"
