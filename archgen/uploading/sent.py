"""What archgen once sent to a place: kept there and here, so that nothing else is ever deleted there.

Two files lie there: the list of all that was sent, and, while something is being sent, the list of what is under way.
Both are sealed; one that is damaged counts as absent. Paths and digests of public files stand in them, nothing else.
"""

import base64
import hashlib
import os
import zlib
from pathlib import Path

import msgspec

from archgen.storage.files import digest_bytes
from archgen.storage.plain_files import put_plain, read_plain, remove_any, sealed, unsealed
from archgen.uploading.place import UploadPlace
from archgen.uploading.target import Target

LIST = "archgen-sent.bin"
UNDER_WAY = "archgen-sending.bin"
# What is on its way, and may be there or not.
UNKNOWN = ""
# 128 bits tell files apart that nobody forges; the list goes over the line with every upload.
_DIGEST_BYTES = 16


class Sent(msgspec.Struct, frozen=True):
    """The files that archgen has sent to a place.

    Attributes:
        origin: Names the archive it came from, the same with every upload.
        run: Names the upload that wrote this list.
        files: A short digest of each, by path; UNKNOWN where it may be there or not.
    """

    origin: str
    run: str
    files: dict[str, str]


def short_digest(content: bytes) -> str:
    """Give a digest of a file's bytes as it stands in the list."""
    return base64.b85encode(hashlib.sha256(content).digest()[:_DIGEST_BYTES]).decode()


def new_name() -> str:
    """Name an archive or an upload, so that no other has the same name."""
    return os.urandom(8).hex()


def packed(sent: Sent, name: str) -> bytes:
    """Write a list."""
    return sealed(zlib.compress(msgspec.json.encode(sent), 9), name)


def unpacked(raw: bytes | None, name: str) -> Sent | None:
    """Read a list; None where there is none, or one that nobody can rely on."""
    content = unsealed(raw, name) if raw else None
    try:
        sent = msgspec.json.decode(zlib.decompress(content), type=Sent) if content else None
    except (zlib.error, msgspec.MsgspecError):
        return None
    return sent if sent and all(map(_is_plain, sent.files)) else None


def _is_plain(path: str) -> bool:
    """Say whether a path stays in its tree."""
    return bool(path) and not path.startswith("/") and "\\" not in path and not {"", ".", ".."} & set(path.split("/"))


def sent_there(place: UploadPlace) -> tuple[Sent | None, bool]:
    """Read what the place itself says, and whether an upload broke off there; what was under way then counts too.

    Raises:
        UploadError: It cannot be read.
    """
    sent = unpacked(place.read(LIST), LIST)
    going = unpacked(place.read(UNDER_WAY), UNDER_WAY)
    if going is None:
        return sent, False
    return Sent(going.origin, going.run, {**(sent.files if sent else {}), **going.files}), True


class SentHere:
    """What this computer knows of a place, in the build folder."""

    def __init__(self, out: Path, target: Target) -> None:
        self._file = out / f".sent-{digest_bytes(target.text)[:16]}"

    def read(self) -> Sent | None:
        """Read it; None where nothing is known."""
        try:
            return unpacked(read_plain(self._file), self._file.name)
        except OSError:
            return None

    def write(self, sent: Sent) -> None:
        """Write it down.

        Raises:
            OSError: It cannot be written.
        """
        put_plain(self._file, packed(sent, self._file.name))

    def forget(self) -> None:
        """Know nothing any more.

        Raises:
            OSError: It cannot be removed.
        """
        remove_any(self._file)
