"""A branch that a host serves, by git itself: always one commit without a past, so that what was withdrawn is gone.

Files of others in the branch stay. Nothing of the artist's own git is touched but what lets them in.
"""

import os
import shutil
import subprocess
import tempfile
from collections.abc import Callable, Iterable
from pathlib import Path

from archgen.languages.house import say
from archgen.uploading.place import (
    ANSWER_S,
    UploadError,
    cut,
    disk_words,
    forbidden,
    full,
    odd,
    refused,
    slow,
    unproven,
    unreachable,
)
from archgen.uploading.target import Target

_REMOTE, _HEAD = "there", "refs/heads/archgen"
_WORDS = "Portfolio"
# Nothing is asked on the terminal: git would wait there for ever. The name of who commits is nobody's.
_ENVIRONMENT = {
    "GIT_TERMINAL_PROMPT": "0",
    "GIT_AUTHOR_NAME": "archgen",
    "GIT_AUTHOR_EMAIL": "archgen@localhost",
    "GIT_COMMITTER_NAME": "archgen",
    "GIT_COMMITTER_EMAIL": "archgen@localhost",
    "LC_ALL": "C",
}


def _key(where: str, _target: Target) -> UploadError:
    return UploadError(
        say(
            "The key of {where} isn't the known one, or not known yet: somebody may stand in "
            "between. Nothing was sent. Ask your host, then visit it once with: ssh {where}",
            where=where,
        )
    )


def _meanwhile(_where: str, target: Target) -> UploadError:
    return UploadError(say("The branch {branch} changed meanwhile. Try again.", branch=target.branch))


# How git and ssh say it in English, and our sentence; the first that fits.
_TOLD: tuple[tuple[tuple[str, ...], Callable[[str, Target], UploadError]], ...] = (
    (("stale info", "fetch first"), _meanwhile),
    (("operation too slow", "timed out"), lambda where, _: slow(where)),
    (("host key verification failed", "identification has changed"), _key),
    (
        ("authentication failed", "permission denied (", "could not read username", "error: 403"),
        lambda where, target: refused(where, target.user),
    ),
    (("no space left", "quota", "file size limit", "too large"), lambda where, _: full(where)),
    (
        ("protected branch", "hook declined", "permission to", "unpacker error", "read-only"),
        lambda where, target: forbidden(where, say("the branch {branch}", branch=target.branch)),
    ),
    (
        ("could not resolve", "connection refused", "no route", "does not appear to be a git", "not found"),
        lambda where, _: unreachable(where),
    ),
    (("certificate",), lambda where, _: unproven(where)),
    (("hung up", "connection reset", "early eof", "closed by remote", "broken pipe"), lambda where, _: cut(where)),
)


