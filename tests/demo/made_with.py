"""The library versions that content/ was made with: other versions may round or compress differently."""

from importlib.metadata import version

LIBRARIES = ("numpy", "pillow", "pillow-heif", "scipy")
MADE_WITH = {"numpy": "2.4.6", "pillow": "13.0.0", "pillow-heif": "1.8.1", "scipy": "1.17.1"}


def library_versions() -> dict[str, str]:
    """Give the versions at hand."""
    return {name: version(name) for name in LIBRARIES}
