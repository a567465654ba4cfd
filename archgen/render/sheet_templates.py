"""Give the typst templates of sheets in the language of the house; knows templates and words, no sheet.

A template writes ``say("English words")``, or ``say("sheet {number}", number: …)`` with values. The words are put into
the template itself, so whatever counts as its text counts for the language too.
"""

import json
import re
from collections.abc import Iterator

from archgen.languages.house import house
from archgen.languages.language import SOURCE
from archgen.render.html import load_theme

_SAID = re.compile(r'\bsay\(("(?:[^"\\]|\\.)*")')
# Fills values into words; two or three letters are all that typst takes of a language.
_PRELUDE = """#let say(words, ..values) = {
  let said = words
  for (name, value) in values.named() { said = said.replace("{" + name + "}", str(value)) }
  said
}
#let house-language = %s
"""


def sheet_template(name: str) -> str:
    """Give a template of the theme for sheets."""
    text = load_theme("sheet").files[name].read_text(encoding="utf-8")
    spoken = house()
    said = _SAID.sub(lambda found: f"say({_quoted(spoken.gettext(json.loads(found[1])))}", text)
    base = spoken.tag.partition("-")[0].lower()
    return _PRELUDE % _quoted(SOURCE if spoken.is_source else base) + said


def said_in(text: str) -> Iterator[str]:
    """Give the words that a template says."""
    return (json.loads(found[1]) for found in _SAID.finditer(text))


def _quoted(text: str) -> str:
    # The escapes of a string are those of JSON, as far as these are in use (typst's reference, "String").
    return json.dumps(text, ensure_ascii=False)
