"""Modules import only from lower layers, or from their own package."""

import ast
from pathlib import Path

import pytest

PACKAGE = Path(__file__).resolve().parent.parent / "archgen"
# The longest matching prefix counts.
LAYERS = {
    "archgen": 0,
    "archgen.clock": 1,
    "archgen.errors": 1,
    "archgen.findings": 1,
    "archgen.progress": 1,
    "archgen.units": 1,
    "archgen.papers": 2,
    "archgen.storage": 2,
    "archgen.toml": 2,
    "archgen.config": 3,
    "archgen.images": 3,
    "archgen.records": 3,
    "archgen.render": 3,
    "archgen.twins": 3,
    "archgen.catalogue": 4,
    "archgen.doubles": 5,
    "archgen.gauging": 5,
    "archgen.audit": 5,
    "archgen.outputs": 6,
    "archgen.proposals": 6,
    "archgen.publish": 6,
    "archgen.build": 7,
    "archgen.calibrate": 7,
    "archgen.report": 8,
    "archgen.watch": 8,
    "archgen.commands": 9,
    "archgen.cli": 10,
    "archgen.__main__": 11,
}


def home(module):
    while module not in LAYERS:
        module = module.rpartition(".")[0]
    return module


def imports(path):
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module:
            yield node.module
        elif isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)


@pytest.mark.parametrize("path", sorted(PACKAGE.rglob("*.py")), ids=lambda p: p.relative_to(PACKAGE).as_posix())
def test_a_module_imports_only_downwards(path):
    module = "archgen." + ".".join(path.relative_to(PACKAGE).with_suffix("").parts).removesuffix(".__init__")
    here = home(module.removesuffix(".__init__"))
    wrong = [
        name
        for name in imports(path)
        if name.split(".")[0] == "archgen" and home(name) != here and LAYERS[home(name)] >= LAYERS[here]
    ]
    assert not wrong, f"{module} (layer {LAYERS[here]}) imports {wrong}"
