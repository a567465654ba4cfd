"""Modules import only from lower layers, or from their own package."""

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
PACKAGE = ROOT / "archgen"
MOST_MODULES = 14


def floors():
    """Read the table of rooms in DEVELOPERS.md: the only list of them."""
    found = {"archgen": 0}
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    table = text.partition("## Rooms and floors")[2].partition("\n## ")[0]
    for floor, rooms in re.findall(r"^\| (\d+) \| ([^|]+) \|", table, re.MULTILINE):
        found |= {f"archgen.{room}": int(floor) for room in re.findall(r"`([\w.]+)`", rooms)}
    return found


# The longest matching prefix counts.
LAYERS = floors()


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


def test_every_module_has_a_room_in_the_table_and_every_room_is_there():
    paths = (path.relative_to(PACKAGE).with_suffix("").parts for path in PACKAGE.rglob("*.py"))
    modules = {".".join(("archgen", *parts)).removesuffix(".__init__") for parts in paths}
    assert set(LAYERS) <= modules
    assert {module for module in modules if home(module) == "archgen"} == {"archgen"}


def test_no_room_is_crowded():
    folders = {path.parent for path in PACKAGE.rglob("*.py")}
    crowded = {
        folder.name: count
        for folder in folders
        if (count := sum(not path.stem.startswith("__") for path in folder.glob("*.py"))) > MOST_MODULES
    }
    assert not crowded


def test_one_class_name_stands_once_in_the_package():
    places = {}
    for path in PACKAGE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ClassDef):
                places.setdefault(node.name, []).append(path.relative_to(PACKAGE).as_posix())
    assert {name: found for name, found in places.items() if len(found) > 1} == {}
