"""Ask a desk without a network: one request to the application, as a server would hand it on."""

import asyncio
from dataclasses import dataclass
from urllib.parse import urlencode

from archgen.desk.app import desk_app
from archgen.desk.guards import Door

PORT = 50_001


@dataclass(frozen=True)
class Answer:
    """What came back."""

    status: int
    headers: dict[str, str]
    body: bytes

    @property
    def text(self) -> str:
        return self.body.decode()


class Asker:
    """A browser that stands at the desk."""

    def __init__(self, state, door=None, app=desk_app):
        self.door = door or Door(PORT, "test-key")
        self.app = app(state, self.door)

    def get(self, path="", **more):
        return self.ask("GET", path, **more)

    def post(self, path, fields=None, *, headers=None, **more):
        body = urlencode(fields or [], doseq=True).encode()
        sent = {"content-type": "application/x-www-form-urlencoded", "sec-fetch-site": "same-origin", **(headers or {})}
        return self.ask("POST", path, body=body, headers=sent, **more)

    def post_form(self, path, fields, files=()):
        """Send a form as browsers do that may hold files: `files` are (field, name, bytes)."""
        named = [(name, value) for name, values in fields.items() for value in _each(values)]
        parts = [f'form-data; name="{name}"\r\n\r\n{value}'.encode() for name, value in named]
        parts += [f'form-data; name="{name}"; filename="{file}"\r\n\r\n'.encode() + data for name, file, data in files]
        body = b"".join(b"--edge\r\nContent-Disposition: " + part + b"\r\n" for part in parts) + b"--edge--\r\n"
        headers = {"content-type": "multipart/form-data; boundary=edge", "sec-fetch-site": "same-origin"}
        return self.ask("POST", path, body=body, headers=headers)

    def ask(self, method, path="", *, headers=None, body=b"", chunks=None, key=None):
        path, _, query = path.partition("?")
        sent = {"host": f"127.0.0.1:{self.door.port}", **(headers or {})}
        whole = f"/{self.door.key if key is None else key}/{path}"
        scope = {
            "type": "http",
            "asgi": {"version": "3.0"},
            "http_version": "1.1",
            "method": method,
            "scheme": "http",
            "path": whole,
            "raw_path": whole.encode(),
            "query_string": query.encode(),
            "root_path": "",
            "headers": [(name.lower().encode(), value.encode()) for name, value in sent.items() if value is not None],
            "server": ("127.0.0.1", self.door.port),
            "client": ("127.0.0.1", 40_000),
        }
        return asyncio.run(
            _ask(self.app, scope, chunks if hasattr(chunks, "pop") else list(chunks) if chunks is not None else [body])
        )


def _each(values):
    return [values] if isinstance(values, str) else values


async def _ask(app, scope, chunks):
    messages = []

    async def receive():
        if not chunks:
            return {"type": "http.disconnect"}
        data = chunks.pop(0)
        return {"type": "http.request", "body": data, "more_body": bool(chunks)}

    async def send(message):
        messages.append(message)

    await app(scope, receive, send)
    start = next(one for one in messages if one["type"] == "http.response.start")
    body = b"".join(one.get("body", b"") for one in messages if one["type"] == "http.response.body")
    return Answer(start["status"], {name.decode(): value.decode() for name, value in start["headers"]}, body)
