"""A portfolio sent to servers of others on the loopback address, and cut off at random moments.

The servers: asyncssh (SFTP, draft-ietf-secsh-filexfer-02), moto (S3), wsgidav on cheroot (WebDAV, RFC 4918), git.
"""

import random
from contextlib import ExitStack
from pathlib import Path

import pytest

from archgen.progress import Silent
from archgen.uploading.opening import PASSWORD as PASSWORD_VARIABLE
from archgen.uploading.opening import entered
from archgen.uploading.place import UploadError
from archgen.uploading.target import parse_target
from archgen.uploading.upload import looked_at_again
from tests.unit.uploading.made_sites import as_built, made, missing_from, paths_of, prepare, visible
from tests.upload_servers import PASSWORD, git, git_branch, s3_server, sftp_server, webdav_server

# tests/bench/bench_upload.py cuts more often.
CUTS = 6
OLD = {"moth": 1, "owl": 2}
NEW = {"moth": 10, "heron": 4}


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    top = tmp_path_factory.mktemp("sites")
    return made(top / "old", OLD), made(top / "new", NEW, withdrawn=paths_of("owl"), look="b")


@pytest.fixture(scope="module")
def servers(tmp_path_factory):
    """Give each kind of server when it is asked for, one for all tests of this file."""
    with ExitStack() as stack:
        found = {}

        def served(kind):
            if kind not in found:
                top = tmp_path_factory.mktemp(kind)
                start = {
                    "sftp": lambda: sftp_server(top),
                    "s3": s3_server,
                    "webdav": lambda: webdav_server(top),
                    "git": lambda: git_branch(top / "site.git"),
                }[kind]
                found[kind] = stack.enter_context(start())
            server = found[kind]
            if server.wire:
                server.wire.left = None
            server.write({})
            return server

        yield served


@pytest.fixture(autouse=True)
def credentials(monkeypatch):
    monkeypatch.setenv(PASSWORD_VARIABLE, PASSWORD)
    monkeypatch.setenv("AWS_ACCESS_KEY_ID", "key")
    monkeypatch.setenv("AWS_SECRET_ACCESS_KEY", PASSWORD)


def sent(server, site, out):
    with entered(parse_target(server.address, out), lambda *_: True) as place:
        ready = prepare(place, site, out, server.address)
        ready.carry_out(Silent())
    return ready


@pytest.mark.parametrize("kind", ["sftp", "s3", "webdav", "git"])
def test_a_portfolio_arrives_changes_and_is_found_to_be_what_was_built(kind, servers, built, tmp_path):
    server, (old, new) = servers(kind), built
    sent(server, old, tmp_path / "out")
    assert visible(server.read()) == as_built(old)
    ready = sent(server, new, tmp_path / "out")
    assert not ready.doubts
    assert visible(server.read()) == as_built(new)
    assert not [path for path in server.read() if "owl" in path]
    target = parse_target(server.address, tmp_path)
    checked = looked_at_again(new, new.files, target, lambda *_: True, Silent())
    assert checked.is_fine
    assert checked.looked == len(new.files)
    with entered(target, lambda *_: True) as place:
        assert prepare(place, new, tmp_path / "out", server.address).plan.is_empty


@pytest.mark.parametrize("kind", ["sftp", "s3", "webdav"])
def test_a_connection_cut_at_any_moment_never_leaves_a_page_without_its_pictures(kind, servers, built, tmp_path):
    server = servers(kind)
    broken, on_the_way = cut_again_and_again(server, built, tmp_path / "out", CUTS)
    assert broken > CUTS * 0.9
    assert on_the_way > CUTS * 0.4
    server.wire.left = None
    sent(server, built[1], tmp_path / "out")
    assert visible(server.read()) == as_built(built[1])


def cut_again_and_again(server, built, out, cuts):
    """Cut a second upload at random moments, one in each stretch of it; say how many broke, and how many had begun."""
    old, new = built
    sent(server, old, out)
    before = server.read()
    known = {one: one.read_bytes() for one in out.iterdir()}

    def begin_again():
        server.wire.left = None
        server.write(before)
        for path, content in known.items():
            path.write_bytes(content)

    passed = server.wire.passed
    sent(server, new, out)
    whole = server.wire.passed - passed
    rng, broken, on_the_way = random.Random(11), 0, 0
    for number in range(cuts):
        begin_again()
        server.wire.left = int(whole * (number + rng.random()) / cuts) + 1
        try:
            sent(server, new, out)
        except UploadError:
            broken += 1
        online = server.read()
        assert missing_from(online) == []
        on_the_way += online != before
    return broken, on_the_way


