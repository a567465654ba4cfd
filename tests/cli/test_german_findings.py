"""What is asked about a messy archive is asked in German where the archive is German, and in English as ever."""

import json
import re
from contextlib import redirect_stdout
from io import StringIO

import pytest

from archgen.languages.language import language
from archgen.publication.gate import RightKind
from archgen.publication.gate_questions import CREDIT, MODEL_TERMS, MODEL_USED, PEOPLE, SCREEN_CAPTURE
from archgen.publication.gate_table import LEFT_OUT, NAME_IT, NOTHING_ALLOWED, TABLE
from archgen.records.vocabulary.licences import PLAIN_WORDS, RIGHTS_STATEMENTS
from tests.cli.full_archive import run, write, write_archive
from tests.sloppy_records import THIRTEEN

# One line each that the reader of the file can't take as it is.
BROKEN = (
    "title = “Owl”", "[size", "hours: 3", "größe = 3", "finished on = 2026-03-14", "just words",
    "finished = 2026-13-45", "finished = 14/3/26/1", 'title = "a" client = "C-1"', "publish = Yes", 'width = "2.5""',
    'title = "a "b" c""', 'styles = "a", "b"', "size = {width = 3", "width = 62 mn,", "hours = 3,5,",
    'file = "a\\b.jpg"', "title = 'owl's'", 'title = "open', "styles = [1, 2", "title =", "title = Owl and more",
    "[[[photo]]]", "title.title.title = 3 4",
)  # fmt: skip
VALUES = (
    "title = 3", "publish = 7", "client = true", "finished = 3", "styles = 3", "size = 3", 'size = "x"', "photo = 3",
    '[size]\nwidth = "wide"', "[size]\nwidth = true", '[placement]\nregion = "left of it"', "[placement]\nside = 4",
    '[placement]\nregion = "left forearm"\nside = "right"', '[[sitting]]\nhours = "sometimes"',
    "[[sitting]]\nhours = 99", '[[sitting]]\ndate = "soon"', '[[sitting]]\ndate = "03/04/2026"',
    "[[sitting]]\ndate = 2099-01-01", "surprise = 3", "[surprise]\nx = 3", '[[needle]]\ncode = "10"',
    '[[needle]]\ncode = "1410RL ?, 12 mag soft edge"', '[[needle]]\nuse = "lines"', '[[ink]]\nname = "black"',
    '[[ink]]\nbatch = "GW2"', '[release]\nstatus = "maybe"',
    '[release]\nstatus = "granted"\nscope = ["web", "portfolio only"]', '[release]\nstatus = "refused"',
    '[release]\nstatus = "granted"\ndate = 2099-01-01\nscope = ["portfolio"]\nfile = "no.pdf"',
    '[release]\nstatus = "granted"\nexpires = 2020-01-01\nscope = ["print"]', "[release]\nwithdrawn = 2026-01-01",
    '[rights_override]\nreason = ""', '[rights_override]\nreason = "so"\ndate = 2099-01-01', "[values]\ntones = 99",
    '[[stencil]]\nfile = "stencils/../x.png"\nparent = 9\nversion = 2',
    '[[stencil]]\nfile = "https://example.org/a.png"', '[[photo]]\nfile = "photos/none.jpg"\nstage = "old"',
    '[[photo]]\nfile = "koi.jpg"', "[[photo]]\nstage = 3",
    '[[stencil]]\nfile = "a.svgz"\napplied = true\nversion = 1\n[[stencil]]\nfile = "b"\napplied = true\nversion = 1',
    '[[reference]]\nsource = "https://example.org/a"\nlicense = "free for all"', '[[reference]]\nlikeness = "me"',
    '[[reference]]\nmade_from = ["references/none.jpg"]\ndigital_source = "painted"', 'title = ""', "title = []",
    '[[reference]]\nfile = "references/a.jpg"\nmade_from = ["references/a.jpg"]\nlicense = "stock"',
)  # fmt: skip


def _references():
    for word in (
        *PLAIN_WORDS,
        *RIGHTS_STATEMENTS,
        "CC0-1.0",
        "CC-PDM-1.0",
        "MIT",
        *(f"CC-{terms}-4.0" for terms in CC),
    ):
        yield f'[[reference]]\nsource = "https://example.org/{word}"\nlicense = "{word}"'
    for likeness in ("client", "consented", "public-figure", "minor", "unknown"):
        yield f'[[reference]]\nsource = "https://example.org/{likeness}"\nlicense = "own-work"\nlikeness = "{likeness}"'
    for source in ("screenCapture", "trainedAlgorithmicMedia", "composite", "compositeSynthetic"):
        yield f'[[reference]]\nsource = "https://example.org/{source}"\ndigital_source = "{source}"'
    for more in ("expires = 2020-01-01", "obtained = 2099-01-01", 'allows = ["tattoo"]', "allows = []", "used = false"):
        yield f'[[reference]]\nsource = "https://example.org/x"\nlicense = "stock"\n{more}'
    yield '[[reference]]\nsource = "https://example.org/y"\nmade_from = ["https://example.org/z"]'
    yield '[[reference]]\nsource = "https://example.org/w"\nai_system = "Model 3"\nlicense = "own-work"'


