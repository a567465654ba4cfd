"""Pictures sent by the browser: written to the disk as they come, never held in memory, refused in a sentence.

Two ways: one picture as the body of a request (the page's script), or a form with many (without script).
"""

import hashlib
import os
import secrets
import shutil
from collections.abc import AsyncIterator, Sequence
from dataclasses import dataclass, replace
from dataclasses import field as dataclass_field
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

from python_multipart.exceptions import FormParserError
from python_multipart.multipart import MultipartParser, parse_options_header
from starlette.concurrency import run_in_threadpool

from archgen.desk.file_names import numbered, safe_name
from archgen.errors import InputError, disk_reason
from archgen.languages.house import say
from archgen.records.folder import STENCIL_SUFFIXES
from archgen.storage.files import digest_file

if TYPE_CHECKING:
    from python_multipart.multipart import MultipartCallbacks

# A picture of 100 million dots as uncompressed TIFF has 300 MB; nothing a studio works with is larger.
LARGEST_PICTURE = 400_000_000
# A disk filled to its last byte harms more than a picture left out.
ROOM_TO_LEAVE = 300_000_000
TAKEN_KINDS = (*STENCIL_SUFFIXES, ".zip")
# What a letter, a receipt or a signed paper comes as.
PAPER_KINDS = (*STENCIL_SUFFIXES, ".txt", ".eml", ".msg", ".docx", ".odt", ".rtf")
# Holds the longest notes the form takes, 2000 letters of up to four bytes.
_LONGEST_FIELD = 8192
_MOST_FIELDS = 5000


@dataclass(frozen=True, slots=True)
class Received:
    """What became of one file: its place, or why there is none; `field` is the form's field it was chosen in."""

    name: str
    path: Path | None = None
    words: str = ""
    field: str = ""


@dataclass
class _Incoming:
    """One file on its way to the disk."""

    folder: Path
    given: str
    kinds: Sequence[str] = TAKEN_KINDS
    name: str = ""
    size: int = 0
    refused: str = ""
    _sha: "hashlib._Hash" = dataclass_field(default_factory=hashlib.sha256)
    _file: BinaryIO | None = None
    _temporary: Path | None = None

    def __post_init__(self) -> None:
        self.name = safe_name(self.given)
        if not self.name.lower().endswith(tuple(self.kinds)):
            self.refused = say("{name} isn't a picture that archgen reads, so it was left out.", name=self.name)

    def write(self, data: bytes) -> None:
        """Put more bytes on the disk; after a refusal they are let go."""
        self.size += len(data)
        if not self.refused and self.size > LARGEST_PICTURE:
            self._give_up(too_large_words(self.name))
        if self.refused or not data:
            return
        try:
            if self._file is None:
                self._open()
            self._check_room()
            if self._file and not self.refused:
                self._file.write(data)
                self._sha.update(data)
        except OSError as error:
            self._give_up(say("{name} could not be kept ({reason}).", name=self.name, reason=disk_reason(error)))

    def _open(self) -> None:
        self.folder.mkdir(parents=True, exist_ok=True)
        self._temporary = self.folder / f".{secrets.token_hex(8)}.part"
        self._file = self._temporary.open("xb")

    def _check_room(self) -> None:
        if shutil.disk_usage(self.folder).free < ROOM_TO_LEAVE:
            self._give_up(
                say("There is no room on the disk for {name}. Free some space, then drop it again.", name=self.name)
            )

    def _give_up(self, words: str) -> None:
        self.refused = words
        self.discard()

    def discard(self) -> None:
        """Take away what was written so far."""
        if self._file:
            self._file.close()
            self._file = None
        if self._temporary:
            self._temporary.unlink(missing_ok=True)
            self._temporary = None

    def finish(self) -> Received:
        """Give the file its name; one with the same bytes that is there already is enough."""
        if not self.refused and self.size == 0:
            self.refused = say("{name} is empty, so it was left out.", name=self.name)
        if self.refused or self._file is None or self._temporary is None:
            self.discard()
            return Received(self.name, None, self.refused)
        self._file.close()
        self._file = None
        try:
            path = self._place(self._temporary, self._sha.hexdigest())
        except OSError as error:
            self._give_up(say("{name} could not be kept ({reason}).", name=self.name, reason=disk_reason(error)))
            return Received(self.name, None, self.refused)
        self._temporary = None
        return Received(path.name, path)

    def _place(self, temporary: Path, digest: str) -> Path:
        number = 1
        while True:
            target = self.folder / (self.name if number == 1 else numbered(self.name, number))
            number += 1
            try:
                os.link(temporary, target)
            except FileExistsError:
                if target.is_file() and digest_file(target) == digest:
                    break
                continue
            except OSError:  # a disk without links: nobody else writes here but us
                if target.exists():
                    if target.is_file() and digest_file(target) == digest:
                        break
                    continue
                temporary.replace(target)
            break
        temporary.unlink(missing_ok=True)
        return target


