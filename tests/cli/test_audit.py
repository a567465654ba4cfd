"""What the audit prints and how it ends, on a small archive."""

import json

import pytest

from tests.cli.full_archive import fingerprint, run, write, write_archive

FIELDS = {"code", "severity", "piece", "file", "line", "problem", "remedy", "ask", "client"}


@pytest.fixture(scope="module")
def root(tmp_path_factory):
    return write_archive(tmp_path_factory.mktemp("audit") / "content")


@pytest.fixture
def audit(root, tmp_path, monkeypatch, capsys):
    def once(*options):
        code = run(monkeypatch, "audit", "--archive", root, "--out", tmp_path / "out", *options)
        return code, capsys.readouterr().out

    return once


def test_json_is_a_list_of_findings_with_file_line_problem_and_remedy(audit):
    code, said = audit("--format", "json")
    findings = json.loads(said)
    assert code == 1
    assert all(finding.keys() == FIELDS for finding in findings)
    (broken,) = [finding for finding in findings if finding["code"] == "record.bad-length"]
    assert (broken["piece"], broken["line"]) == ("2026-06-01-koi", 3)
    assert broken["file"] == "pieces/2026-06-01-koi/piece.toml"


def test_nothing_is_written_but_the_cache_of_a_build_folder(audit, root, tmp_path):
    before = fingerprint(root)
    audit()
    assert fingerprint(root) == before
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("options", "code"),
    [
        ((), 1),
        (("--piece", "2026-05-05-moth"), 0),
        (("--piece", "2026-05-05-moth", "--alert", "know"), 1),
        (("--piece", "2026-05-05-moth", "--alert", "stops"), 0),
        (("--alert", "never"), 0),
        (("--about", "image"), 0),
        (("--piece", "2026-05-05-mot"), 2),
        (("--alert", "perhaps"), 2),
        (("--piece", "2026-05-05-moth", "--fail-on", "note"), 1),
        (("--code", "image", "--fail-on", "note"), 0),
    ],
)
def test_the_exit_code_follows_the_findings_asked_for(audit, options, code):
    assert audit(*options)[0] == code


def test_every_finding_of_the_archive_is_told_in_one_run(tmp_path, monkeypatch, capsys):
    root = tmp_path / "content"
    write(root, "pieces/a/piece.toml", 'title = "A"\nfinished = "14.3.2026"\n[[photo]]\nfile = "photos/none.jpg"\n')
    write(root, "pieces/b/piece.toml", "title = B\njust words\n")
    write(root, "pieces/C c/piece.toml", "")
    write(root, "pieces/d/photos/a.jpg", "no picture")
    write(root, "pieces/d/piece.toml", 'title = "D"\nclient = "X"\n')
    write(root, "clients.toml", "[[client]]\nname = 1\n")
    run(monkeypatch, "audit", "--archive", root, "--out", tmp_path / "out", "--format", "json")
    found = {finding["code"] for finding in json.loads(capsys.readouterr().out)}
    assert found >= {
        "record.broken", "record.read-as", "image.not-a-picture", "record.missing-key", "record.missing-file",
    }  # fmt: skip


def test_a_code_that_does_not_exist_is_no_clean_bill(audit):
    code, said = audit("--about", "nonsense")
    assert code == 2
    assert "Nothing found" not in said