def test_a_branch_holds_one_commit_without_a_past_and_files_of_others_stay(servers, built, tmp_path):
    server, (old, new) = servers("git"), built
    top = Path(server.address.removeprefix("git+file://").partition("#")[0])
    sent(server, old, tmp_path / "out")
    withdrawn = git(top, "rev-parse", "pages:img/owl-1.webp").decode().strip()
    others = tmp_path / "others"
    git(tmp_path, "clone", "--quiet", "--branch", "pages", str(top), str(others))
    (others / "CNAME").write_text("example.org")
    git(others, "add", "CNAME")
    git(others, "-c", "user.name=x", "-c", "user.email=x@localhost", "commit", "--quiet", "-m", "name")
    git(others, "push", "--quiet")
    sent(server, new, tmp_path / "out")
    assert git(top, "rev-list", "--count", "pages").strip() == b"1"
    assert server.read()["CNAME"] == b"example.org"
    assert visible({path: content for path, content in server.read().items() if path != "CNAME"}) == as_built(new)
    reachable = git(top, "rev-list", "--objects", "--all").decode()
    assert withdrawn not in reachable


@pytest.mark.parametrize("passes", [0, 300, 900])
def test_a_push_that_is_cut_leaves_the_branch_as_it_was(servers, built, tmp_path, monkeypatch, passes):
    server, (old, new) = servers("git"), built
    sent(server, old, tmp_path / "out")
    before = server.read()
    cutting = tmp_path / "receive"
    cutting.write_text(f'#!/bin/sh\nhead -c {passes} | git-receive-pack "$1"\n')
    cutting.chmod(0o755)
    monkeypatch.setenv("GIT_CONFIG_COUNT", "1")
    monkeypatch.setenv("GIT_CONFIG_KEY_0", "remote.there.receivepack")
    monkeypatch.setenv("GIT_CONFIG_VALUE_0", str(cutting))
    with pytest.raises(UploadError, match="Nothing was changed there"):
        sent(server, new, tmp_path / "out")
    assert server.read() == before
    monkeypatch.setenv("GIT_CONFIG_COUNT", "0")
    assert not sent(server, new, tmp_path / "out").doubts
    assert visible(server.read()) == as_built(new)


def test_a_branch_gets_and_gives_only_what_changed(servers, tmp_path):
    server = servers("git")
    top = Path(server.address.removeprefix("git+file://").partition("#")[0])
    pieces = {f"piece-{number}": number for number in range(40)}
    sent(server, made(tmp_path / "old", pieces), tmp_path / "out")

    def objects():
        lines = git(top, "cat-file", "--batch-all-objects", "--batch-check").decode().splitlines()
        return {line.split()[0] for line in lines if " blob " in line}

    before = objects()
    new = made(tmp_path / "new", {**pieces, "piece-7": 500})
    with entered(parse_target(server.address, tmp_path), lambda *_: True) as place:
        ready = prepare(place, new, tmp_path / "out", server.address)
        ready.carry_out(Silent())
        have = git(Path(place._folder), "cat-file", "--batch-all-objects", "--batch-check").decode().count(" blob ")
    # What was sent before, what is sent, and what that is packed as a difference from; not the whole site.
    assert have <= 1 + 10 + 10
    # The five files of the piece, its style page, home, feed, site map, and the list of what was sent.
    assert len(objects() - before) <= 10


def test_s3_is_told_what_kind_of_file_each_is(servers, built, tmp_path):
    import boto3

    server = servers("s3")
    sent(server, built[0], tmp_path / "out")
    endpoint = server.address.partition("endpoint=")[2]
    client = boto3.client("s3", endpoint_url=endpoint, region_name="us-east-1")
    kinds = {
        path: client.head_object(Bucket="web", Key=f"site/{path}")["ContentType"]
        for path in ("index.html", "img/owl-1.webp", "assets/theme.css", "feed.xml")
    }
    assert kinds == {
        "index.html": "text/html; charset=utf-8",
        "img/owl-1.webp": "image/webp",
        "assets/theme.css": "text/css; charset=utf-8",
        "feed.xml": "application/xml; charset=utf-8",
    }
