"""Read a catalogue of translated words as gettext's PO files hold them (GNU gettext manual, "The Format of PO Files").

The library that writes and checks these files weighs as much as all else that says words here, so it is only asked in
tests; what is said is looked up by the standard library's gettext.
"""

import gettext
import json
import re
from collections.abc import Iterator

# Between the context of a message and the message itself, in catalogues that are ready to be asked (the same manual).
_CONTEXT = "\x04"
_LINE = re.compile(r'(?:(msgctxt|msgid_plural|msgid|msgstr)(?:\[(\d+)\])?\s+)?(".*")')


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
        if entry.get("msgstr"):
            messages[key] = entry["msgstr"]
        forms = [name for name in entry if name.startswith("msgstr[")]
        if all(entry[name] for name in forms):
            messages |= {(key, int(name[7:-1])): entry[name] for name in forms}
    return WordCatalogue(messages, plural_forms)


def _entries(text: str) -> Iterator[dict[str, str]]:
    """Give each entry that counts as its texts by keyword; plural forms by ``msgstr[0]`` and so on."""
    for block in re.split(r"\n\s*\n", text.replace("\r\n", "\n")):
        lines = block.splitlines()
        if any(line.startswith("#,") and "fuzzy" in line for line in lines):
            continue
        entry: dict[str, str] = {}
        name = ""
        for line in lines:
            if found := _LINE.fullmatch(line.strip()):
                name = (f"{found[1]}[{found[2]}]" if found[2] else found[1]) if found[1] else name
                # The escapes of a quoted text are those of C, and those in use are JSON's too.
                entry[name] = entry.get(name, "") + str(json.loads(found[3]))
        if entry:
            yield entry
