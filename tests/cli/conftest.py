"""Fixtures of the command-line tests."""

from tests.cli.archive import terminal

__all__ = ["terminal"]
