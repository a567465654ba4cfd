"""A validator of bags by the rules of RFC 8493 alone, which shares nothing with the library that makes them.

Sections are those of RFC 8493, "The BagIt File Packaging Format (V1.0)", 2018; the rules in own words, from memory.
"""

import hashlib
import re
from pathlib import Path

_MANIFEST = re.compile(r"(tag)?manifest-([a-z0-9]+)\.txt")
_LINE = re.compile(r"([0-9a-fA-F]+)[ \t]+(?:\*|\./)?(.+)")
_OXUM = re.compile(r"(\d+)\.(\d+)")


def problems_of(bag):
    """Say every rule that a bag breaks, by its section."""
    bag = Path(bag)
    return [*_declaration(bag), *_payload(bag), *_tags(bag), *_about(bag), *_fetch(bag)]


def _declaration(bag):
    path = bag / "bagit.txt"
    if not path.is_file():
        return ["2.1.1 no bagit.txt"]
    content = path.read_bytes()
    if content.startswith(b"\xef\xbb\xbf"):
        return ["2.1.1 a byte order mark in bagit.txt"]
    lines = content.decode("utf-8").splitlines()
    if len(lines) != 2:
        return ["2.1.1 bagit.txt has not two lines"]
    found = []
    if not re.fullmatch(r"BagIt-Version: \d+\.\d+", lines[0]):
        found.append("2.1.1 no version")
    if not re.fullmatch(r"Tag-File-Character-Encoding: \S+", lines[1]):
        found.append("2.1.1 no encoding")
    return found


def _read_manifest(path):
    """Give digest by path, and what is wrong with its lines."""
    entries, found = {}, []
    for line in path.read_text(encoding="utf-8").splitlines():
        match = _LINE.fullmatch(line)
        if not match:
            found.append(f"2.1.3 {path.name}: not a digest and a path: {line!r}")
            continue
        name = re.sub(r"%(0[AaDd]|25)", lambda one: chr(int(one[1], 16)), match[2])
        if name.startswith(("/", "~")) or ".." in name.split("/"):
            found.append(f"5.1 {path.name} leads out of the bag: {name}")
        if name in entries:
            found.append(f"2.1.3 {path.name} has twice: {name}")
        entries[name] = match[1].lower()
    return entries, found


def _manifests(bag, tag):
    named = ((path, _MANIFEST.fullmatch(path.name)) for path in sorted(bag.iterdir()))
    return [(path, match[2]) for path, match in named if match and bool(match[1]) == tag]


def _wrong_digests(bag, path, algorithm, entries):
    for name, digest in entries.items():
        if not (bag / name).is_file():
            yield f"3 {path.name} names what is not there: {name}"
        elif hashlib.new(algorithm, (bag / name).read_bytes()).hexdigest() != digest:
            yield f"3 {path.name} has another digest of {name}"


def _payload(bag):
    if not (bag / "data").is_dir():
        return ["2.1.2 no folder data"]
    manifests = _manifests(bag, tag=False)
    if not manifests:
        return ["2.1.3 no manifest"]
    there = {path.relative_to(bag).as_posix() for path in (bag / "data").rglob("*") if path.is_file()}
    found = []
    for path, algorithm in manifests:
        entries, wrong = _read_manifest(path)
        found += wrong
        found += [f"2.1.3 {path.name} names no payload: {name}" for name in entries if not name.startswith("data/")]
        found += [f"3 {path.name} lacks {name}" for name in sorted(there - entries.keys())]
        found += _wrong_digests(bag, path, algorithm, entries)
    return found


def _tags(bag):
    payload = {algorithm for _, algorithm in _manifests(bag, tag=False)}
    found = []
    for path, algorithm in _manifests(bag, tag=True):
        entries, wrong = _read_manifest(path)
        found += wrong
        found += [f"2.2.1 {path.name} names {name}" for name in entries if name.startswith(("data/", "tagmanifest-"))]
        found += _wrong_digests(bag, path, algorithm, entries)
        found += [
            f"2.2.1 {path.name} lacks {one.name}" for one, _ in _manifests(bag, tag=False) if one.name not in entries
        ]
        if algorithm not in payload:
            found.append(f"2.2.1 {path.name} is of an algorithm that no manifest has")
    return found


def _about(bag):
    path = bag / "bag-info.txt"
    if not path.is_file():
        return []
    found, said = [], {}
    for line in path.read_text(encoding="utf-8").splitlines():
        if not re.match(r"[^\s:][^:]*: |\s+\S", line):
            found.append(f"2.2.2 not a label and a value: {line!r}")
        label, _, value = line.partition(": ")
        said.setdefault(label.casefold(), value)
    if oxum := said.get("payload-oxum"):
        files = [one for one in (bag / "data").rglob("*") if one.is_file()]
        match = _OXUM.fullmatch(oxum)
        if not match or (int(match[1]), int(match[2])) != (sum(one.stat().st_size for one in files), len(files)):
            found.append("2.2.2 Payload-Oxum is another")
    return found


def _fetch(bag):
    return ["2.2.3 something is still to be fetched"] if (bag / "fetch.txt").exists() else []
