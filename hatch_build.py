"""Write the README as a package index shows it, which knows no pictures beside the file.

With ARCHGEN_PICTURES, the address under which the files of this repository can be fetched, the pictures are named by
their whole addresses; without it they are left out.
"""

import os
import re
from pathlib import Path
from typing import Any

from hatchling.metadata.plugin.interface import MetadataHookInterface

_PICTURES = re.compile(r"<!-- pictures -->\n.*?<!-- end of pictures -->\n+", re.DOTALL)


class IndexReadme(MetadataHookInterface):
    """Sets the field readme."""

    def update(self, metadata: dict[str, Any]) -> None:
        """Set it."""
        text = Path(self.root, "README.md").read_text(encoding="utf-8")
        shown = index_readme(text, os.environ.get("ARCHGEN_PICTURES"))
        metadata["readme"] = {"content-type": "text/markdown", "text": shown}


def index_readme(text: str, address: str | None) -> str:
    """Name the pictures by their whole addresses, or leave them out."""
    return (
        text.replace("](tests/shots/", f"]({address.rstrip('/')}/tests/shots/") if address else _PICTURES.sub("", text)
    )
