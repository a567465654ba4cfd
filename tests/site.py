"""Write an output's files into a folder, as a build does."""

import shutil
from pathlib import Path

from archgen.outputs.artifact import Output


def write_site(output: Output, folder: Path) -> Path:
    for artifact in output.artifacts():
        target = folder / artifact.path
        assert not target.exists(), f"{artifact.path} is made twice"
        target.parent.mkdir(parents=True, exist_ok=True)
        if artifact.source is not None:
            shutil.copyfile(artifact.source, target)
        else:
            target.write_bytes(artifact.make())
    return folder
