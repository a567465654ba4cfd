"""A folder of this computer, also a mounted one, and a zip to hand to somebody."""

import os
import zipfile
from collections.abc import Iterable
from io import BytesIO
from pathlib import Path

from archgen.languages.house import say
from archgen.storage.files import write_atomically
from archgen.storage.plain_files import is_own_folder, read_plain
from archgen.uploading.place import UploadError, disk_words, part_of

# Pictures and fonts are packed already.
_WORDS = (".html", ".css", ".js", ".xml", ".txt", ".json", ".svg")
# The earliest day a zip can name: the same files give the same zip.
_DAY = (1980, 1, 1, 0, 0, 0)


class FolderPlace:
    """A folder; nothing is written through a link in it."""

    at_once = False

    def __init__(self, top: Path) -> None:
        self.top = top

    def sizes(self, folders: Iterable[str]) -> dict[str, int | None]:
        """Look into the folders that are there."""
        found: dict[str, int | None] = {}
        with disk_words(str(self.top)):
            for folder in folders:
                if not is_own_folder(self.top / folder):
                    continue
                with os.scandir(self.top / folder) as entries:
                    for entry in entries:
                        if entry.is_file(follow_symlinks=False):
                            path = f"{folder}/{entry.name}" if folder else entry.name
                            found[path] = entry.stat(follow_symlinks=False).st_size
        return found

    def read(self, path: str) -> bytes | None:
        """Read a file."""
        with disk_words(str(self.top)):
            try:
                return read_plain(self.top / path)
            except (FileNotFoundError, NotADirectoryError):
                return None

    def put(self, path: str, content: bytes) -> None:
        """Write a file beside its place, and rename it."""
        with disk_words(str(self.top)):
            folder = self._own_folder(path)
            part = self.top / part_of(path)
            try:
                part.write_bytes(content)
                part.replace(folder / Path(path).name)
            except BaseException:
                part.unlink(missing_ok=True)
                raise

    def _own_folder(self, path: str) -> Path:
        """Make the folder of a file."""
        folder = self.top
        for name in ("", *path.split("/")[:-1]):
            folder = folder / name
            folder.mkdir(exist_ok=True)
            if name and not is_own_folder(folder):
                raise UploadError(
                    say("{folder} is a link to another place. Nothing is written through it.", folder=folder)
                )
        return folder

    def remove(self, path: str) -> None:
        """Delete a file, and the folders that are empty then."""
        with disk_words(str(self.top)):
            (self.top / path).unlink(missing_ok=True)
            for folder in Path(path).parents[:-1]:
                try:
                    (self.top / folder).rmdir()
                except OSError:
                    break

    def finish(self) -> None:
        """Nothing is left to do."""

    def close(self) -> None:
        """Nothing is open."""


class ZipPlace:
    """A zip, written anew as a whole."""

    at_once = True

    def __init__(self, file: Path) -> None:
        self.file = file
        self._files = self._read()

    def _read(self) -> dict[str, bytes]:
        with disk_words(str(self.file)):
            if not self.file.exists():
                return {}
            try:
                with zipfile.ZipFile(self.file) as packed:
                    return {one.filename: packed.read(one) for one in packed.infolist() if not one.is_dir()}
            except (zipfile.BadZipFile, RuntimeError, NotImplementedError) as error:
                raise UploadError(
                    say("{file} is there already, and it isn't a zip that opens. Choose another name.", file=self.file)
                ) from error

    def sizes(self, folders: Iterable[str]) -> dict[str, int | None]:  # noqa: ARG002
        """Give all of them."""
        return {path: len(content) for path, content in self._files.items()}

    def read(self, path: str) -> bytes | None:
        """Read a file."""
        return self._files.get(path)

    def put(self, path: str, content: bytes) -> None:
        """Keep it until the end."""
        self._files[path] = content

    def remove(self, path: str) -> None:
        """Leave it out at the end."""
        self._files.pop(path, None)

    def finish(self) -> None:
        """Write the zip beside its place, and rename it."""
        packed = BytesIO()
        with zipfile.ZipFile(packed, "w") as archive:
            for path in sorted(self._files):
                entry = zipfile.ZipInfo(path, _DAY)
                entry.external_attr = 0o644 << 16
                way = zipfile.ZIP_DEFLATED if path.endswith(_WORDS) else zipfile.ZIP_STORED
                archive.writestr(entry, self._files[path], way)
        with disk_words(str(self.file)):
            write_atomically(self.file, packed.getvalue())

    def close(self) -> None:
        """Nothing is open."""
