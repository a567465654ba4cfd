"""A folder of another computer, by SFTP over SSH (paramiko); whose key is not the known one gets nothing."""

import base64
import hashlib
import socket
import stat
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from io import BytesIO
from pathlib import Path

import paramiko

from archgen.languages.house import say
from archgen.uploading.place import (
    ANSWER_S,
    ENTER_S,
    Trust,
    UploadError,
    cut,
    forbidden,
    odd,
    part_of,
    refused,
    slow,
    unreachable,
)
from archgen.uploading.target import Target

_USUAL_PORT = 22


class SftpPlace:
    """A folder there."""

    at_once = False

    def __init__(self, target: Target, password: str | None, trust: Trust, known_hosts: Path) -> None:
        self.target = target
        self._ssh = paramiko.SSHClient()
        with self._words(say("this folder")):
            self._enter(password, trust, known_hosts)

    def _enter(self, password: str | None, trust: Trust, known_hosts: Path) -> None:
        target, ours = self.target, self._ssh.get_host_keys()
        with suppress(OSError):
            self._ssh.load_system_host_keys()
        with suppress(OSError):
            ours.load(str(known_hosts))
        self._ssh.set_missing_host_key_policy(_Asking(target, trust, known_hosts))
        self._ssh.connect(
            target.host,
            target.port or _USUAL_PORT,
            target.user,
            password,
            passphrase=password,
            timeout=ENTER_S,
            banner_timeout=ENTER_S,
            auth_timeout=ENTER_S,
            channel_timeout=ENTER_S,
        )
        self._sftp = self._ssh.open_sftp()
        channel = self._sftp.get_channel()
        if channel is not None:
            channel.settimeout(ANSWER_S)

    def sizes(self, folders: Iterable[str]) -> dict[str, int | None]:
        """List the folders that are there."""
        found: dict[str, int | None] = {}
        for folder in folders:
            with self._words(folder or say("this folder")):
                try:
                    entries = self._sftp.listdir_attr(self._path(folder))
                except FileNotFoundError:
                    continue
                for entry in entries:
                    if stat.S_ISREG(entry.st_mode or 0):
                        path = f"{folder}/{entry.filename}" if folder else entry.filename
                        found[path] = entry.st_size or 0
        return found

    def read(self, path: str) -> bytes | None:
        """Fetch a file."""
        with self._words(path):
            content = BytesIO()
            try:
                self._sftp.getfo(self._path(path), content)
            except FileNotFoundError:
                return None
            return content.getvalue()

    def put(self, path: str, content: bytes) -> None:
        """Write a file beside its place, and rename it."""
        part = self._path(part_of(path))
        with self._words(path):
            try:
                self._sftp.putfo(BytesIO(content), part, confirm=True)
            except FileNotFoundError:
                self._make_folders(path)
                self._sftp.putfo(BytesIO(content), part, confirm=True)
            self._rename(part, self._path(path))

    def _rename(self, part: str, place: str) -> None:
        """Let one file take another's place in one step, where the server knows how (OpenSSH's extension)."""
        try:
            self._sftp.posix_rename(part, place)
        except OSError as error:
            if "unsupported" not in str(error).lower():
                raise
            with suppress(FileNotFoundError):
                self._sftp.remove(place)
            self._sftp.rename(part, place)

    def _make_folders(self, path: str) -> None:
        parts = self._path(path).split("/")[:-1]
        for end in range(1, len(parts) + 1):
            folder = "/".join(parts[:end])
            if folder in ("", "."):
                continue
            try:
                self._sftp.stat(folder)
            except FileNotFoundError:
                self._sftp.mkdir(folder)

    def remove(self, path: str) -> None:
        """Delete a file."""
        with self._words(path), suppress(FileNotFoundError):
            self._sftp.remove(self._path(path))

    def finish(self) -> None:
        """Nothing is left to do."""

    def close(self) -> None:
        """Leave."""
        with suppress(Exception):
            self._ssh.close()

    def _path(self, path: str) -> str:
        return f"{self.target.path}/{path}" if path else self.target.path or "/"

    @contextmanager
    def _words(self, path: str) -> Iterator[None]:
        """Say in a sentence what went wrong.

        Raises:
            UploadError: In the place of every error of the library and of the server.
        """
        where, user = self.target.host, self.target.user
        try:
            yield
        except paramiko.BadHostKeyException as error:
            raise _changed(where, error.key, error.expected_key) from error
        except paramiko.AuthenticationException as error:
            raise refused(where, user) from error
        except TimeoutError as error:
            raise slow(where) from error
        except (paramiko.ssh_exception.NoValidConnectionsError, socket.gaierror) as error:
            raise unreachable(where) from error
        except (EOFError, ConnectionError) as error:
            raise cut(where) from error
        except PermissionError as error:
            raise forbidden(where, path) from error
        except OSError as error:
            raise self._odd(path, error) from error
        except paramiko.SSHException as error:
            transport = self._ssh.get_transport()
            raise (odd(where, str(error)) if transport and transport.is_active() else cut(where)) from error

    def _odd(self, path: str, error: OSError) -> UploadError:
        """Tell what the protocol has no word for: version 3 knows only "Failure" (draft-ietf-secsh-filexfer-02, 7)."""
        transport = self._ssh.get_transport()
        if "closed" in str(error).lower() or not (transport and transport.is_active()):
            return cut(self.target.host)
        return UploadError(
            say(
                "{host} couldn't store {path} ({error}). Most often its disk is full, or your share of "
                "it used up. Make room there, then try again.",
                host=self.target.host,
                path=path,
                error=" ".join(str(error).split())[:80],
            )
        )


class _Asking(paramiko.MissingHostKeyPolicy):  # type: ignore[misc]  # the library has no types
    """Asks about a computer that was never visited, and remembers the answer."""

    def __init__(self, target: Target, trust: Trust, known_hosts: Path) -> None:
        self.target, self.trust, self.known_hosts = target, trust, known_hosts

    def missing_host_key(self, _client: paramiko.SSHClient, hostname: str, key: paramiko.PKey) -> None:
        """Let it in when the artist says so; one that has a key already never comes here, whatever the key's kind.

        Raises:
            UploadError: It isn't the right one.
        """
        if not self.trust(self.target.host, fingerprint(key)):
            raise UploadError(
                say(
                    "{host} was never visited from here, and its key {key} isn't confirmed. Compare it with "
                    "the one your host names.",
                    host=self.target.host,
                    key=fingerprint(key),
                )
            )
        self.known_hosts.parent.mkdir(parents=True, exist_ok=True)
        with self.known_hosts.open("a", encoding="ascii") as lines:
            lines.write(f"{hostname} {key.get_name()} {key.get_base64()}\n")


def fingerprint(key: paramiko.PKey) -> str:
    """Write a key as OpenSSH does: SHA-256 in base64 without its padding."""
    return "SHA256:" + base64.b64encode(hashlib.sha256(key.asbytes()).digest()).decode().rstrip("=")


def _changed(where: str, key: paramiko.PKey, expected: paramiko.PKey) -> UploadError:
    return UploadError(
        say(
            "{where} shows another key ({key}) than before ({expected}): somebody may stand in "
            "between. Nothing was sent. Ask your host; if the key is new, take the old one out: "
            "ssh-keygen -R {where}",
            where=where,
            key=fingerprint(key),
            expected=fingerprint(expected),
        )
    )
