"""Everyday words and words of the trade: a private text of one or two of them proves nothing where it is met.

A note that says "outline" is not given away by a page that says "outline". The list beside this module was written down
from memory, in English; a text in another language is compared like any other.
"""

from pathlib import Path

ORDINARY = frozenset(Path(__file__).with_suffix(".txt").read_text(encoding="utf-8").split())
