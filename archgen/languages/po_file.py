"""Read a catalogue of translated words as gettext's PO files hold them (GNU gettext manual, "The Format of PO Files").

The library that writes and checks these files weighs as much as all else that says words here, so it is only asked in
tests; what is said is looked up by the standard library's gettext.
"""

import gettext
import json
import re
from collections.abc import Iterator

# Stands over words that are on pages for everybody; `release/take_words.py` writes it.
PUBLIC = "public"
# Between the context of a message and the message itself, in catalogues that are ready to be asked (the same manual).
_CONTEXT = "\x04"
_TEXT = re.compile(r'^(msgctxt|msgid_plural|msgid|msgstr(?:\[\d+\])?)[ \t]+(".*"(?:\n".*")*)', re.MULTILINE)
_UNSURE = re.compile(r"^#,.*\bfuzzy\b", re.MULTILINE)


class WordCatalogue(gettext.GNUTranslations):
    """A catalogue of translated words, read from text instead of the usual compiled form."""

    def __init__(self, messages: dict[str | tuple[str, int], str] | None = None, plural_forms: str = "") -> None:
        super().__init__()
        messages = messages or {}
        self._catalog = messages
        formula = re.search(r"plural\s*=\s*(.*?);?\s*$", plural_forms)
        # gettext's own reader of the formula, which lets through arithmetic and nothing else.
        self.plural = gettext.c2py(formula[1] if formula else "n != 1")

    def holds(self, context: str, message: str) -> bool:
        """Say whether there is a translation of a word."""
        return f"{context}{_CONTEXT}{message}" in self._catalog

    @property
    def messages(self) -> frozenset[str]:
        """Give every message that has a translation, without its context."""
        keys = (key[0] if isinstance(key, tuple) else key for key in self._catalog)
        return frozenset(key.rpartition(_CONTEXT)[2] for key in keys)


def read_po(text: str) -> WordCatalogue:
    """Give the catalogue; a message without a translation, or with one marked as unsure, is said in English."""
    messages: dict[str | tuple[str, int], str] = {}
    plural_forms = ""
    for entry in _entries(text):
        message = entry.get("msgid", "")
        if not message:
            header = re.search(r"^Plural-Forms:(.*)$", entry.get("msgstr", ""), re.MULTILINE)
            plural_forms = header[1] if header else ""
            continue
        key = f"{entry['msgctxt']}{_CONTEXT}{message}" if "msgctxt" in entry else message
        if "msgid_plural" not in entry:
            if entry.get("msgstr"):
                messages[key] = entry["msgstr"]
            continue
        forms = {int(name[7:-1]): said for name, said in entry.items() if name.startswith("msgstr[")}
        if all(forms.values()):
            messages |= {(key, number): said for number, said in forms.items()}
    return WordCatalogue(messages, plural_forms)


def public_words(text: str) -> Iterator[str]:
    """Give what a catalogue has for pages that everybody sees."""
    for block in _blocks(text):
        if f"#. {PUBLIC}\n" in block:
            yield from (said for name, said in _texts(block).items() if name.startswith("msgstr"))


def _entries(text: str) -> Iterator[dict[str, str]]:
    """Give each entry that counts as its texts by keyword; plural forms by ``msgstr[0]`` and so on."""
    sure = (block for block in _blocks(text) if not ("fuzzy" in block and _UNSURE.search(block)))
    return filter(None, map(_texts, sure))


def _blocks(text: str) -> list[str]:
    return text.replace("\r\n", "\n").split("\n\n")


def _texts(block: str) -> dict[str, str]:
    return {name: _read(quoted) for name, quoted in _TEXT.findall(block)}


def _read(quoted: str) -> str:
    written = quoted[1:-1].replace('"\n"', "")
    # The escapes of a quoted text are those of C, and those in use are JSON's too.
    return str(json.loads(f'"{written}"')) if "\\" in written else written
