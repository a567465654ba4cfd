"""archgen audit --propose and --write, as typed."""

import pytest
from click.testing import CliRunner

from archgen.cli import archgen
from tests.unit.images.pictures import encoded, photo

RECORD = """title = "Owl"

[[reference]]
file    = "references/a.jpg"  # from the field
license = "CC-BY-4.0"
# the end
"""
XMP = (
    '<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">'
    '<rdf:Description xmlns:dc="http://purl.org/dc/elements/1.1/"><dc:creator><rdf:Seq>'
    "<rdf:li>Åsa &quot;A\\&quot; Sample</rdf:li></rdf:Seq></dc:creator></rdf:Description></rdf:RDF></x:xmpmeta>"
)
LINE = 'creator = "Åsa \\"A\\\\\\" Sample"'


@pytest.fixture
def root(tmp_path):
    folder = tmp_path / "content" / "pieces" / "owl"
    (folder / "references").mkdir(parents=True)
    (folder / "piece.toml").write_text(RECORD, "utf-8")
    (folder / "references" / "a.jpg").write_bytes(encoded(photo(), "JPEG", xmp=XMP.encode()))
    return tmp_path / "content"


@pytest.fixture
def run(root, tmp_path):
    def ran(*arguments, says=""):
        command = ["audit", *arguments, "--archive", str(root), "--out", str(tmp_path / "build")]
        return CliRunner().invoke(archgen, command, input=says)

    return ran


def record(root):
    return (root / "pieces" / "owl" / "piece.toml").read_text("utf-8")


def test_the_lines_are_shown_and_nothing_is_changed(run, root):
    result = run("--propose")
    assert result.exit_code == 0
    assert "# pieces/owl/piece.toml, line 3: references/a.jpg" in result.stdout
    assert LINE in result.stdout
    assert record(root) == RECORD


def test_a_change_is_shown_and_written_after_a_yes(run, root):
    result = run("--write", says="y\n")
    assert f"+{LINE}" in result.stdout
    assert record(root) == RECORD.replace('"CC-BY-4.0"\n', f'"CC-BY-4.0"\n{LINE}\n')


def test_a_no_changes_nothing(run, root):
    assert run("--write", says="n\n").exit_code == 0
    assert record(root) == RECORD


def test_yes_is_not_asked_for_when_it_is_given(run, root):
    run("--write", "--yes")
    assert LINE in record(root)
    assert "say nothing" in run("--propose").stderr


def test_only_the_record_is_touched(run, root):
    before = {path: path.read_bytes() for path in root.rglob("*") if path.is_file() and path.name != "piece.toml"}
    run("--write", "--yes")
    after = {path: path.read_bytes() for path in root.rglob("*") if path.is_file() and path.name != "piece.toml"}
    assert before == after


def test_another_piece_is_left_alone(run, root):
    run("--write", "--yes", "--piece", "another")
    assert record(root) == RECORD


def test_what_is_due_is_answered_without_pictures(run, root):
    (root / "pieces" / "owl" / "piece.toml").write_text(
        RECORD.replace('"Owl"\n', '"Owl"\nfinished = 2020-01-01\n'), "utf-8"
    )
    result = run("--due", "--format", "json")
    assert result.exit_code == 0
    assert '"kind": "healed-photo"' in result.stdout
    assert "Photos of healed pieces" in run("--due").stdout
