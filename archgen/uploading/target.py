"""Where a portfolio goes, as it is typed and remembered; a password never stands in it."""

import re
from dataclasses import dataclass
from enum import Enum
from pathlib import Path
from urllib.parse import SplitResult, parse_qs, unquote, urlsplit

from archgen.errors import UsageError
from archgen.languages.house import say, to_say


class TargetKind(Enum):
    """What a portfolio can be put into."""

    FOLDER = "folder"
    ZIP = "zip"
    SFTP = "sftp"
    S3 = "s3"
    WEBDAV = "webdav"
    GIT = "git"


@dataclass(frozen=True, slots=True)
class Target:
    """A place on this computer or another.

    Attributes:
        text: How it is remembered.
        address: What its engine is called with: a path, or an address without what follows ? and #.
        host: The other computer; of S3 the bucket.
        path: The folder there, without slashes at its ends but for one that says where the tree begins.
        user: Who enters; of S3 the id of the key.
        endpoint: Of S3-compatible storage, the address it answers at.
        region: Of S3.
        branch: Of git.
    """

    text: str
    kind: TargetKind
    address: str
    host: str = ""
    port: int | None = None
    path: str = ""
    user: str | None = None
    endpoint: str | None = None
    region: str = "us-east-1"
    branch: str = ""

    @property
    def account(self) -> str:
        """Name whose password it is, in the keyring of the system."""
        return f"{self.kind.value}://{self.user or ''}@{self.host}"

    @property
    def where(self) -> str:
        """Name it in a sentence."""
        return self.host or self.address


EXAMPLES = "/mnt/website, site.zip, sftp://me@example.org/web, davs://me@example.org/web, \
s3://bucket?endpoint=https://s3.example.org or git+ssh://git@example.org/me/site.git#pages"
_HOST = re.compile(r"[A-Za-z0-9_\[][A-Za-z0-9_.:\]-]*")
# git-check-ref-format, the part of it that nobody's branch goes beyond.
_BRANCH = re.compile(r"[A-Za-z0-9_][A-Za-z0-9._-]*(/[A-Za-z0-9_][A-Za-z0-9._-]*)*")
_LOOPBACK = ("localhost", "127.0.0.1", "::1")


def parse_target(text: str, base: Path) -> Target:
    """Read a place as it is typed; a path counts from the folder `base`.

    Raises:
        UsageError: Nothing can be put there, or a password stands in it.
    """
    text = text.strip()
    scheme, colon, _ = text.partition("://")
    if not colon:
        return _on_this_computer(text, base)
    try:
        parts = urlsplit(text)
        has_port = parts.port is not None
    except ValueError as error:
        raise UsageError(
            say(
                "{text}: this isn't an address ({error}). Write it as {examples}.",
                text=text,
                error=error,
                examples=EXAMPLES,
            )
        ) from error
    if parts.password is not None:
        raise UsageError(
            say(
                "A password has no place in the address: it would be remembered and printed. Leave it "
                "out, and keep it in the keyring of your computer with: archgen upload ADDRESS --password"
            )
        )
    read = _KINDS.get(scheme.lower())
    if read is None:
        no_way = say("A portfolio can't be sent by {scheme}://.", scheme=scheme)
        instead = say(_WHY[scheme.lower()]) if scheme.lower() in _WHY else ""
        raise UsageError(" ".join(filter(None, (no_way, instead, say("Such as {examples}.", examples=EXAMPLES)))))
    if parts.hostname and not _HOST.fullmatch(parts.hostname):
        raise UsageError(say("{text}: {host} can't be the name of a computer.", text=text, host=parts.hostname))
    return read(text, parts, parts.port if has_port else None)


def _on_this_computer(text: str, base: Path) -> Target:
    if not text:
        raise UsageError(say("Say where the portfolio goes: {examples}.", examples=EXAMPLES))
    path = base / Path(text).expanduser()
    kind = TargetKind.ZIP if path.suffix.lower() == ".zip" else TargetKind.FOLDER
    place = str(path.resolve())
    return Target(place, kind, place)


