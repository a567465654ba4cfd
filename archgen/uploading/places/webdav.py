"""A folder of another computer, by WebDAV (RFC 4918; webdav4 over httpx)."""

import ssl
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from http import HTTPStatus
from pathlib import PurePosixPath

import httpx
from webdav4.client import Client, ClientError, HTTPError, InsufficientStorage, ResourceNotFound

from archgen.languages.house import say
from archgen.uploading.kinds import kind_of
from archgen.uploading.place import (
    ANSWER_S,
    ENTER_S,
    UploadError,
    cut,
    forbidden,
    full,
    odd,
    part_of,
    refused,
    slow,
    unproven,
    unreachable,
)
from archgen.uploading.target import Target

_MISSING_FOLDER = (HTTPStatus.NOT_FOUND, HTTPStatus.CONFLICT)


class WebdavPlace:
    """A folder there."""

    at_once = False

    def __init__(self, target: Target, password: str | None) -> None:
        self.target = target
        auth = (target.user, password or "") if target.user else None
        timeout = httpx.Timeout(ANSWER_S, connect=ENTER_S)
        # Other computers' settings for proxies are taken as they are; passwords of .netrc are not ours.
        self._client = Client(target.address, auth=auth, retry=False, timeout=timeout, follow_redirects=False)

    def sizes(self, folders: Iterable[str]) -> dict[str, int | None]:
        """List the folders that are there."""
        found: dict[str, int | None] = {}
        for folder in folders:
            with self._words(folder or say("this folder")):
                try:
                    entries = self._client.ls(folder, detail=True)
                except ResourceNotFound:
                    continue
                for entry in entries:
                    if isinstance(entry, dict) and entry["type"] == "file":
                        name = PurePosixPath(entry["name"]).name
                        found[f"{folder}/{name}" if folder else name] = int(entry["content_length"] or 0)
        return found

    def read(self, path: str) -> bytes | None:
        """Fetch a file."""
        with self._words(path):
            try:
                content: bytes = self._client.request("GET", path).content
                return content
            except ResourceNotFound:
                return None

    def put(self, path: str, content: bytes) -> None:
        """Write a file beside its place, and let it take it."""
        with self._words(path):
            part = part_of(path)
            try:
                self._put(part, content, path)
            except (ResourceNotFound, HTTPError) as error:
                if isinstance(error, HTTPError) and error.status_code not in _MISSING_FOLDER:
                    raise
                self._make_folders(path)
                self._put(part, content, path)
            self._client.move(part, path, overwrite=True)

    def _put(self, part: str, content: bytes, path: str) -> None:
        self._client.request("PUT", part, content=content, headers={"Content-Type": kind_of(path)})

    def _make_folders(self, path: str) -> None:
        """Make the folders of a file, the top one too."""
        for folder in ("", *(str(one) for one in reversed(PurePosixPath(path).parents[:-1]))):
            if not self._client.exists(folder):
                self._client.mkdir(folder)

    def remove(self, path: str) -> None:
        """Delete a file."""
        with self._words(path):
            try:
                self._client.remove(path)
            except ResourceNotFound:
                return

    def finish(self) -> None:
        """Nothing is left to do."""

    def close(self) -> None:
        """Leave."""
        self._client.http.close()

    @contextmanager
    def _words(self, path: str) -> Iterator[None]:
        """Say in a sentence what went wrong.

        Raises:
            UploadError: In the place of every error of the library and of the server.
        """
        where = self.target.where
        try:
            yield
        except InsufficientStorage as error:
            raise full(where) from error
        except ClientError as error:
            raise self._error(path, error) from error
        except httpx.TimeoutException as error:
            raise slow(where) from error
        except httpx.ConnectError as error:
            raise _connect_words(where, error) from error
        except httpx.TransportError as error:
            raise cut(where) from error

    def _error(self, path: str, error: ClientError) -> UploadError:
        where = self.target.where
        cause: BaseException = error
        while not isinstance(cause, HTTPError) and cause.__cause__:
            cause = cause.__cause__
        status = getattr(cause, "status_code", None)
        if status == HTTPStatus.UNAUTHORIZED:
            return refused(where, self.target.user)
        if status in (HTTPStatus.FORBIDDEN, HTTPStatus.METHOD_NOT_ALLOWED, HTTPStatus.LOCKED):
            return forbidden(where, path)
        if status == HTTPStatus.REQUEST_ENTITY_TOO_LARGE:
            return full(where)
        return odd(where, str(error))


def _connect_words(where: str, error: httpx.ConnectError) -> UploadError:
    cause: BaseException | None = error
    while cause is not None and not isinstance(cause, ssl.SSLCertVerificationError):
        cause = cause.__cause__ or cause.__context__
    return unproven(where, cause.verify_message.rstrip(".")) if cause else unreachable(where)
