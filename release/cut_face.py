"""Cut the face for Chinese, Japanese and Korean to the characters that titles, names and notes need.

    .venv/bin/pip install '.[release]' && .venv/bin/python release/cut_face.py

Writes archgen/render/faces: the face and its licence. Its name is changed, as the licence asks where one is reserved.
Takes some minutes; the same source and fontTools give the same bytes.
"""

from collections.abc import Iterator
from importlib import metadata, resources
from pathlib import Path
from typing import Any

from fontTools import subset
from fontTools.ttLib import TTFont

SOURCE = "noto_cjk_sans_jp_regular"
FACES = Path(__file__).resolve().parent.parent / "archgen/render/faces"
FAMILY = "Archgen CJK"
# All of the basic block of ideographs, all Korean syllables, the letters and signs around them.
BLOCKS = ((0x1100, 0x11FF), (0x3000, 0x33FF), (0x4E00, 0x9FFF), (0xAC00, 0xD7A3), (0xFF00, 0xFFEF))
# What national standards add: names above all.
STANDARDS = ("euc_jis_2004", "cp932", "gb2312", "big5", "euc_kr")
# Spellings of Japanese family names that no standard tells from the usual ones.
NAMES = "𠮷𡈽"
# Where a language of the archive asks for its own forms; for others the drawing stays the Japanese one.
FORMS = {"ZHS ": "gb2312", "KOR ": "euc_kr"}
FEATURES = ("ccmp", "ljmo", "vjmo", "tjmo", "locl")
# For setting text downwards, and for spacing that this face is not set with.
TABLES = ("BASE", "DSIG", "GPOS", "VORG", "vhea", "vmtx")


def characters(encoding: str) -> frozenset[int]:
    """List what a national standard can write, by the codec of the standard library."""

    def decoded() -> Iterator[str]:
        for prefix in (b"", b"\x8f"):
            for lead in range(0x81, 0xFF):
                for trail in range(0x40, 0xFF):
                    try:
                        yield (prefix + bytes([lead, trail])).decode(encoding)
                    except UnicodeDecodeError:
                        continue

    return frozenset(ord(character) for text in decoded() for character in text)


def keep_forms(font: TTFont) -> None:
    """Leave out the forms of other regions, but for those of the languages and characters in FORMS."""
    glyphs, table = font.getBestCmap(), font["GSUB"].table
    for script in table.ScriptList.ScriptRecord:
        for system in script.Script.LangSysRecord:
            encoding = FORMS.get(system.LangSysTag)
            kept = {glyphs.get(character) for character in characters(encoding)} if encoding else set()
            for feature in (table.FeatureList.FeatureRecord[index] for index in system.LangSys.FeatureIndex):
                if feature.FeatureTag == "locl" and system.LangSysTag.startswith(("ZH", "KOR")):
                    drop_other(table.LookupList.Lookup[feature.Feature.LookupListIndex[0]], kept)


def drop_other(lookup: Any, kept: set[str | None]) -> None:
    """Leave out of a lookup what it does with other glyphs."""
    for part in lookup.SubTable:
        table = getattr(part, "ExtSubTable", part)
        table.mapping = {glyph: form for glyph, form in table.mapping.items() if glyph in kept}


def rename(font: TTFont, source: str) -> None:
    """Give the face its own name everywhere; who made it and under which licence stays."""
    names, post_script = font["name"], FAMILY.replace(" ", "")
    version = f"{names.getDebugName(5)}; cut by archgen"
    names.names = [one for one in names.names if one.platformID == 3 and one.langID == 0x409 and one.nameID != 7]
    own = {1: FAMILY, 3: f"{post_script}-Regular; {source}", 4: FAMILY, 5: version, 6: f"{post_script}-Regular"}
    for number, text in own.items():
        names.setName(text, number, 3, 1, 0x409)
    cff = font["CFF "].cff
    cff.fontNames = [f"{post_script}-Regular"]
    cff[0].FullName = cff[0].FamilyName = FAMILY


def main() -> None:
    """Cut, rename, write."""
    (file,) = (one for one in resources.files(SOURCE).iterdir() if one.name.endswith(".otf"))
    font = TTFont(str(file), recalcTimestamp=False)
    wanted = {code for first, last in BLOCKS for code in range(first, last + 1)}.union(
        *map(characters, STANDARDS), map(ord, NAMES)
    )
    keep_forms(font)
    options = subset.Options(hinting=False, notdef_outline=True, name_IDs=["*"], layout_features=list(FEATURES))
    options.drop_tables += list(TABLES)
    subsetter = subset.Subsetter(options)
    subsetter.populate(unicodes=wanted & set(font.getBestCmap()))
    subsetter.subset(font)
    rename(font, f"{SOURCE} {metadata.version(SOURCE)}")
    FACES.mkdir(exist_ok=True)
    font.save(FACES / "archgen-cjk.otf")
    licence = metadata.distribution(SOURCE).read_text("licenses/LICENSE") or ""
    holder = "Copyright 2014-2021 Adobe (http://www.adobe.com/), with Reserved Font Name 'Source'."
    note = f"{FAMILY} is Noto Sans CJK JP cut to fewer characters, under a name of its own; the outlines are unchanged."
    (FACES / "OFL.txt").write_text(f"{note}\n\n{holder}\n\n{licence}", encoding="utf-8")


if __name__ == "__main__":
    main()
