"""What stands before every page of the desk: who may ask, how much may be sent, what browsers are told.

A page of another site can make the browser ask this server, or give its own name the loopback address. So a request
is looked at in this order: the name it was sent to, where it comes from, the key in its address, its size.
"""

import secrets
from dataclasses import dataclass, field
from http import HTTPStatus
from urllib.parse import unquote

from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from archgen.languages.house import say, to_say

# A form of this many bytes holds a piece with hundreds of references; pictures go to the route of their own.
LARGEST_FORM = 1_000_000
READING = frozenset(("GET", "HEAD"))

_POLICY = (
    "default-src 'none'; img-src 'self' data:; style-src 'self'; script-src 'self'; connect-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "Content-Security-Policy": _POLICY,
    "X-Frame-Options": "DENY",
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cache-Control": "no-store",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=(), payment=(), usb=()",
    "X-Robots-Tag": "noindex, nofollow",
}


class TooLargeError(HTTPException):
    """More was sent than the route takes."""

    def __init__(self) -> None:
        super().__init__(_TOO_LARGE.status, say(_TOO_LARGE.words))


@dataclass(frozen=True, slots=True)
class Door:
    """Where the desk is: its port, and the key that stands first in every address."""

    port: int
    key: str = field(default_factory=lambda: secrets.token_urlsafe(24))

    @property
    def hosts(self) -> frozenset[str]:
        """Give the names of this computer for itself, with the port; no other name is answered to."""
        return frozenset(f"{name}:{self.port}" for name in ("127.0.0.1", "localhost", "[::1]"))

    @property
    def origins(self) -> frozenset[str]:
        """Give the same as browsers name where a request comes from."""
        return frozenset(f"http://{host}" for host in self.hosts)

    @property
    def address(self) -> str:
        """Give the address to be opened."""
        return f"http://127.0.0.1:{self.port}/{self.key}/"


@dataclass(frozen=True)
class Refusal:
    """Why a request is not answered."""

    status: HTTPStatus
    words: str


_WRONG_NAME = Refusal(
    HTTPStatus.MISDIRECTED_REQUEST,
    to_say("This desk answers only on this computer, under the address that archgen printed."),
)
_ELSEWHERE = Refusal(
    HTTPStatus.FORBIDDEN, to_say("This request came from another page than the desk, so nothing was done.")
)
_NO_KEY = Refusal(
    HTTPStatus.NOT_FOUND,
    to_say("There is no desk at this address. Open the address that archgen printed, or start archgen desk again."),
)
_METHOD = Refusal(HTTPStatus.METHOD_NOT_ALLOWED, to_say("The desk doesn't know that request."))
_TOO_LARGE = Refusal(
    HTTPStatus.REQUEST_ENTITY_TOO_LARGE,
    to_say("This is more than one form can hold, so nothing was written. Go back and shorten it."),
)


class Guard:
    """The desk behind its door: refuses what must not come in, and gives every answer its headers."""

    def __init__(self, app: ASGIApp, door: Door, upload_path: str = "upload") -> None:
        self._app = app
        self._door = door
        self._uploads = f"/{door.key}/{upload_path}"

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":  # the start and the end of the server; nothing else is offered
            if scope["type"] == "lifespan":
                await self._app(scope, receive, send)
            return

        async def send_guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    if name not in headers:
                        headers[name] = value
            await send(message)

        if refusal := self.refuse(scope):
            await _answer(refusal, scope, receive, send_guarded)
            return
        limited = receive if scope["path"].startswith(self._uploads) else _limited(receive, LARGEST_FORM)
        await self._app(scope, limited, send_guarded)

    def refuse(self, scope: Scope) -> Refusal | None:
        """Say why a request is not let in; None when it is."""
        headers = Headers(scope=scope)
        if headers.getlist("host") not in ([host] for host in self._door.hosts):
            return _WRONG_NAME
        if not self._is_from_here(scope["method"], headers):
            return _ELSEWHERE
        if not self._has_key(scope):
            return _NO_KEY
        if scope["method"] not in {*READING, "POST"}:
            return _METHOD
        if not scope["path"].startswith(self._uploads) and _declared(headers) > LARGEST_FORM:
            return _TOO_LARGE
        return None

    def _is_from_here(self, method: str, headers: Headers) -> bool:
        """Say whether a page of the desk asks, or the artist who typed the address.

        Under our own policy browsers leave the origin of a form at "null"; then it is their word on the site that
        counts (Fetch Metadata), which no page can write itself.
        """
        origin, site = headers.get("origin"), headers.get("sec-fetch-site")
        if origin is not None and origin != "null":
            return origin in self._door.origins
        if method not in READING:
            return site == "same-origin"
        if site == "cross-site":  # a link to the desk may be followed, its pictures may not be shown elsewhere
            return headers.get("sec-fetch-mode") == "navigate"
        return True

    def _has_key(self, scope: Scope) -> bool:
        given = unquote(scope["path"]).split("/")[1] if "/" in scope["path"] else ""
        return secrets.compare_digest(given.encode(), self._door.key.encode())


def _declared(headers: Headers) -> int:
    length = headers.get("content-length", "0")
    return int(length) if length.isdecimal() else 0


def _limited(receive: Receive, most: int) -> Receive:
    """Count what comes in, whatever its headers say."""
    came = 0

    async def receive_counted() -> Message:
        nonlocal came
        message = await receive()
        came += len(message.get("body", b""))
        if came > most:
            raise TooLargeError
        return message

    return receive_counted


async def _answer(refusal: Refusal, scope: Scope, receive: Receive, send: Send) -> None:
    response = PlainTextResponse(say(refusal.words), refusal.status, {"Connection": "close"})
    await response(scope, receive, send)