CC = ("BY", "BY-SA", "BY-NC", "BY-NC-SA", "BY-ND", "BY-NC-ND")


@pytest.fixture(scope="module")
def messy(tmp_path_factory):
    """An archive in which nearly everything is asked about."""
    root = write_archive(tmp_path_factory.mktemp("messy") / "archive")
    for sloppy in THIRTEEN:
        write(root, f"pieces/{sloppy.folder}/piece.toml", sloppy.text)
    for number, text in enumerate((*BROKEN, *VALUES)):
        write(root, f"pieces/messy-{number:03}/piece.toml", f'title = "M{number}"\npublish = true\n{text}\n')
    owl = 'title = "O"\npublish = true\n'
    for number, text in enumerate(_references()):
        write(root, f"pieces/right-{number:03}/piece.toml", f"{owl}{text}\n")
    write(root, "pieces/loose.txt", "x")
    write(root, "pieces/two/piece-1.toml", owl)
    write(root, "pieces/two/piece-2.toml", owl)
    write(root, "pieces/none/photos/a.txt", "x")
    write(root, "doubles.toml", '[[same]]\nimages = ["pieces/none.jpg"]\n')
    return root


@pytest.fixture(scope="module")
def findings(messy, tmp_path_factory):
    """The findings of the archive in English, and of the same with the same cache once it is German."""
    said, out = {}, tmp_path_factory.mktemp("out") / "built"
    for tag in ("en", "de"):
        (messy / "archive.toml").write_text(f'[archive]\nlanguage = "{tag}"\n[portfolio]\norder = ["owl"]\n', "utf-8")
        with pytest.MonkeyPatch.context() as patch, redirect_stdout(StringIO()) as printed:
            run(patch, "audit", "--archive", messy, "--out", out, "--format", "json")
        said[tag] = json.loads(printed.getvalue())
    return said


# What is written as it stands in a record, a path or a command: in quotes, behind a key, with a dot or a hyphen in it.
_AS_WRITTEN = re.compile(
    r"“[^”]*”|„[^“]*“|\"[^\"]*\"|'[^']*'|\w+ = \S+|\[+[\w.]*\]+|\(\S+Error: .*\)|\S*[/._=-]\S*|archgen .*"
)
_THREE = re.compile(r"(?=\b([^\W\d_]+ [^\W\d_]+ [^\W\d_]+)\b)")


def _runs_of_three(text):
    return set(_THREE.findall(_AS_WRITTEN.sub(" | ", text).lower()))


def test_the_same_is_asked_in_both_languages(findings):
    of = {tag: [(one["code"], one["file"], one["line"]) for one in said] for tag, said in findings.items()}
    assert sorted(map(repr, of["en"])) == sorted(map(repr, of["de"]))
    assert len({one["code"] for one in findings["en"]}) >= 60


def test_no_three_words_of_a_german_finding_are_english(findings):
    """Compared with all that was said in English, which leaves what the artist wrote."""
    english = {
        run for one in findings["en"] for text in (one["problem"], one["remedy"]) for run in _runs_of_three(text)
    }
    found = {
        (one["code"], text, run)
        for one in findings["de"]
        for text in (one["problem"], one["remedy"])
        for run in _runs_of_three(text) & english
    }
    assert sorted(found) == []


def test_no_finding_is_the_same_in_both_languages(findings):
    english = {one["problem"] for one in findings["en"]} | {one["remedy"] for one in findings["en"]}
    german = {text for one in findings["de"] for text in (one["problem"], one["remedy"])}
    assert sorted(german & english) == []


def test_every_cell_and_every_way_out_of_the_gate_has_a_german_sentence():
    german = language("de")
    lines = (*TABLE.values(), *PEOPLE.values(), CREDIT, SCREEN_CAPTURE, MODEL_USED, MODEL_TERMS)
    cells = [cell for line in lines for cell in (line.use, line.show_reference, line.show_piece)]
    sentences = {cell.words for cell in (*cells, LEFT_OUT, NOTHING_ALLOWED)} | {line.changed_by for line in lines}
    assert [words for words in sentences | {NAME_IT} if words and german.gettext(words) == words] == []
    assert [kind for kind in RightKind if not german.has("right", kind.value)] == []
