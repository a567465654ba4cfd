"""Small portfolios as a build leaves them, a place on a disk that can break, and a walk through what is online."""

import re
from functools import cache
from html.parser import HTMLParser
from io import BytesIO
from pathlib import Path
from urllib.parse import unquote

from PIL import Image

from archgen.progress import Silent
from archgen.uploading.built import BuiltFile, BuiltSite
from archgen.uploading.carry import Upload
from archgen.uploading.place import PART, UploadError
from archgen.uploading.places.on_disk import FolderPlace
from archgen.uploading.plan import PlaceState, folders_to_look_into, make_plan
from archgen.uploading.sent import LIST, UNDER_WAY, SentHere, sent_there, short_digest
from archgen.uploading.target import parse_target

PER_STYLE = 5


@cache
def picture(tone: int, form: str = "WEBP") -> bytes:
    content = BytesIO()
    exact = {"lossless": True} if form == "WEBP" else {"quality": 100, "speed": 10, "max_threads": 1}
    Image.new("RGB", (8, 8), (tone % 256, tone // 256 % 256, 90)).save(content, form, **exact)
    return content.getvalue()


def page(title: str, pictures=(), links=(), root="") -> bytes:
    shown = "".join(
        f'<picture><source type="image/avif" srcset="{root}{one.removesuffix("webp")}avif 8w">'
        f'<img src="{root}{one}" srcset="{root}{one} 8w" alt=""></picture>'
        for one in pictures
    )
    ways = "".join(f'<a href="{root}{one}">{one}</a>' for one in links)
    head = f'<link rel="stylesheet" href="{root}assets/theme.css">'
    return f"<!doctype html><title>{title}</title>{head}{shown}{ways}".encode()


def made(folder: Path, pieces: dict[str, int], *, withdrawn=(), look="a") -> BuiltSite:
    """Write a portfolio: a page and two pictures, each in two formats, for each piece; a home, a page per style."""
    files: dict[str, bytes] = {"assets/theme.css": f"/* {look} */".encode(), "robots.txt": b"User-agent: *\n"}
    for name, tone in pieces.items():
        shown = [f"img/{name}-{size}.webp" for size in (1, 2)]
        for number, path in enumerate(shown):
            files[path] = picture(tone * 2 + number)
            files[f"{path.removesuffix('webp')}avif"] = picture(tone * 2 + number, "AVIF")
        files[f"pieces/{name}.html"] = page(f"{name} {tone}", shown, ["index.html"], "../")
    names = list(pieces)
    for number in range(0, len(names), PER_STYLE):
        some = names[number : number + PER_STYLE]
        shown = [f"img/{name}-1.webp" for name in some]
        links = [f"pieces/{name}.html" for name in some]
        files[f"styles/{number // PER_STYLE}.html"] = page("style", shown, links, "../")
    links = [f"pieces/{name}.html" for name in names]
    words = " ".join(f"{name} {tone}" for name, tone in pieces.items())
    files["index.html"] = page(words, [f"img/{name}-1.webp" for name in names], links)
    files["about.html"] = page("about", (), ["index.html"])
    files["feed.xml"] = f"<feed>{words}</feed>".encode()
    files["sitemap.xml"] = f"<urlset>{words}</urlset>".encode()
    for path, content in files.items():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_bytes(content)
    found = {path: BuiltFile(short_digest(content), len(content)) for path, content in sorted(files.items())}
    return BuiltSite(folder, found, frozenset(withdrawn))


def paths_of(name: str) -> list[str]:
    return [f"pieces/{name}.html", *(f"img/{name}-{size}.{form}" for size in (1, 2) for form in ("avif", "webp"))]


def prepare(place, site: BuiltSite, out: Path, target: str = "/nowhere/at all") -> Upload:
    """Compare a site with what lies at a place; `out` is where this computer remembers."""
    out.mkdir(exist_ok=True)
    aim = parse_target(target, out)
    here = SentHere(out, aim)
    there, is_broken = sent_there(place)
    sizes = place.sizes(folders_to_look_into(site, there, here.read()))
    known = PlaceState(there, here.read(), sizes, is_broken)
    return Upload(aim, place, site, known, here, make_plan(site, known))


def send(place, site: BuiltSite, out: Path, target: str = "/nowhere/at all") -> Upload:
    ready = prepare(place, site, out, target)
    ready.carry_out(Silent())
    return ready


class Breaking(FolderPlace):
    """A folder whose disk goes away after so many writes; `done` has them in order."""

    def __init__(self, top: Path, writes: int = 10**9):
        super().__init__(top)
        self.left = writes
        self.done: list[tuple[str, str]] = []

    def _count(self, what, path):
        if not self.left:
            raise UploadError("The disk went away.")
        self.left -= 1
        self.done.append((what, path))

    def put(self, path, content):
        self._count("put", path)
        super().put(path, content)

    def remove(self, path):
        self._count("remove", path)
        super().remove(path)


class _Links(HTMLParser):
    def __init__(self):
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag, attrs):
        for name, value in attrs:
            if name in {"src", "srcset"} or (name == "href" and tag == "link"):
                self.found += [part.split()[0] for part in value.split(",")]


def missing_from(files: dict[str, bytes]) -> list[str]:
    """Walk through a site: what its pages show and isn't there, or is no whole picture or style."""
    wrong = []
    for path, content in files.items():
        if not path.endswith(".html"):
            continue
        links = _Links()
        links.feed(content.decode())
        for link in links.found:
            shown = re.sub(r"^\./", "", unquote(link).removeprefix("../"))
            if shown not in files or (shown.endswith((".webp", ".avif")) and not is_whole(files[shown])):
                wrong.append(f"{path} shows {shown}")
    return wrong


@cache
def is_whole(content: bytes) -> bool:
    try:
        Image.open(BytesIO(content)).load()
    except OSError:
        return False
    return True


def read_folder(top: Path) -> dict[str, bytes]:
    return {path.relative_to(top).as_posix(): path.read_bytes() for path in sorted(top.rglob("*")) if path.is_file()}


def visible(files: dict[str, bytes]) -> dict[str, bytes]:
    """Leave out archgen's own lists and what is half written, which no page names."""
    return {path: content for path, content in files.items() if path not in {LIST, UNDER_WAY} and PART not in path}


def as_built(site: BuiltSite) -> dict[str, bytes]:
    return {path: site.read(path) for path in site.files}
