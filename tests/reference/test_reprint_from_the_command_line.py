"""Prints made as an artist makes them, measured in millimetres by poppler and read by qpdf."""

import subprocess

import pytest

from tests.cli.archive import draw_f, terminal  # noqa: F401  a fixture
from tests.printed_page import black_span, placed_images


@pytest.fixture
def printed(terminal):  # noqa: F811
    """Give a function that prints with these options and returns the file."""
    (terminal.root / "archive.toml").write_text('[printer]\nmeasured_x = "99.0 mm"\nmeasured_y = "101.0 mm"\n')

    def run(*words):
        ran = terminal.run("reprint", *words, "--out", "print.pdf")
        assert ran.code == 0, ran.err
        return terminal.root.parent / "print.pdf"

    return run


@pytest.mark.parametrize(
    ("options", "width_mm", "height_mm"),
    [
        (("owl",), 50, 75),
        (("owl", "--width", "2 1/2 in"), 63.5, 95.25),
        (("owl", "--height", "60mm"), 40, 60),
        (("owl", "--percent", "80"), 40, 60),
    ],
)
def test_the_marks_measure_what_was_asked_times_the_correction(printed, pdftoppm, options, width_mm, height_mm):
    path = printed(*options)
    (placed,) = placed_images(path.read_bytes())
    wanted = width_mm / 0.99, height_mm / 1.01
    assert (placed.width, placed.height) == pytest.approx(wanted, abs=0.001)
    # The upper bar of the F reaches across its whole width, its stem down the whole height; mirrored, so on the right.
    across = black_span(pdftoppm, path, (placed.left - 2, placed.top + 1, placed.width + 4, 1))
    down = black_span(pdftoppm, path, (placed.left + placed.width - 2, placed.top - 2, 1, placed.height + 4), axis=0)
    assert across[1] - across[0] == pytest.approx(wanted[0], abs=0.010)
    assert down[1] - down[0] == pytest.approx(wanted[1], abs=0.010)


def test_a_file_stored_mirrored_is_not_turned_over_again(printed, pdftoppm):
    path = printed("fern")
    (placed,) = placed_images(path.read_bytes())
    # Stored mirrored means: what the file shows is printed as it is; this F has its stem on the left.
    down = black_span(pdftoppm, path, (placed.left + 1, placed.top - 2, 1, placed.height + 4), axis=0)
    assert down[1] - down[0] == pytest.approx(placed.height, abs=0.02)


def test_qpdf_finds_no_fault_and_the_viewer_must_not_scale(printed, qpdf):
    path = printed("owl", "--version", "1", "--version", "2", "--copies", "2")
    assert subprocess.run([qpdf, "--check", str(path)], capture_output=True, check=False).returncode == 0
    said = subprocess.run([qpdf, "--json", "--json-key=qpdf", str(path)], capture_output=True, check=True).stdout
    assert b'"/PrintScaling": "/None"' in said
    assert b'"/Enforce"' in said


def test_a_picture_from_outside_measures_what_was_asked(printed, pdftoppm, tmp_path):
    path = printed("--image", draw_f(tmp_path / "f.png"), "--width", "90mm")
    (placed,) = placed_images(path.read_bytes())
    across = black_span(pdftoppm, path, (placed.left - 2, placed.top + 1, placed.width + 4, 1))
    assert across[1] - across[0] == pytest.approx(90 / 0.99, abs=0.010)


@pytest.mark.parametrize("piece", ["owl", "fern"])
def test_a_thickened_line_measures_what_was_asked_on_its_old_centre_line(printed, pdftoppm, piece):
    """The thin bar of the F is 1.25 mm of 50, or 1 of 40, and lies 25 to 26 of 60 parts below the top."""
    path = printed(piece, "--at-least", "1.5mm", "--yes", "--mirror")
    (placed,) = placed_images(path.read_bytes())
    middle = placed.left + placed.width * 0.5
    top, bottom = black_span(pdftoppm, path, (middle, placed.top + placed.height * 0.3, 1, placed.height * 0.3), axis=0)
    assert bottom - top == pytest.approx(1.5 / 1.01, abs=0.02)
    assert (top + bottom) / 2 - placed.top == pytest.approx(placed.height * 25.5 / 60, abs=0.02)
