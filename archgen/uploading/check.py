"""Look afterwards whether what is online is what was built, and whether what left really is gone."""

import http.client
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import partial
from http import HTTPStatus
from urllib.parse import quote

from archgen import __version__
from archgen.languages.house import say
from archgen.progress import ProgressReporter
from archgen.uploading.built import BuiltSite
from archgen.uploading.place import ANSWER_S, UploadPlace
from archgen.uploading.plan import folders_to_look_into, has_size
from archgen.uploading.sent import short_digest

_GONE = (HTTPStatus.NOT_FOUND, HTTPStatus.GONE)
# A host that has just been sent something may show the version before for a moment.
_TRIES, _PAUSE_S = 3, 2.0


@dataclass(frozen=True, slots=True)
class UploadCheck:
    """What was looked at, and what isn't as it should be; paths.

    Attributes:
        looked: How many files were compared byte by byte.
        other: Files that aren't what was built.
        still: Addresses that should be gone and still answer.
        unreached: Why the site couldn't be looked at at all; empty when it could.
    """

    looked: int
    other: tuple[str, ...] = ()
    still: tuple[str, ...] = ()
    unreached: str = ""

    @property
    def is_fine(self) -> bool:
        """Say whether all is as it should be."""
        return not (self.other or self.still or self.unreached)


def check_place(place: UploadPlace, site: BuiltSite, paths: Iterable[str], progress: ProgressReporter) -> UploadCheck:
    """Compare what lies at a place: all files by their sizes, those of `paths` byte by byte.

    Raises:
        UploadError: It cannot be read.
    """
    sizes = place.sizes(folders_to_look_into(site))
    other = {path for path, file in site.files.items() if not has_size(sizes, path, file)}
    wanted = [path for path in paths if path not in other]
    for path in progress.track(wanted, len(wanted), "Checking"):
        if short_digest(place.read(path) or b"") != site.files[path].digest:
            other.add(path)
    still = tuple(sorted(path for path in site.withdrawn if path in sizes and path not in site.files))
    return UploadCheck(len(wanted), tuple(sorted(other)), still)


def check_online(url: str, site: BuiltSite, paths: Iterable[str], progress: ProgressReporter) -> UploadCheck:
    """Ask the site as a visitor does: files of `paths`, and the addresses of all that left."""
    wanted = [path for path in paths if path in site.files]
    gone = sorted(site.withdrawn - site.files.keys())
    asked = [*((path, True) for path in wanted), *((path, False) for path in gone)]
    other: list[str] = []
    still: list[str] = []
    try:
        for path, is_there in progress.track(asked, len(asked), say("Looking at the site")):
            holds = partial(_reads, url, path, site) if is_there else partial(_is_gone, url, path)
            if not _tried(holds):
                (other if is_there else still).append(path)
    except (OSError, http.client.HTTPException) as error:
        return UploadCheck(0, unreached=" ".join(str(getattr(error, "reason", error)).split())[:120])
    return UploadCheck(len(wanted), tuple(other), tuple(still))


def _tried(holds: Callable[[], bool]) -> bool:
    """Ask a few times, with a pause."""
    for left in reversed(range(_TRIES)):
        if holds():
            return True
        if left:
            time.sleep(_PAUSE_S)
    return False


def _reads(url: str, path: str, site: BuiltSite) -> bool:
    status, content = _answer(url, path)
    return status == HTTPStatus.OK and short_digest(content) == site.files[path].digest


def _is_gone(url: str, path: str) -> bool:
    return _answer(url, path)[0] in _GONE


def _answer(url: str, path: str) -> tuple[int, bytes]:
    """Fetch a file of the site, past what is kept on the way.

    Raises:
        OSError: Nobody answers.
    """
    request = urllib.request.Request(  # noqa: S310  the settings let only http and https in
        f"{url.rstrip('/')}/{quote(path)}",
        headers={"User-Agent": f"archgen/{__version__}", "Cache-Control": "no-cache", "Accept-Encoding": "identity"},
    )
    try:
        with urllib.request.urlopen(request, timeout=ANSWER_S) as answer:  # noqa: S310
            return answer.status, answer.read()
    except urllib.error.HTTPError as error:
        return error.code, b""


def all_of(site: BuiltSite) -> Iterator[str]:
    """Give the paths of everything that can be asked for; what answers for a wrong address has none of its own."""
    return (path for path in site.files if path != "404.html")
