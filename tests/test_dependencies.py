"""What an artist installs is what the package uses, and nothing else."""

import ast
import re
import sys
import tomllib
from importlib.metadata import packages_distributions
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent


def plain(name):
    """Spell a distribution as the index does (PyPA, name normalization)."""
    return re.sub(r"[-_.]+", "-", name).lower()


def sources():
    return [path.read_text(encoding="utf-8") for path in sorted((ROOT / "archgen").rglob("*.py"))]


def imported(source):
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.ImportFrom) and node.module:
            yield node.module.partition(".")[0]
        elif isinstance(node, ast.Import):
            yield from (alias.name.partition(".")[0] for alias in node.names)


def test_the_package_imports_what_it_requires_and_requires_what_it_uses():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    lines = (*project["dependencies"], *project["optional-dependencies"]["upload"])
    required = {plain(re.split(r"[<>=!~;\[ ]", line)[0]) for line in lines}
    texts = sources()
    modules = {name for text in texts for name in imported(text)} - sys.stdlib_module_names - {"archgen"}
    brought = {module: {plain(name) for name in names} for module, names in packages_distributions().items()}
    assert {module for module in modules if not brought[module] & required} == set()
    # A package of typefaces is named, not imported.
    named = {module for module in brought if any(f'"{module}"' in text for text in texts)}
    assert required <= {name for module in modules | named for name in brought[module]}