class GitPlace:
    """The tree of a branch."""

    at_once = True

    def __init__(self, target: Target) -> None:
        self.target = target
        program = shutil.which("git")
        if program is None:
            raise UploadError(say("The program git isn't installed on this computer, and a branch needs it."))
        self._program = program
        self._folder = tempfile.mkdtemp(prefix="archgen-git-")
        try:
            self._git("init", "--quiet", "--bare", "--template=")
            self._before = self._fetch()
        except BaseException:
            self.close()
            raise
        self._blobs = self._listed()
        self._new: dict[str, Path] = {}

    def _fetch(self) -> str:
        """Fetch the trees of the branch as it is; give its commit, empty where there is no such branch."""
        self._git("remote", "add", _REMOTE, self.target.address)
        told = self._git("ls-remote", _REMOTE, f"refs/heads/{self.target.branch}").decode().split()
        if not told:
            return ""
        self._git("fetch", "--quiet", "--depth=1", "--no-tags", "--filter=blob:none", _REMOTE, f"+{told[1]}:{_HEAD}")
        return self._git("rev-parse", _HEAD).decode().strip()

    def _listed(self) -> dict[str, tuple[str, str, int | None]]:
        """Give mode, id and size in bytes of every file of the branch, by its path.

        Sizes are asked for where others have changed the branch, for then everything is fetched.
        """
        found: dict[str, tuple[str, str, int | None]] = {}
        if not self._before:
            return found
        facts = self._git("show", "--no-patch", "--format=%P%ae", self._before).decode().strip()
        sizes = [] if facts == _ENVIRONMENT["GIT_AUTHOR_EMAIL"] else ["-l"]
        for line in self._git("ls-tree", "-r", *sizes, "-z", self._before).decode("utf-8", "replace").split("\0"):
            facts, tab, path = line.partition("\t")
            if tab:
                mode, _, blob, *size = facts.split()
                found[path] = mode, blob, int(size[0]) if size and size[0].isdecimal() else None
        return found

    def sizes(self, folders: Iterable[str]) -> dict[str, int | None]:  # noqa: ARG002
        """Give all of them."""
        return {path: size for path, (_, _, size) in self._blobs.items()}

    def read(self, path: str) -> bytes | None:
        """Read a file."""
        found = self._blobs.get(path)
        return self._git("cat-file", "blob", found[1]) if found and found[1] else None

    def put(self, path: str, content: bytes) -> None:
        """Keep it for the commit."""
        file = Path(self._folder, f"new-{len(self._new)}")
        with disk_words(self._folder):
            file.write_bytes(content)
        self._new[path] = file
        self._blobs[path] = "100644", "", len(content)

    def remove(self, path: str) -> None:
        """Leave it out of the commit."""
        self._blobs.pop(path, None)
        self._new.pop(path, None)

    def finish(self) -> None:
        """Make the commit, and let the branch be it, unless the branch changed meanwhile."""
        names = "".join(f"{file}\n" for file in self._new.values())
        ids = self._git("hash-object", "-w", "--no-filters", "--stdin-paths", given=os.fsencode(names)).decode().split()
        for path, blob in zip(self._new, ids, strict=True):
            self._blobs[path] = "100644", blob, self._blobs[path][2]
        lines = "".join(f"{mode} {blob}\t{path}\0" for path, (mode, blob, _) in sorted(self._blobs.items()))
        self._git("read-tree", "--empty")
        self._git("update-index", "-z", "--index-info", given=lines.encode())
        tree = self._git("write-tree", "--missing-ok").decode().strip()
        commit = self._git("commit-tree", tree, "-m", _WORDS).decode().strip()
        place = f"refs/heads/{self.target.branch}"
        lease = f"--force-with-lease={place}:{self._before}"
        self._git("push", "--quiet", lease, _REMOTE, f"{commit}:{place}")
        self._before = commit

    def close(self) -> None:
        """Throw our copy away."""
        shutil.rmtree(self._folder, ignore_errors=True)

    def _git(self, *arguments: str, given: bytes = b"") -> bytes:
        environment = {**os.environ, **_ENVIRONMENT, "GIT_DIR": self._folder, "GIT_INDEX_FILE": f"{self._folder}/index"}
        environment.setdefault("GIT_SSH_COMMAND", "ssh -o BatchMode=yes")
        settings = ["http.lowSpeedLimit=1", f"http.lowSpeedTime={ANSWER_S:.0f}", f"core.hooksPath={os.devnull}"]
        command = [self._program, *(word for one in settings for word in ("-c", one)), *arguments]
        try:
            done = subprocess.run(command, input=given, capture_output=True, env=environment, check=False)  # noqa: S603
        except OSError as error:
            raise odd("git", error.strerror or "no") from error
        if done.returncode:
            raise self._error(done.stderr.decode("utf-8", "replace"))
        return done.stdout

    def _error(self, told: str) -> UploadError:
        where, low = self.target.host or self.target.address, told.lower()
        for words, sentence in _TOLD:
            if any(word in low for word in words):
                return sentence(where, self.target)
        lines = [line for line in told.splitlines() if line.strip()] or ["no"]
        return odd(where, lines[-1].removeprefix("fatal: ").removeprefix("error: "))
