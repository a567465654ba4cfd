"""Letters as small PDF files: one page of plain words. Knows text, not pieces."""

import textwrap

WIDTH, HEIGHT = 595, 842
LEFT, TOP, LEADING = 72, 760, 16
COLUMNS = 78


def letter(title: str, paragraphs: tuple[str, ...]) -> bytes:
    """Set a letter on one A4 page in Helvetica (PDF 1.4, ISO 32000-1 object layout)."""
    lines: list[str] = []
    for paragraph in paragraphs:
        lines += [*textwrap.wrap(paragraph, COLUMNS), ""]
    shown = "".join(f"({_escaped(line)}) Tj T*\n" for line in lines)
    content = (
        f"BT /F2 14 Tf {LEFT} {TOP} Td ({_escaped(title)}) Tj /F1 11 Tf 0 {-2 * LEADING} Td {LEADING} TL\n{shown}ET"
    ).encode("cp1252")
    font = b"<< /Type /Font /Subtype /Type1 /BaseFont /%s /Encoding /WinAnsiEncoding >>"
    objects = (
        b"<< /Type /Catalog /Pages 2 0 R >>",
        b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
        b"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 %d %d] /Contents 4 0 R "
        b"/Resources << /Font << /F1 5 0 R /F2 6 0 R >> >> >>" % (WIDTH, HEIGHT),
        b"<< /Length %d >>\nstream\n%s\nendstream" % (len(content), content),
        font % b"Helvetica",
        font % b"Helvetica-Bold",
    )
    return _file(objects)


def _escaped(line: str) -> str:
    return line.replace("\\", r"\\").replace("(", r"\(").replace(")", r"\)")


def _file(objects: tuple[bytes, ...]) -> bytes:
    out, offsets = b"%PDF-1.4\n%\xe2\xe3\xcf\xd3\n", list[int]()
    for number, body in enumerate(objects, 1):
        offsets.append(len(out))
        out += b"%d 0 obj\n%s\nendobj\n" % (number, body)
    table = b"".join(b"%010d 00000 n \n" % offset for offset in offsets)
    size = len(objects) + 1
    out += b"xref\n0 %d\n0000000000 65535 f \n%strailer\n<< /Size %d /Root 1 0 R >>\n" % (size, table, size)
    return out + b"startxref\n%d\n%%%%EOF\n" % out.rindex(b"xref\n0 ")