def too_large_words(name: str) -> str:
    """Say why a picture is not taken."""
    return say(
        "{name} is larger than {largest_picture} MB, so it was left out.",
        name=name,
        largest_picture=LARGEST_PICTURE // 1_000_000,
    )


async def receive_one(folder: Path, name: str, body: AsyncIterator[bytes]) -> Received:
    """Keep the body of a request as one picture."""
    incoming = _Incoming(folder, name)
    try:
        async for data in body:
            await run_in_threadpool(incoming.write, data)
        return await run_in_threadpool(incoming.finish)
    except BaseException:
        incoming.discard()
        raise


async def receive_form(
    folder: Path, content_type: str, body: AsyncIterator[bytes], kinds: Sequence[str] = TAKEN_KINDS
) -> tuple[list[Received], list[tuple[str, str]]]:
    """Keep the files of a form; gives them and its other fields in their order.

    Raises:
        InputError: What came is no such form.
    """
    kind, options = parse_options_header(content_type)
    if kind != b"multipart/form-data" or b"boundary" not in options:
        raise InputError(say("These pictures did not arrive as they should. Choose them once more."))
    form = _Form(folder, kinds)
    parser = MultipartParser(options[b"boundary"], form.callbacks)
    try:
        async for data in body:
            await run_in_threadpool(parser.write, data)
        parser.finalize()
    except FormParserError as error:
        raise InputError(say("These pictures did not arrive whole. Choose them once more.")) from error
    finally:
        form.discard()
    return form.received, form.fields


class _Form:
    """Sorts the pieces of a form: files to the disk, short fields to memory."""

    def __init__(self, folder: Path, kinds: Sequence[str]) -> None:
        self.received: list[Received] = []
        self.fields: list[tuple[str, str]] = []
        self._folder = folder
        self._kinds = kinds
        self._header = bytearray()
        self._value = bytearray()
        self._headers: dict[bytes, bytes] = {}
        self._field = ""
        self._incoming: _Incoming | None = None
        self.callbacks: MultipartCallbacks = {
            "on_part_begin": self._begin,
            "on_header_field": self._header_name,
            "on_header_value": self._header_value,
            "on_header_end": self._header_end,
            "on_headers_finished": self._headers_done,
            "on_part_data": self._data,
            "on_part_end": self._end,
        }

    def _begin(self) -> None:
        self._headers, self._field, self._incoming = {}, "", None
        self._header.clear()
        self._value.clear()

    def _header_name(self, data: bytes, start: int, end: int) -> None:
        self._grow(self._header, data[start:end])

    def _header_value(self, data: bytes, start: int, end: int) -> None:
        self._grow(self._value, data[start:end])

    def _header_end(self) -> None:
        self._headers[bytes(self._header).lower()] = bytes(self._value)
        self._header.clear()
        self._value.clear()

    def _headers_done(self) -> None:
        _, options = parse_options_header(self._headers.get(b"content-disposition"))
        self._field = options.get(b"name", b"").decode("utf-8", "replace")
        if options.get(b"filename"):
            name = options[b"filename"].decode("utf-8", "replace")
            self._incoming = _Incoming(self._folder, name, self._kinds)

    def _data(self, data: bytes, start: int, end: int) -> None:
        if self._incoming:
            self._incoming.write(data[start:end])
        else:
            self._grow(self._value, data[start:end])

    def _end(self) -> None:
        if self._incoming:
            self.received.append(replace(self._incoming.finish(), field=self._field))
        elif self._field:
            if len(self.fields) == _MOST_FIELDS:
                raise InputError(say("This form has too many fields, so nothing was kept."))
            self.fields.append((self._field, bytes(self._value).decode("utf-8", "replace")))
        self._incoming = None
        self._value.clear()

    @staticmethod
    def _grow(buffer: bytearray, more: bytes) -> None:
        if len(buffer) + len(more) > _LONGEST_FIELD:
            raise InputError(say("A field of this form is too long, so nothing was kept."))
        buffer += more

    def discard(self) -> None:
        """Take away a file that did not arrive whole."""
        if self._incoming:
            self._incoming.discard()
