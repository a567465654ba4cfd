"""Build the files on disk again after saves, in a process of its own, so that no page waits for it."""

import subprocess
import sys
import threading
from collections.abc import Callable
from pathlib import Path

from archgen.build import Options, build
from archgen.errors import ArchgenError
from archgen.progress import Silent

# Filing one piece after the other starts one build, not one each.
SETTLE_SECONDS = 5.0
# What a build does with pictures in the cache that it did not need: those that wait to be filed are among them.
TIDY, KEEP = "tidy", "keep"


class BackgroundBuild:
    """Builds again some seconds after it was last asked to, one build at a time."""

    def __init__(
        self,
        root: Path,
        out: Path,
        then: Callable[[], None],
        may_tidy: Callable[[], bool] = lambda: False,
        settle: float = SETTLE_SECONDS,
    ) -> None:
        self._command = [sys.executable, "-m", "archgen.desk.background", str(root), str(out)]
        self._then = then
        self._may_tidy = may_tidy
        self._settle = settle
        self._asked = threading.Event()
        self._stop = threading.Event()
        self._process: subprocess.Popen[str] | None = None
        self._thread = threading.Thread(target=self._run, name="build", daemon=True)
        self.trouble = ""

    def start(self) -> None:
        """Begin to listen."""
        self._thread.start()

    def ask(self) -> None:
        """Ask for a build."""
        self._asked.set()

    def stop(self) -> None:
        """End, and end a build that runs; the old files on disk stay whole."""
        self._stop.set()
        self._asked.set()
        if self._process:
            self._process.terminate()
        if self._thread.is_alive():
            self._thread.join(timeout=10)

    def _run(self) -> None:
        while not self._stop.is_set():
            self._asked.wait()
            while self._asked.is_set() and not self._stop.is_set():
                self._asked.clear()
                self._stop.wait(self._settle)
            if not self._stop.is_set():
                self._build()

    def _build(self) -> None:
        command = [*self._command, TIDY if self._may_tidy() else KEEP]
        self._process = subprocess.Popen(  # noqa: S603 - this very program
            command, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True
        )
        if self._stop.is_set():
            self._process.terminate()
        _, said = self._process.communicate()
        self.trouble = "" if self._process.returncode == 0 else said.strip()
        if not self._stop.is_set():
            self._then()


def main(root: str, out: str, tidy: str) -> None:
    """Build once and say in one sentence what stopped it."""
    try:
        build(Path(root), Path(out), Options(workers=1, tidy=tidy == TIDY), Silent())
    except (ArchgenError, OSError) as error:
        sys.exit(str(error))


if __name__ == "__main__":
    main(*sys.argv[1:])
