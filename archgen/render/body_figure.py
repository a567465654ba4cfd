"""Mark a place on the body figure; knows the figure's regions, not pieces.

The figure is an SVG with one group per region, whose paths say which side and view they belong to.
"""

import re

_PATH = re.compile(r'<path data-side="(\w+)" data-view="\w+" d="([^"]+)"/>')
_HATCH = (
    '<defs><pattern id="hatch" width="9" height="9" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
    '<rect width="9" height="9" fill="#fff"/><path d="M0 0v9" stroke="#000" stroke-width="7"/></pattern></defs>'
)


def marked(figure: str, region: str | None, side: str | None) -> str:
    """Hatch a region, on the client's own side when it has sides; an unknown region leaves the figure as it is."""
    group = re.search(rf'<g id="{re.escape(region)}"[^>]*>(.*?)</g>', figure, re.DOTALL) if region else None
    paths = _PATH.findall(group[1]) if group else []
    on_side = [outline for where, outline in paths if where == side] or [outline for _, outline in paths]
    if not on_side:
        return figure
    drawn = "".join(f'<path d="{outline}"/>' for outline in on_side)
    hatched = f'{_HATCH}<g fill="url(#hatch)" stroke="#000" stroke-width="3" stroke-linejoin="round">{drawn}</g>'
    return figure.replace("</svg>", f"{hatched}</svg>")
