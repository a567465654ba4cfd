"""Mark a place on the body figure for print; knows the figure's regions, not pieces.

The figure is an SVG with one group per region, whose paths say which side and view they belong to.
"""

import re
from collections.abc import Iterable

_PATH = re.compile(r'<path data-side="(\w+)" data-view="\w+" d="([^"]+)"/>')
# Over the figure's colours for the screen: black lines, gray divisions, no words (the sheet sets its own).
_PRINT_STYLE = (
    "<style>.figure-regions{fill:#fff;stroke:#888}.figure-outline{stroke:#000}.figure-form{stroke:#888}"
    ".figure-words{display:none}</style>"
)
_HATCH = (
    '<defs><pattern id="hatch" width="9" height="9" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
    '<rect width="9" height="9" fill="#fff"/><path d="M0 0v9" stroke="#000" stroke-width="7"/></pattern></defs>'
)


def for_paper(figure: str, region: str | None, side: str | None) -> str:
    """Give the figure in black, a region hatched on the client's own side; an unknown region hatches nothing."""
    group = re.search(rf'<g id="{re.escape(region)}"[^>]*>(.*?)</g>', figure, re.DOTALL) if region else None
    paths = _PATH.findall(group[1]) if group else []
    return with_outlines(figure, [outline for where, outline in paths if where == side] or [one for _, one in paths])


def with_outlines(figure: str, outlines: Iterable[str]) -> str:
    """Give the figure in black with these outlines hatched."""
    drawn = "".join(f'<path d="{outline}"/>' for outline in outlines)
    hatched = f'{_HATCH}<g fill="url(#hatch)" stroke="#000" stroke-width="3" stroke-linejoin="round">{drawn}</g>'
    return figure.replace("</svg>", f"{_PRINT_STYLE}{hatched}</svg>")