def _sftp(text: str, parts: SplitResult, port: int | None) -> Target:
    host = _computer(parts.hostname, text)
    path = _folder(parts)
    # A path that begins with /~/ counts from where one is after entering; there is no other way to say it.
    path = path.removeprefix("/~/") if path.startswith("/~/") else path
    return Target(text, TargetKind.SFTP, text, host, port or 22, path or ".", _user(parts))


def _webdav(text: str, parts: SplitResult, port: int | None) -> Target:
    host = _computer(parts.hostname, text)
    is_plain = parts.scheme.lower() == "dav"
    if is_plain and host not in _LOOPBACK:
        raise UsageError(
            say("dav:// would send your password readable for everybody. Write davs://{host}/… instead.", host=host)
        )
    shown_host = f"[{host}]" if ":" in host else host
    where = f"{shown_host}:{port}" if port else shown_host
    address = f"{'http' if is_plain else 'https'}://{where}{parts.path.rstrip('/')}"
    return Target(text, TargetKind.WEBDAV, address, host, port, _folder(parts), _user(parts))


def _s3(text: str, parts: SplitResult, _port: int | None) -> Target:
    bucket = _bucket(parts.hostname, text)
    more = parse_qs(parts.query)
    if unknown := more.keys() - {"endpoint", "region"}:
        raise UsageError(
            say(
                "{text}: {key} is not known. After ? may stand endpoint=https://… and region=…",
                text=text,
                key=min(unknown),
            )
        )
    endpoint = more.get("endpoint", [""])[0].rstrip("/") or None
    at = urlsplit(endpoint or "https://")
    if at.scheme != "https" and at.hostname not in _LOOPBACK:
        raise UsageError(say("{text}: the endpoint begins with https://, so that nobody reads along.", text=text))
    region = more.get("region", ["us-east-1"])[0]
    path = _folder(parts).strip("/")
    return Target(text, TargetKind.S3, text, bucket, None, path, _user(parts), endpoint, region)


def _git(text: str, parts: SplitResult, _port: int | None) -> Target:
    scheme = parts.scheme.lower().removeprefix("git+")
    branch = unquote(parts.fragment)
    if not _BRANCH.fullmatch(branch) or branch.endswith((".lock", ".")) or ".." in branch:
        raise UsageError(say("{text}: after # stands the branch that your host serves, such as #pages.", text=text))
    if scheme != "file":
        _computer(parts.hostname, text)
    address = f"{scheme}://{parts.netloc}{parts.path}"
    return Target(
        text, TargetKind.GIT, address, parts.hostname or "", parts.port, parts.path, _user(parts), branch=branch
    )


_KINDS = {
    "sftp": _sftp,
    "dav": _webdav,
    "davs": _webdav,
    "s3": _s3,
    "git+ssh": _git,
    "git+https": _git,
    "git+file": _git,
}
_WHY = {
    "ftp": to_say("It sends your password readable for everybody; most hosts offer sftp too."),
    **dict.fromkeys(("http", "https", "webdav"), to_say("For WebDAV write davs://.")),
    "ssh": to_say("Write sftp://."),
    "file": to_say("Write the folder as it is."),
}


def _computer(value: str | None, text: str) -> str:
    if not value:
        message = say("{text}: the name of a computer is missing. Such as {examples}.", text=text, examples=EXAMPLES)
        raise UsageError(message)
    return value


def _bucket(value: str | None, text: str) -> str:
    if not value:
        message = say("{text}: the name of a bucket is missing. Such as {examples}.", text=text, examples=EXAMPLES)
        raise UsageError(message)
    return value


def _user(parts: SplitResult) -> str | None:
    return unquote(parts.username) if parts.username else None


def _folder(parts: SplitResult) -> str:
    path = unquote(parts.path).rstrip("/")
    if ".." in path.split("/"):
        raise UsageError(say("{path}: a folder is named without two dots.", path=path))
    return path
