"""Servers on the loopback address that a portfolio is sent to, programs of others: SFTP, S3, WebDAV, and git itself."""

import asyncio
import logging
import socket
import subprocess
import threading
from collections.abc import Callable
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

USER, PASSWORD = "me", "mouse-and-lamp"
BUCKET = "web"


class Wire:
    """A connection that can be cut: passes on so many bytes of who sends, then drops both ends.

    Attributes:
        left: Bytes that still pass; None: all.
        passed: Bytes that have passed.
    """

    def __init__(self, port: int):
        self.left: int | None = None
        self.passed = 0
        self.behind = port
        self._door = socket.create_server(("127.0.0.1", 0))
        self.port = self._door.getsockname()[1]
        threading.Thread(target=self._serve, daemon=True).start()

    def _serve(self):
        with suppress(OSError):
            while True:
                caller, _ = self._door.accept()
                threading.Thread(target=self._join, args=(caller,), daemon=True).start()

    def _join(self, caller):
        with suppress(OSError), caller, socket.create_connection(("127.0.0.1", self.behind)) as server:
            for end in (caller, server):
                end.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
            back = threading.Thread(target=self._back, args=(server, caller), daemon=True)
            back.start()
            while part := caller.recv(1 << 16):
                if self.left is not None:
                    part = part[: self.left]
                    self.left -= len(part)
                server.sendall(part)
                self.passed += len(part)
                if self.left == 0:
                    break
            for end in (server, caller):
                with suppress(OSError):
                    end.shutdown(socket.SHUT_RDWR)
            back.join()

    def _back(self, server, caller):
        with suppress(OSError):
            while part := server.recv(1 << 16):
                caller.sendall(part)
        with suppress(OSError):
            caller.shutdown(socket.SHUT_RDWR)

    def close(self):
        self._door.close()


@dataclass
class Served:
    """A server: the address a portfolio is sent to, what lies there now, and how to empty it."""

    address: str
    read: Callable[[], dict[str, bytes]]
    write: Callable[[dict[str, bytes]], None]
    wire: Wire | None = None


def on_disk(top: Path) -> tuple[Callable, Callable]:
    def read():
        return {one.relative_to(top).as_posix(): one.read_bytes() for one in sorted(top.rglob("*")) if one.is_file()}

    def write(files):
        for path in top.rglob("*"):
            if path.is_file() and path.relative_to(top).as_posix() not in files:
                path.unlink()
        for path, content in files.items():
            (top / path).parent.mkdir(parents=True, exist_ok=True)
            (top / path).write_bytes(content)

    return read, write


async def _stopped(server, visitors):
    server.close()
    for visitor in visitors:
        visitor.abort()
        await visitor.wait_closed()
    rest = asyncio.all_tasks() - {asyncio.current_task()}
    for task in rest:
        task.cancel()
    await asyncio.gather(*rest, return_exceptions=True)


@contextmanager
def sftp_server(top: Path, *, refuses=lambda _path: None, key=None, wire=None):
    """Serve a folder by asyncssh; `refuses` is called with every path that is opened, `wire` is what leads to it."""
    top.mkdir(exist_ok=True)
    import asyncssh

    visitors = []

    class Door(asyncssh.SSHServer):
        def connection_made(self, conn):
            visitors.append(conn)

        def begin_auth(self, _username):
            return True

        def password_auth_supported(self):
            return True

        def validate_password(self, username, password):
            return (username, password) == (USER, PASSWORD)

    class Files(asyncssh.SFTPServer):
        def __init__(self, chan):
            super().__init__(chan, chroot=str(top))

        def open(self, path, pflags, attrs):
            refuses(path.decode())
            return super().open(path, pflags, attrs)

    logging.getLogger("asyncssh").setLevel(logging.CRITICAL)
    loop = asyncio.new_event_loop()
    thread = threading.Thread(target=loop.run_forever, daemon=True)
    thread.start()
    key = key or asyncssh.generate_private_key("ssh-ed25519")

    async def start():
        return await asyncssh.create_server(Door, "127.0.0.1", 0, server_host_keys=[key], sftp_factory=Files)

    server = asyncio.run_coroutine_threadsafe(start(), loop).result(10)
    wire = wire or Wire(server.get_port())
    wire.behind = server.get_port()
    try:
        yield Served(f"sftp://{USER}@127.0.0.1:{wire.port}/site", *on_disk(top / "site"), wire)
    finally:
        asyncio.run_coroutine_threadsafe(_stopped(server, visitors), loop).result(10)
        loop.call_soon_threadsafe(loop.stop)
        thread.join(5)
        loop.close()


@contextmanager
def s3_server():
    """Serve a bucket by moto."""
    from moto.s3.models import s3_backends
    from moto.server import ThreadedMotoServer

    logging.getLogger("werkzeug").setLevel(logging.CRITICAL)
    server = ThreadedMotoServer(ip_address="127.0.0.1", port=0, verbose=False)
    server.start()
    store = s3_backends["123456789012"]["aws"]
    store.create_bucket(BUCKET, "us-east-1")
    wire = Wire(server.get_host_and_port()[1])

    def read():
        keys = store.buckets[BUCKET].keys
        return {name.removeprefix("site/"): one.value for name, one in keys.items()}

    def write(files):
        store.buckets[BUCKET].keys.clear()
        for path, content in files.items():
            store.put_object(BUCKET, f"site/{path}", content)

    try:
        yield Served(f"s3://{BUCKET}/site?endpoint=http://127.0.0.1:{wire.port}", read, write, wire)
    finally:
        wire.close()
        server.stop()


@contextmanager
def webdav_server(top: Path):
    """Serve a folder by wsgidav on cheroot."""
    from cheroot.wsgi import Server
    from wsgidav.wsgidav_app import WsgiDAVApp

    (top / "site").mkdir(parents=True, exist_ok=True)
    settings = {
        "provider_mapping": {"/": str(top)},
        "simple_dc": {"user_mapping": {"*": {USER: {"password": PASSWORD}}}},
        "http_authenticator": {"accept_basic": True, "accept_digest": True, "default_to_digest": True},
        "verbose": 0,
        "logging": {"enable": False},
        "lock_storage": False,
        "property_manager": None,
    }
    server = Server(("127.0.0.1", 0), WsgiDAVApp(settings))
    server.error_log = lambda *_, **__: None
    server.prepare()
    thread = threading.Thread(target=server.serve, daemon=True)
    thread.start()
    wire = Wire(server.bind_addr[1])
    try:
        yield Served(f"dav://{USER}@127.0.0.1:{wire.port}/site", *on_disk(top / "site"), wire)
    finally:
        wire.close()
        server.stop()
        thread.join(5)


def git(folder: Path, *arguments: str) -> bytes:
    return subprocess.run(["git", "-C", str(folder), *arguments], check=True, capture_output=True).stdout


@contextmanager
def git_branch(top: Path):
    """Give a bare repository of git itself."""
    top.mkdir(parents=True, exist_ok=True)
    subprocess.run(["git", "init", "--quiet", "--bare", str(top)], check=True)
    git(top, "config", "uploadpack.allowFilter", "true")

    def read():
        if b"refs/heads/pages" not in git(top, "for-each-ref"):
            return {}
        names = git(top, "ls-tree", "-r", "-z", "--name-only", "pages").decode().split("\0")
        return {name: git(top, "cat-file", "blob", f"pages:{name}") for name in names if name}

    def write(files):
        assert not files
        subprocess.run(["git", "-C", str(top), "update-ref", "-d", "refs/heads/pages"], check=True)

    yield Served(f"git+file://{top}#pages", read, write)
