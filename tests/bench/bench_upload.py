"""Cut uploads at random moments, and weigh what one changed piece in a site of 300 sends.

    python -m tests.bench.bench_upload [cuts]

For each kind of server that can be reached over a wire: how many of the uploads broke, in how many something had
changed online by then; each time all pages are walked through and none may lack a picture. Needs the extra `test`.
"""

import os
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from archgen.uploading.opening import PASSWORD as PASSWORD_VARIABLE
from tests.reference.test_upload_servers import cut_again_and_again
from tests.unit.uploading.made_sites import Breaking, made, paths_of, send
from tests.upload_servers import PASSWORD, s3_server, sftp_server, webdav_server

OLD = {"moth": 1, "owl": 2, "fern": 3, "koi": 5}
NEW = {"moth": 1, "fern": 30, "heron": 4, "koi": 5}


def main(cuts: int) -> None:
    os.environ |= {
        PASSWORD_VARIABLE: PASSWORD,
        "AWS_ACCESS_KEY_ID": "key",
        "AWS_SECRET_ACCESS_KEY": PASSWORD,
    }
    with TemporaryDirectory() as folder:
        top = Path(folder)
        os.environ["XDG_CONFIG_HOME"] = folder
        sites = made(top / "old", OLD), made(top / "new", NEW, withdrawn=paths_of("owl"), look="b")
        for kind, serve in (
            ("sftp", lambda: sftp_server(top / "sftp")),
            ("s3", s3_server),
            ("webdav", lambda: webdav_server(top / "webdav")),
        ):
            with serve() as server:
                broken, changed = cut_again_and_again(server, sites, top / f"out-{kind}", cuts)
            print(f"{kind:7} {cuts} cuts, {broken} broke off, {changed} after something had changed; all whole")
        _weigh(top)


def _weigh(top: Path) -> None:
    pieces = {f"piece-{number}": number for number in range(300)}
    send(Breaking(top / "web"), made(top / "many", pieces), top / "out")
    place = Breaking(top / "web")
    ready = send(place, made(top / "changed", {**pieces, "piece-77": 1000}), top / "out")
    put = [path for what, path in place.done if what == "put"]
    sizes = {path: (top / "web" / path).stat().st_size for path in put if (top / "web" / path).exists()}
    own = sum(size for path, size in sizes.items() if path in ready.site.files)
    print(f"one piece of 300: {len(put)} files put, {own} bytes of the site, {sum(sizes.values()) - own} of the list")
    print("  " + " ".join(put))


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 50)
