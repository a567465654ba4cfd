"""What `archgen sleeve` says."""

from collections.abc import Iterator

from archgen.languages.house import say
from archgen.outputs.sheets.sleeve_sheet import SleeveSheet


def sleeve_lines(sheet: SleeveSheet) -> Iterator[str]:
    """Say in words what the sheet shows."""
    yield f"{sheet.title}: {sheet.said}"
    for row in sheet.rows:
        yield f"  {row.number} {row.title}: {', '.join(row.lines)}"
    for left_out in sheet.left_out:
        yield "  " + say("not drawn: {left_out}", left_out=left_out)
    for limb in sheet.limbs:
        yield ""
        yield say("{limb}, free skin in {unit}", limb=limb.name, unit=sheet.area_unit)
        for free in limb.free:
            yield f"  {free.part}: {free.whole} ({free.by_quarter})"
        yield from (f"  {line}" for line in limb.basis)
    for fits in sheet.fits:
        yield ""
        yield fits.title
        yield from (f"  {line}" for line in fits.lines)
    if sheet.plans:
        yield ""
        yield say("Noted for later")
        yield from (f"  {plan}" for plan in sheet.plans)
