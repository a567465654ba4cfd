"""Make drawings of a tagged PDF figures with words for those who listen; knows PDF, not stencils."""

from collections.abc import Sequence

import pikepdf

from archgen.values.frozen import Value


class DrawnFigure(Value, frozen=True):
    """A drawing and what is read out in its place; the box is that of the PDF page, in points from the lower left."""

    words: str
    operators: tuple[str, ...]
    box: tuple[float, float, float, float]


def put_figures(pdf: pikepdf.Pdf, page: pikepdf.Page, figures: Sequence[DrawnFigure]) -> list[str]:
    """Put figures into the structure after the words of their page, and give the operators that draw them.

    The words were set with tags, so that the page has its row in the parent tree (ISO 32000-1, 14.7.4.4) and its
    elements in the document's order.
    """
    parents = pikepdf.NumberTree(pdf.Root.StructTreeRoot.ParentTree)
    document = pdf.Root.StructTreeRoot.K[0]
    elements, row = list(document.K), list(parents[int(page.obj.StructParents)])
    after = max(index for index, one in enumerate(elements, 1) if one.Pg.objgen == page.obj.objgen)
    body: list[str] = []
    for number, figure in enumerate(figures):
        place = pikepdf.Dictionary(O=pikepdf.Name.Layout, Placement=pikepdf.Name.Block, BBox=rounded(*figure.box))
        element = pikepdf.Dictionary(
            Type=pikepdf.Name.StructElem,
            S=pikepdf.Name.Figure,
            P=document,
            Pg=page.obj,
            Alt=figure.words,
            A=[place],
            K=[len(row)],
        )
        body += [f"/Figure <</MCID {len(row)}>> BDC", *figure.operators, "EMC"]
        row.append(pdf.make_indirect(element))
        elements.insert(after + number, row[-1])
    document.K, parents[int(page.obj.StructParents)] = pikepdf.Array(elements), pikepdf.Array(row)
    return body


def artifact(operators: Sequence[str]) -> list[str]:
    """Wrap operators that draw nothing to listen to, such as rules and lines to cut along."""
    return ["/Artifact BMC", *operators, "EMC"]


def rounded(*values: float) -> pikepdf.Array:
    """Give the sides of a box as PDF writes them."""
    return pikepdf.Array([round(value, 4) for value in values])
