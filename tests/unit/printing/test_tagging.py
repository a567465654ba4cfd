"""Printed sheets to those who listen: PDF/UA-1 (ISO 14289-1) by a checker of its rules, the tree walked by pikepdf."""

import datetime as dt
import subprocess
from dataclasses import replace
from io import BytesIO

import outloud
import pikepdf
import pytest

from archgen.config import PrinterSettings
from archgen.printing import stencil_pdf
from archgen.printing.page import Rect
from archgen.printing.reference_pdf import write_reference
from archgen.printing.ruler_pdf import write_ruler
from archgen.printing.stencil_plan import StencilPrint
from tests.unit.printing.test_ruler_and_reference import reference_job
from tests.unit.printing.test_stencil_pdf import MARKS, planned

PAINTS = {"S", "f", "Do", "TJ", "Tj", "B", "sh", "EI"}


def two_and_a_part():
    two = [StencilPrint(MARKS, width_mm=60, label="Version 1"), StencilPrint(MARKS, width_mm=45, label="Version 2")]
    return stencil_pdf.write(planned(*two, StencilPrint(MARKS, width_mm=300, label="Version 3"), mirror=True))


MADE = {
    "stencil": two_and_a_part,
    "reference": lambda: write_reference(reference_job(150)),
    "ruler": lambda: write_ruler(PrinterSettings(), dt.date(2026, 3, 14)),
}


@pytest.fixture(scope="module", params=MADE)
def made(request, tmp_path_factory):
    path = tmp_path_factory.mktemp("tagged") / f"{request.param}.pdf"
    path.write_bytes(MADE[request.param]())
    return request.param, path


def elements(pdf):
    return list(pdf.Root.StructTreeRoot.K[0].K)


def figures(pdf):
    return [(pdf.pages.index(pikepdf.Page(one.Pg)), str(one.Alt)) for one in elements(pdf) if one.S == "/Figure"]


def test_a_checker_of_the_rules_and_readers_find_nothing_wrong(made, pdfinfo, qpdf):
    _, path = made
    result = outloud.check(str(path))
    assert (result.error, result.errors) == (None, 0)
    said = subprocess.run([pdfinfo, path], capture_output=True, text=True, check=True)
    assert "Tagged:          yes" in said.stdout
    assert said.stderr == ""
    assert subprocess.run([qpdf, "--check", path], capture_output=True, check=False).returncode == 0


def test_the_file_says_that_it_is_pdf_ua_1_and_has_a_title_and_a_language(made):
    with pikepdf.open(made[1]) as pdf:
        with pdf.open_metadata() as metadata:
            assert metadata["pdfuaid:part"] == "1"
            assert metadata["dc:title"] == str(pdf.docinfo["/Title"])
        assert pdf.Root.ViewerPreferences.DisplayDocTitle
        assert pdf.Root.ViewerPreferences.PrintScaling == "/None"
        assert (pdf.Root.MarkInfo.Marked, pdf.Root.Lang) == (True, "en")


def test_all_that_is_painted_is_an_artifact_or_stands_in_the_tree_once(made):
    with pikepdf.open(made[1]) as pdf:
        parents = pikepdf.NumberTree(pdf.Root.StructTreeRoot.ParentTree)
        for page in pdf.pages:
            open_marks, seen = [], []
            for operands, operator in pikepdf.parse_content_stream(page):
                match str(operator):
                    case "BDC":
                        open_marks.append(operands)
                        seen.append((int(operands[1].MCID), str(operands[0])))
                    case "BMC":
                        assert operands[0] == "/Artifact"
                        open_marks.append(operands)
                    case "EMC":
                        open_marks.pop()
                    case name if name in PAINTS:
                        assert len(open_marks) == 1, name
            row = list(parents[int(page.obj.StructParents)])
            assert sorted(number for number, _ in seen) == list(range(len(row)))
            for number, tag in seen:
                assert int(row[number].K[0]) == number
                assert row[number].Pg.objgen == page.obj.objgen
                assert (tag == "/Figure") == (row[number].S == "/Figure")


def test_every_drawing_is_one_figure_that_says_what_it_is(made):
    name, path = made
    tiles = [f"Stencil of Barn owl, Version 3, 300 × 400 mm, row {r} of 2, column {c} of 2, mirrored"
             for r in (1, 2) for c in (1, 2)]  # fmt: skip
    small = [f"Stencil of Barn owl, Version {n}, {size} mm, mirrored" for n, size in ((1, "60 × 80"), (2, "45 × 60"))]
    expected = {
        "stencil": [(0, small[0]), (0, small[1]), *enumerate(tiles, 1)],
        "reference": [
            (0, "Koi. The reference as it is, 150 × 225 mm"),
            (1, "Koi. The reference in tones: bare skin 25%, wash 1 25%, wash 2 25%, black 25%, 150 × 225 mm"),
        ],
        "ruler": [],
    }
    with pikepdf.open(path) as pdf:
        assert figures(pdf) == expected[name]


def test_what_is_heard_comes_sheet_by_sheet_the_title_first_the_drawing_last(made):
    with pikepdf.open(made[1]) as pdf:
        pages = [pdf.pages.index(pikepdf.Page(one.Pg)) for one in elements(pdf)]
        assert pages == sorted(pages)
        for number in range(len(pdf.pages)):
            kinds = [str(one.S) for one, page in zip(elements(pdf), pages, strict=True) if page == number]
            drawn = len([page for page, _ in figures(pdf) if page == number])
            assert kinds == ["/H1", *["/P"] * (len(kinds) - 1 - drawn), *["/Figure"] * drawn]
            words = len(kinds) - 1 - drawn
            assert words > 5


def test_a_figure_has_the_place_of_the_drawing_on_the_printers_sheet():
    job = planned(StencilPrint(MARKS, width_mm=60, region=Rect(10, 5, 25, 30)))
    with pikepdf.open(BytesIO(stencil_pdf.write(job))) as pdf:
        (box,) = [one.A[0].BBox for one in elements(pdf) if one.S == "/Figure"]
        assert [float(side) for side in box] == [float(side) for side in pdf.pages[0].ArtBox]
        assert figures(pdf) == [(0, "Stencil of Barn owl, 60 × 80 mm, part of it, 25 × 30 mm, mirrored")]


def test_stencils_of_several_pieces_are_read_out_with_their_own_titles():
    two = [StencilPrint(MARKS, width_mm=40, label=f"{title}, version 1") for title in ("Koi", "Barn owl")]
    plan = planned(*two)
    with pikepdf.open(BytesIO(stencil_pdf.write(plan))) as pdf:
        said = [words for _, words in figures(pdf)]
    assert said == [f"Stencil of {title}, version 1, 40 × 53.3 mm, mirrored" for title in ("Koi", "Barn owl")]


def test_the_numbers_on_a_rule_are_not_read_out(made, pdfinfo):
    told = subprocess.run([pdfinfo, "-struct-text", made[1]], capture_output=True, text=True, check=True).stdout
    said = [line.strip() for line in told.splitlines() if line.strip().startswith('"')]
    assert '"must measure 100 mm"' in said
    assert not {'"0"', '"50"', '"100"'} & set(said)


def test_a_sheet_without_a_title_is_set_all_the_same():
    plan = planned(StencilPrint(MARKS, width_mm=60))
    with pikepdf.open(BytesIO(stencil_pdf.write(replace(plan, job=replace(plan.job, title=""))))) as pdf:
        assert elements(pdf)[0].S == "/P"
