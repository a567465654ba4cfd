"""Give the words that a theme's scripts say, in a language; knows scripts and words, no page.

A script writes ``say("English words", {name: …})``, and ``sayCount("{number} piece", "{number} pieces", n)`` where a
number decides. It finds what these are in its language as data; in English there is none.
"""

import json
import re
from collections.abc import Iterable, Iterator

from archgen.languages.language import Language

_TEXT = r'("(?:[^"\\]|\\.)*")'
_SAID = re.compile(rf"\bsay\({_TEXT}|\bsayCount\({_TEXT}, {_TEXT}")
# Numbers that stand for the two forms which scripts tell apart.
_ONE, _MANY = 1, 2


def said_in_script(script: str) -> Iterator[tuple[str, ...]]:
    """Give the words a script says, those of a number in two forms."""
    for found in _SAID.finditer(script):
        yield tuple(json.loads(text) for text in found.groups() if text)


def script_words(scripts: Iterable[str], spoken: Language) -> str:
    """Give the words of scripts in a language as JSON; empty for English, and what isn't translated is left out."""
    if spoken.is_source:
        return ""
    words: dict[str, object] = {"months": [pattern.replace("{}", "{year}") for pattern in spoken.short_months]}
    for script in scripts:
        words |= {said[0]: translated for said in said_in_script(script) if (translated := _translated(said, spoken))}
    return json.dumps(words, ensure_ascii=False, sort_keys=True)


def _translated(said: tuple[str, ...], spoken: Language) -> str | list[str] | None:
    if len(said) > 1:
        forms = [spoken.counted_form(said[0], said[1], number) for number in (_ONE, _MANY)]
        return forms if forms != list(said) else None
    words = spoken.gettext(said[0])
    return words if words != said[0] else None
