"""S3-compatible storage (obstore); a file there changes whole or not at all."""

import re
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from obstore.exceptions import BaseError
from obstore.store import S3Store

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
    refused,
    slow,
    unproven,
    unreachable,
    wrong_clock,
)
from archgen.uploading.target import Target

if TYPE_CHECKING:
    from obstore.store import S3Config  # stands in its stubs only

# Pages are asked for anew at each visit, so that what leaves is gone; a picture stays with a visitor for an hour.
_PAGE, _OTHER = "no-cache", "max-age=3600"
# An answer such as "slow down" is waited for so often.
_RETRIES = 2
# The codes of errors: Amazon S3 API reference, "Error responses"; those with X of MinIO.
_CODES = {
    "RequestTimeTooSkewed": wrong_clock,
    "XMinioStorageFull": full,
    "QuotaExceeded": full,
    "EntityTooLarge": full,
    "ServiceQuotaExceeded": full,
}
# What the library says where no code was given: the status, or what became of the connection.
_TOLD: tuple[tuple[str, Callable[[str], UploadError]], ...] = (
    ("507 Insufficient Storage", full),
    ("401 Unauthorized", lambda where: refused(where, None)),
    ("kind: Timeout", slow),
    # rustls, which the library speaks by: Expired, NotValidYet, UnknownIssuer and others.
    ("InvalidCertificate", unproven),
    ("kind: Connect", unreachable),
    ("HTTP error", cut),
)
_LOGIN = ("InvalidAccessKeyId", "SignatureDoesNotMatch", "ExpiredToken", "InvalidToken", "AuthorizationHeaderMalformed")


class S3Place:
    """A bucket, or what begins with a path in it."""

    at_once = False

    def __init__(self, target: Target, key: str | None, secret: str | None, token: str | None) -> None:
        self.target = target
        if not (key and secret):
            raise refused(target.where, key)
        self.user = key
        is_plain = bool(target.endpoint) and urlsplit(target.endpoint or "").scheme == "http"
        settings: S3Config = {
            "bucket": target.host,
            "region": target.region,
            "access_key_id": key,
            "secret_access_key": secret,
            # Addresses with the bucket in front need certificates that few such stores have.
            "virtual_hosted_style_request": not target.endpoint,
        }
        if target.endpoint:
            settings["endpoint"] = target.endpoint
        if token:
            settings["session_token"] = token
        self._store = S3Store(
            config=settings,
            prefix=target.path or None,
            client_options={
                "allow_http": is_plain,
                "timeout": f"{ANSWER_S * 1000:.0f}ms",
                "connect_timeout": f"{ENTER_S * 1000:.0f}ms",
            },
            retry_config={"max_retries": _RETRIES},
        )

    def sizes(self, folders: Iterable[str]) -> dict[str, int | None]:
        """List what lies below these folders."""
        found: dict[str, int | None] = {}
        with self._words(say("this folder")):
            for folder in folders:
                listed = self._store.list_with_delimiter(folder or None)
                found |= {str(one["path"]): int(one["size"]) for one in listed["objects"]}
        return found

    def read(self, path: str) -> bytes | None:
        """Fetch a file."""
        with self._words(path):
            try:
                return bytes(self._store.get(path).bytes())
            except FileNotFoundError as error:
                if "NoSuchBucket" in str(error):
                    raise
                return None

    def put(self, path: str, content: bytes) -> None:
        """Write a file, with its kind, which browsers go by."""
        kept = _PAGE if path.endswith((".html", ".xml", ".txt")) else _OTHER
        with self._words(path):
            self._store.put(path, content, attributes={"Content-Type": kind_of(path), "Cache-Control": kept})

    def remove(self, path: str) -> None:
        """Delete a file."""
        with self._words(path):
            self._store.delete(path)

    def finish(self) -> None:
        """Nothing is left to do."""

    def close(self) -> None:
        """Nothing is open."""

    @contextmanager
    def _words(self, path: str) -> Iterator[None]:
        """Say in a sentence what went wrong.

        Raises:
            UploadError: In the place of every error of the library and of the server.
        """
        try:
            yield
        except (BaseError, OSError) as error:
            raise self._error(path, str(error)) from error

    def _error(self, path: str, told: str) -> UploadError:
        where = self.target.where
        code = found[1] if (found := re.search(r"<Code>(\w+)</Code>", told)) else ""
        named = [(re.search(words, told), sentence) for words, sentence in _TOLD]
        if code == "NoSuchBucket":
            return UploadError(
                say("There is no bucket {where}. Check the address, or make it at your host first.", where=where)
            )
        if code in _LOGIN:
            return refused(where, self.user)
        if sentence := _CODES.get(code) or next((sentence for found, sentence in named if found), None):
            return sentence(where)
        return forbidden(where, path) if "403 Forbidden" in told else odd(where, code or told.partition("\n")[0])
