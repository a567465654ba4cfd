"""What may no longer be shown leaves the portfolio whatever else fails, and nothing else leaves it."""

import datetime as dt
import errno
import shutil
import signal

import pytest

from archgen import build as stages
from archgen.build import Options, build
from archgen.commands.texts.report_text import report_of
from archgen.errors import ConfigError, InputError, OutputError
from archgen.outputs.folders import OutputFolders
from archgen.outputs.portfolio.site import PortfolioSite
from archgen.outputs.portfolio.standing import StandingPortfolio
from archgen.progress import Silent
from archgen.reading import records
from archgen.records import memory
from archgen.storage import build_folder, staging
from archgen.storage.build_folder import PUBLISHED as FILE
from archgen.storage.staging import StagedFolder
from tests.cli.full_archive import draw, fingerprint, run, write

OWL, MOTH, KOI = "2026-03-14-owl", "2026-04-01-moth", "2026-05-01-koi"
RECORD = """title = "{title}"
publish = true
styles = ["botanical"]
finished = {day}
[release]
status = "granted"
scope = ["portfolio"]
[[photo]]
file = "photos/fresh.jpg"
stage = "fresh"
[[photo]]
file = "photos/healed.jpg"
stage = "healed"
"""
TITLES = {OWL: "Barn öwl & mouse", MOTH: "Moth", KOI: "Koi"}
SLUGS = {OWL: "barn-owl-mouse", MOTH: "moth", KOI: "koi"}
PERSON = "Zqwilhelmina Zqsecretson"


@pytest.fixture(scope="module")
def published(tmp_path_factory):
    """An archive of three published pieces and its build folder."""
    folder = tmp_path_factory.mktemp("published")
    for number, (piece, title) in enumerate(TITLES.items()):
        write(folder, f"content/pieces/{piece}/piece.toml", RECORD.format(title=title, day=piece[:10]))
        draw(folder, f"content/pieces/{piece}/photos/fresh.jpg", 40 + 50 * number)
        draw(folder, f"content/pieces/{piece}/photos/healed.jpg", 65 + 50 * number)
    write(folder, "content/archive.toml", '[portfolio]\ntitle = "Needlework"\nurl = "https://needle.example.org"\n')
    write(folder, "content/about.md", "# About\n\nHello.\n")
    write(folder, "content/clients.toml", f'[[client]]\ncode = "C-1"\nname = "{PERSON}"\n')
    build(folder / "content", folder / "out", Options(1, dt.date(2026, 11, 25)), Silent())
    return folder


@pytest.fixture
def studio(published, tmp_path):
    """The same archive and build folder, to be changed."""
    return Studio(shutil.copytree(published, tmp_path / "studio"))


class Studio:
    def __init__(self, folder):
        self.root, self.out = folder / "content", folder / "out"
        self.portfolio = self.out / "portfolio"

    def build(self, **options):
        return build(self.root, self.out, Options(1, dt.date(2026, 11, 25), **options), Silent())

    def change(self, piece, old, new):
        record = self.root / f"pieces/{piece}/piece.toml"
        text = record.read_text()
        assert old in text
        record.write_text(text.replace(old, new))

    def withdraw(self, piece=OWL):
        self.change(piece, '"granted"', '"withdrawn"')

    def leak(self):
        write(self.root, "about.md", f"# About\n\nThanks to {PERSON}.\n")

    def speaks_of(self, piece):
        """Name the public files that hold a piece: in their name, or a word or address of it in their text."""
        words = (SLUGS[piece], TITLES[piece], TITLES[piece].replace("&", "&amp;"))
        found = []
        for path in sorted(self.portfolio.rglob("*")):
            name = path.relative_to(self.portfolio).as_posix()
            text = path.read_bytes().decode("utf-8", "replace") if path.is_file() else ""
            if any(word.casefold() in (name + text).casefold() for word in words):
                found.append(name)
        return found

    def style(self):
        return {path.name: path.read_bytes() for path in self.portfolio.rglob("*.css")}

    def pages(self):
        return sorted(path.stem for path in (self.portfolio / "pieces").glob("*.html"))

    def links(self):
        """Name the pictures and pages the home page leads to that are not there."""
        home = (self.portfolio / "index.html").read_text()
        return [name for name in SLUGS.values() if f"pieces/{name}.html" in home]


def test_all_pieces_are_published_and_spoken_of(studio):
    assert studio.pages() == sorted(SLUGS.values())
    for piece in SLUGS:
        assert {"feed.xml", "index.html", "sitemap.xml", "styles/botanical.html"} < set(studio.speaks_of(piece))


class GivenUpError(Exception):
    pass


def give_up():
    raise GivenUpError


@pytest.mark.parametrize("change", ["withdraw", "rename"])
def test_a_build_that_is_given_up_changes_nothing_but_the_cache(studio, change):
    before = {path.name: fingerprint(path) for path in studio.out.iterdir() if path.is_dir() and path.name != "cache"}
    studio.withdraw() if change == "withdraw" else studio.change(OWL, "öwl", "swallow")
    with pytest.raises(GivenUpError):
        studio.build(before_change=give_up)
    after = {path.name: fingerprint(path) for path in studio.out.iterdir() if path.is_dir() and path.name != "cache"}
    assert after == before
    assert studio.build().changed


def test_a_leak_alone_leaves_the_old_portfolio_as_it_is(studio):
    before = fingerprint(studio.portfolio)
    studio.leak()
    summary = studio.build()
    assert summary.withheld == ("portfolio",)
    assert fingerprint(studio.portfolio) == before


@pytest.mark.parametrize("names_one", [True, False])
@pytest.mark.parametrize(
    "spoil",
    [
        lambda register: register.mkdir(),
        lambda register: register.symlink_to("nowhere"),
        lambda register: register.write_bytes(bytes(range(256)) * 9),
        lambda register: register.write_text(f'[[client]]\nname = "{PERSON}"\n'),
    ],
    ids=["folder", "link", "noise", "no code"],
)
def test_while_no_client_can_be_read_the_portfolio_stays_as_it_is(studio, spoil, names_one):
    before = fingerprint(studio.portfolio)
    (studio.root / "clients.toml").unlink()
    spoil(studio.root / "clients.toml")
    if names_one:
        studio.change(KOI, "title = ", 'client = "C-1"\ntitle = ')
    studio.leak()
    summary = studio.build()
    assert summary.withheld == ("portfolio",)
    assert "portfolio.clients" in {finding.code for finding in summary.catalogue.findings}
    assert fingerprint(studio.portfolio) == before
    assert any("kept back: no client can be read in clients.toml." in said for said in report_of(summary).kept_back)


@pytest.mark.parametrize(("text", "is_held"), [("", True), ("Anna, Berta", True), (None, False)])
def test_a_register_without_anybody_is_asked_about_where_pieces_name_clients(studio, text, is_held):
    register = studio.root / "clients.toml"
    register.unlink()
    if text is not None:
        register.write_text(text)
    assert studio.build().withheld == (() if text != "Anna, Berta" else ("portfolio",))
    studio.change(KOI, "title = ", 'client = "C-1"\ntitle = ')
    assert studio.build().withheld == (("portfolio",) if is_held else ())


def test_a_withdrawn_piece_leaves_though_something_private_keeps_the_rest_back(studio):
    studio.withdraw()
    studio.leak()
    summary = studio.build()
    assert (summary.withheld, summary.taken_out) == (("portfolio",), (TITLES[OWL],))
    assert studio.speaks_of(OWL) == []
    assert studio.pages() == studio.links()[::-1] == ["koi", "moth"]
    assert PERSON not in (studio.portfolio / "about.html").read_text()
    assert "Hello" in (studio.portfolio / "about.html").read_text()


def test_what_is_said_of_a_withdrawal_is_what_the_folder_shows(studio, monkeypatch, capsys):
    studio.withdraw()
    studio.leak()
    assert run(monkeypatch, "build", "--archive", studio.root, "--out", studio.out) == 1
    said = capsys.readouterr().out
    assert f"still there, without {TITLES[OWL]}" in " ".join(said.split())
    log = (studio.out / "archive/removals.txt").read_text()
    assert f"({OWL}): photo release withdrawn; date not recorded. Not in the folder portfolio." in log
    assert "https://needle.example.org/pieces/barn-owl-mouse.html" in log
    assert log.count("https://needle.example.org/img/barn-owl-mouse-") > 1
    assert "Still in the portfolio" not in (studio.out / "archive/followup.html").read_text()


def test_a_piece_that_could_not_leave_is_not_said_to_have_left(studio, monkeypatch, capsys):
    studio.withdraw()
    studio.leak()
    monkeypatch.setattr(StandingPortfolio, "holds", lambda *_: False)
    run(monkeypatch, "build", "--archive", studio.root, "--out", studio.out)
    assert f"{TITLES[OWL]} is still in the portfolio" in " ".join(capsys.readouterr().out.split())
    assert "STILL IN THE FOLDER" in (studio.out / "archive/removals.txt").read_text()
    assert "Still in the portfolio" in (studio.out / "archive/followup.html").read_text()
    assert "Still in the portfolio" in (studio.out / f"archive/pieces/{OWL}.html").read_text()


@pytest.mark.parametrize(
    "change",
    [
        ('"granted"', '"refused"'),
        ('"granted"', '"perhaps"'),
        ('"granted"', '"granted"\nwithdrawn = 2026-09-02'),
        ('"granted"', '"granted"\nexpires = 2026-09-02'),
        ('["portfolio"]', '["print"]'),
        ("publish = true", "publish = false"),
        ("[release]", '[[reference]]\nfile = "references/film.jpg"\n[release]'),
        ("[release]", "[release"),
    ],
)
def test_whatever_forbids_a_piece_takes_it_out(studio, change):
    studio.change(OWL, *change)
    studio.leak()
    studio.build()
    assert studio.speaks_of(OWL) == []
    assert studio.pages() == ["koi", "moth"]


@pytest.mark.parametrize("failing", ["read_pictures", "find_twins", "gauge_archive", "survey", "run_rules"])
def test_a_withdrawn_piece_leaves_though_the_build_fails_early(studio, monkeypatch, failing):
    studio.withdraw()
    monkeypatch.setattr(stages, failing, lambda *_, **__: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        studio.build()
    assert studio.speaks_of(OWL) == []
    assert studio.pages() == ["koi", "moth"]


def test_a_photo_held_by_its_picture_leaves_though_the_pages_cannot_be_made(studio, monkeypatch):
    # Only a look at the pictures tells that this photo is one of a piece that was refused.
    shutil.copy(studio.root / f"pieces/{OWL}/photos/fresh.jpg", studio.root / f"pieces/{KOI}/photos/again.jpg")
    studio.change(KOI, '"granted"', '"refused"')
    studio.change(KOI, "photos/fresh.jpg", "photos/again.jpg")
    whole, calls = PortfolioSite.artifacts, []

    def fail_once(site):
        calls.append(site)
        # First the pages without the refused piece, then those without the photo, then the new ones.
        return whole(site) if len(calls) != 3 else 1 / 0

    monkeypatch.setattr(PortfolioSite, "artifacts", fail_once)
    assert studio.build().withheld == ("portfolio",)
    assert studio.pages() == ["barn-owl-mouse", "moth"]
    assert {path.name.rpartition("-")[0] for path in (studio.portfolio / "img").glob("barn*")} == {"barn-owl-mouse-1"}


@pytest.mark.parametrize("forget", [False, True], ids=["known", "not known"])
def test_a_withdrawn_piece_leaves_though_no_page_can_be_made(studio, monkeypatch, forget):
    studio.withdraw()
    if forget:
        (studio.out / FILE).unlink()
    monkeypatch.setattr(PortfolioSite, "artifacts", lambda _: 1 / 0)
    assert studio.build().withheld == ("portfolio",)
    assert studio.speaks_of(OWL) == []
    assert (studio.portfolio / "about.html").is_file()
    assert list((studio.portfolio / "img").glob("koi*"))


@pytest.mark.parametrize("failing", ["leak", "pages", "pages, and nothing is known of what stands there"])
def test_a_withdrawn_piece_leaves_the_pages_of_every_language(studio, monkeypatch, failing):
    settings = studio.root / "archive.toml"
    settings.write_text(settings.read_text() + 'languages = ["en", "de"]\n')
    write(studio.root, f"pieces/{OWL}/story.de.md", "# Schleiereule\n\nEine Eule.\n")
    write(studio.root, "about.de.md", "# Über mich\n\nHallo.\n")
    studio.build()
    home, about = studio.portfolio / "de/index.html", studio.portfolio / "de/about.html"
    assert "Schleiereule" in home.read_text()
    studio.withdraw()
    studio.leak()
    if failing != "leak":
        monkeypatch.setattr(PortfolioSite, "artifacts", lambda _: 1 / 0)
    if failing.startswith("pages,"):
        (studio.out / FILE).unlink()
    studio.build()
    assert studio.speaks_of(OWL) == []
    assert not [path for path in studio.portfolio.rglob("*.*ml") if "Schleiereule" in path.read_text()]
    assert "Über mich" in about.read_text()
    assert home.is_file() is (failing == "leak")


def test_a_withdrawn_piece_leaves_under_other_looks(studio):
    studio.withdraw()
    studio.leak()
    settings = studio.root / "archive.toml"
    settings.write_text(settings.read_text() + 'theme = "wall"\n')
    studio.build()
    assert studio.speaks_of(OWL) == []
    assert studio.pages() == ["koi", "moth"]


def test_looks_that_tell_something_private_are_not_put_into_place_for_a_withdrawal(studio):
    studio.withdraw()
    write(studio.root, "theme/theme.toml", 'base = "plate"\n')
    write(studio.root, "theme/text.html", "{% extends 'base.html' %}{% block main %}" + PERSON + "{% endblock %}")
    assert studio.build().withheld == ("portfolio",)
    assert studio.speaks_of(OWL) == []
    assert studio.pages() == ["koi"]  # that of the moth led to the owl
    assert not any(PERSON.encode() in path.read_bytes() for path in studio.portfolio.rglob("*") if path.is_file())


def test_of_two_pieces_of_one_title_only_the_withdrawn_one_leaves(studio):
    twin = "2026-06-01-owl"
    shutil.copytree(studio.root / f"pieces/{OWL}", studio.root / f"pieces/{twin}")
    for name, step in (("fresh", 200), ("healed", 220)):
        draw(studio.root, f"pieces/{twin}/photos/{name}.jpg", step)
    studio.build()
    assert studio.pages() == ["barn-owl-mouse", "barn-owl-mouse-2", "koi", "moth"]
    studio.withdraw()
    summary = studio.build()
    assert studio.pages() == ["barn-owl-mouse", "koi", "moth"]  # the other one now has the plain address
    assert summary.catalogue.portfolio.pieces == {twin, MOTH, KOI}
    log = (studio.out / "archive/removals.txt").read_text()
    assert f"({OWL}): photo release withdrawn; date not recorded. Not in the folder" in log


def test_what_is_put_into_place_is_known_though_the_build_stops_there(studio, monkeypatch):
    studio.change(OWL, TITLES[OWL], "Another title")
    with monkeypatch.context() as patch:
        patch.setattr(staging, "finish_swap", lambda _: 1 / 0)
        with pytest.raises(ZeroDivisionError):
            studio.build()
    studio.withdraw()
    studio.leak()
    studio.build()
    assert studio.speaks_of(OWL) == []
    assert studio.pages() == ["koi", "moth"]


@pytest.mark.parametrize("folder", ["2026-03-15-owl", "z-New name"])
@pytest.mark.parametrize("title", [TITLES[OWL], "Another title"])
def test_a_withdrawn_piece_leaves_though_its_folder_was_renamed(studio, title, folder):
    studio.withdraw()
    studio.leak()
    studio.change(OWL, TITLES[OWL], title)
    (studio.root / f"pieces/{OWL}").rename(studio.root / "pieces" / folder)
    studio.build()
    assert studio.speaks_of(OWL) == []
    assert studio.pages() == ["koi", "moth"]


def test_a_photo_that_may_not_be_shown_leaves_the_old_pages(studio):
    record = studio.root / f"pieces/{OWL}/piece.toml"
    record.write_text(record.read_text().replace('stage = "healed"', 'stage = "healed"\npublish = false'))
    studio.leak()
    studio.build()
    assert studio.pages() == ["barn-owl-mouse", "koi", "moth"]
    assert {path.name.rpartition("-")[0] for path in (studio.portfolio / "img").glob("barn*")} == {"barn-owl-mouse-1"}


@pytest.mark.parametrize("stop", [OSError, KeyboardInterrupt])
def test_a_photo_leaves_though_the_pages_without_it_could_not_be_put_into_place(studio, monkeypatch, stop):
    studio.change(OWL, 'stage = "healed"', 'stage = "healed"\npublish = false')
    shutil.move(studio.root / "pieces" / KOI, studio.root / "away")

    def stopped(*_):
        raise stop

    with monkeypatch.context() as patch:
        patch.setattr(OutputFolders, "swap_now", stopped)
        if stop is KeyboardInterrupt:  # as a kill does: nothing is cleaned up
            patch.setattr(StandingPortfolio, "delete", lambda *_: None)
            with pytest.raises(KeyboardInterrupt):
                studio.build()
        else:
            studio.build()
    assert studio.build().missing
    assert {path.name.rpartition("-")[0] for path in (studio.portfolio / "img").glob("barn*")} <= {"barn-owl-mouse-1"}


def test_a_piece_may_come_back(studio):
    before = fingerprint(studio.portfolio)
    studio.withdraw()
    studio.leak()
    studio.build()
    studio.change(OWL, '"withdrawn"', '"granted"')
    write(studio.root, "about.md", "# About\n\nHello.\n")
    studio.build()
    assert {path: mark[0] for path, mark in fingerprint(studio.portfolio).items()} == {
        path: mark[0] for path, mark in before.items()
    }


# ---------------------------------------------------------------- settings and looks that cannot be used, and stops

BROKEN_LOOKS = {
    "no such colour": ("theme/theme.toml", 'base = "plate"\n[colours]\nnosuchcolour = "#fff"\n'),
    "no base": ("theme/theme.toml", 'base = "nosuch"\n'),
    "template": ("theme/home.html", "{% if %}"),
    "no theme of that name": ("archive.toml", '[portfolio]\ntheme = "nosuch"\n'),
    "no settings": ("archive.toml", "[portfolio\ntitle = \n"),
    "wrong settings": ("archive.toml", '[portfolio]\nrequire_rights = "maybe"\ntitle = 3\n'),
}


def break_looks(studio, name):
    path, text = BROKEN_LOOKS[name]
    if path.startswith("theme"):
        write(studio.root, "theme/theme.toml", 'base = "plate"\n')
    write(studio.root, path, text)


@pytest.mark.parametrize("name", BROKEN_LOOKS)
def test_a_withdrawn_piece_leaves_though_settings_or_looks_cannot_be_used(studio, name):
    studio.withdraw()
    break_looks(studio, name)
    style = studio.style()
    with pytest.raises(ConfigError, match=f"Taken out of the portfolio all the same: {TITLES[OWL]}"):
        studio.build()
    assert studio.speaks_of(OWL) == []
    assert studio.pages() == ["koi", "moth"]
    assert studio.style() == style
    assert "https://needle.example.org/pieces/barn-owl-mouse.html" in (studio.out / "removals.txt").read_text()


@pytest.mark.parametrize("name", BROKEN_LOOKS)
def test_nothing_leaves_only_because_settings_or_looks_cannot_be_used(studio, name):
    before = fingerprint(studio.portfolio)
    break_looks(studio, name)
    with pytest.raises(ConfigError) as stopped:
        studio.build()
    assert "Taken out" not in str(stopped.value)
    assert fingerprint(studio.portfolio) == before


@pytest.mark.parametrize("name", BROKEN_LOOKS)
def test_every_reason_counts_though_settings_or_looks_cannot_be_used(studio, name):
    """A file among the references that nobody describes keeps a piece in, as the settings of the last build ask."""
    draw(studio.root, f"pieces/{OWL}/references/film.jpg", 210)
    break_looks(studio, name)
    with pytest.raises(ConfigError):
        studio.build()
    assert studio.speaks_of(OWL) == []
    assert studio.pages() == ["koi", "moth"]


def test_what_a_lost_setting_may_have_allowed_stays_till_the_setting_is_back(studio):
    settings = studio.root / "archive.toml"
    settings.write_text(settings.read_text() + "require_rights = false\nrequire_release = false\n")
    studio.change(OWL, '[release]\nstatus = "granted"\nscope = ["portfolio"]', '[[reference]]\nlicense = "unknown"')
    studio.build()
    before = fingerprint(studio.portfolio)
    assert "barn-owl-mouse" in studio.pages()
    settings.write_text("[portfolio\n")
    with pytest.raises(ConfigError):
        studio.build()
    assert fingerprint(studio.portfolio) == before


def test_the_looks_that_stand_there_stay_when_others_cannot_be_used(studio):
    write(studio.root, "theme/theme.toml", 'base = "wall"\n[colours]\nyellow = "#123456"\n')
    studio.build()
    style = studio.style()
    assert any(b"#123456" in content for content in style.values())
    studio.withdraw()
    write(studio.root, "archive.toml", "[portfolio\n")
    with pytest.raises(ConfigError):
        studio.build()
    assert studio.pages() == ["koi", "moth"]
    assert studio.style() == style


def test_no_build_folder_is_made_for_an_archive_whose_settings_cannot_be_used(studio, tmp_path):
    write(studio.root, "archive.toml", "[portfolio\n")
    with pytest.raises(ConfigError):
        build(studio.root, tmp_path / "new", Options(1, dt.date(2026, 11, 25)), Silent())
    assert not (tmp_path / "new").exists()


STOPPED_AT = {
    "records": (records, "read_archive"),
    "decisions": (stages, "decisions_about"),
    "pages": (PortfolioSite, "artifacts"),
    "swap": (OutputFolders, "swap_now"),
    "pictures": (stages, "read_pictures"),
    "public values": (stages, "publish"),
    "outputs": (stages, "public_outputs"),
    "new pages": (OutputFolders, "publish"),
}


@pytest.fixture
def interruptible():
    """Let Ctrl+C be heard: what is started in the background begins with it ignored."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


@pytest.mark.parametrize("place", STOPPED_AT)
@pytest.mark.usefixtures("interruptible")
def test_a_withdrawn_piece_leaves_though_somebody_stops_the_build(studio, monkeypatch, place):
    """Press Ctrl+C where the build has just come."""
    studio.withdraw()
    owner, name = STOPPED_AT[place]
    whole, stops = getattr(owner, name), []

    def stop_once(*args, **options):
        if not stops:
            stops.append(place)
            signal.raise_signal(signal.SIGINT)
        return whole(*args, **options)

    monkeypatch.setattr(owner, name, stop_once)
    assert run(monkeypatch, "build", "--archive", studio.root, "--out", studio.out) == 130
    assert stops
    assert studio.speaks_of(OWL) == []
    assert studio.pages() == ["koi", "moth"]
    assert not (studio.out / ".staging").exists()


def test_a_withdrawn_piece_leaves_though_somebody_stops_twice(studio, monkeypatch):
    studio.withdraw()
    whole = PortfolioSite.artifacts

    def stop_twice(site):
        signal.raise_signal(signal.SIGINT)
        signal.raise_signal(signal.SIGINT)
        return whole(site)

    monkeypatch.setattr(PortfolioSite, "artifacts", stop_twice)
    with pytest.raises(KeyboardInterrupt):
        studio.build()
    assert studio.speaks_of(OWL) == []
    assert list((studio.portfolio / "img").glob("koi*"))


@pytest.mark.parametrize("failing", ["publish", "public_outputs"])
def test_a_photo_held_by_its_picture_leaves_though_nothing_new_can_be_made(studio, monkeypatch, failing):
    shutil.copy(studio.root / f"pieces/{OWL}/photos/fresh.jpg", studio.root / f"pieces/{KOI}/photos/again.jpg")
    studio.change(KOI, '"granted"', '"refused"')
    studio.change(KOI, "photos/fresh.jpg", "photos/again.jpg")
    monkeypatch.setattr(stages, failing, lambda *_, **__: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        studio.build()
    assert studio.pages() == ["barn-owl-mouse", "moth"]
    assert {path.name.rpartition("-")[0] for path in (studio.portfolio / "img").glob("barn*")} == {"barn-owl-mouse-1"}


def test_a_withdrawn_piece_leaves_though_the_disk_is_full(studio, monkeypatch):
    studio.withdraw()

    def full(*_, **__):
        raise OSError(errno.ENOSPC, "No space left on device")

    for owner in (build_folder, memory, staging):
        monkeypatch.setattr(owner, "put_sealed" if owner is memory else "put_plain", full)
    monkeypatch.setattr(StagedFolder, "add", full)
    monkeypatch.setattr(StagedFolder, "add_copy", full)
    with pytest.raises(OutputError):
        studio.build()
    assert studio.speaks_of(OWL) == []
    assert list((studio.portfolio / "img").glob("koi*"))


# ---------------------------------------------------------------- a portfolio does not shrink for a lost disk


def test_nothing_is_changed_when_the_folder_of_pieces_is_gone(studio):
    before = fingerprint(studio.out)
    (studio.root / "pieces").rename(studio.root / "away")
    with pytest.raises(InputError, match="no pieces any more"):
        studio.build()
    after = fingerprint(studio.out)
    assert {path: mark for path, mark in after.items() if not path.startswith("cache")} == {
        path: mark for path, mark in before.items() if not path.startswith("cache")
    }


def test_an_empty_folder_of_pieces_empties_the_portfolio_only_on_request(studio):
    shutil.rmtree(studio.root / "pieces")
    (studio.root / "pieces").mkdir()
    with pytest.raises(InputError):
        studio.build()
    assert len(studio.pages()) == 3
    studio.build(may_shrink=True)
    assert studio.pages() == []


@pytest.mark.parametrize(
    "lose",
    [
        lambda root: shutil.rmtree(root / f"pieces/{OWL}"),
        lambda root: shutil.rmtree(root / f"pieces/{OWL}/photos"),
        lambda root: (root / f"pieces/{OWL}/piece.toml").unlink(),
    ],
    ids=["folder", "photos", "record"],
)
def test_a_piece_that_cannot_be_found_any_more_is_asked_about(studio, monkeypatch, capsys, lose):
    before = fingerprint(studio.portfolio)
    lose(studio.root)
    write(studio.root, "about.md", "# About\n\nNew.\n")
    summary = studio.build()
    assert summary.missing == (TITLES[OWL],)
    assert "portfolio.missing" in {finding.code for finding in summary.catalogue.findings}
    assert fingerprint(studio.portfolio) == before
    assert run(monkeypatch, "build", "--archive", studio.root, "--out", studio.out) == 1
    assert "wasn't renewed" in capsys.readouterr().out
    assert run(monkeypatch, "build", "--archive", studio.root, "--out", studio.out, "--fewer") in {0, 1}
    assert studio.speaks_of(OWL) == []
    assert "New." in (studio.portfolio / "about.html").read_text()
    assert TITLES[OWL] in (studio.out / "removals.txt").read_text()
    assert "https://needle.example.org/pieces/barn-owl-mouse.html" in (studio.out / "removals.txt").read_text()


def test_a_photo_that_cannot_be_found_any_more_is_asked_about(studio):
    (studio.root / f"pieces/{OWL}/photos/healed.jpg").unlink()
    summary = studio.build()
    assert summary.missing == (f"{TITLES[OWL]} (1 photo)",)
    studio.change(OWL, '[[photo]]\nfile = "photos/healed.jpg"\nstage = "healed"\n', "")
    assert studio.build().missing == ()


def test_a_withdrawn_piece_leaves_though_others_cannot_be_found(studio):
    studio.withdraw()
    shutil.rmtree(studio.root / f"pieces/{KOI}")
    summary = studio.build()
    assert summary.missing == (TITLES[KOI],)
    assert studio.speaks_of(OWL) == []
    assert studio.pages() == ["koi", "moth"]


def test_a_renamed_folder_is_not_missed(studio):
    (studio.root / f"pieces/{OWL}").rename(studio.root / "pieces/2026-03-15-owl")
    assert studio.build().missing == ()
    assert len(studio.pages()) == 3


@pytest.mark.parametrize(
    "lose",
    [
        lambda root: shutil.rmtree(root / f"pieces/{OWL}"),
        shutil.rmtree,
        lambda root: draw(root, f"pieces/{MOTH}/photos/late.jpg", 200),
    ],
    ids=["a piece", "everything", "came back"],
)
def test_nothing_is_renewed_when_files_come_and_go_during_a_build(studio, monkeypatch, lose):
    before = fingerprint(studio.portfolio), fingerprint(studio.out / "archive")
    record = studio.root / f"pieces/{MOTH}/piece.toml"
    record.write_text(record.read_text() + '[[photo]]\nfile = "photos/late.jpg"\nstage = "fresh"\n')
    draw(studio.root, f"pieces/{MOTH}/photos/late.jpg", 200)
    whole = stages.read_pictures

    def read_and_lose(jobs, root, *rest):
        if lose(root) is None:
            return whole(jobs, root, *rest)
        (root / f"pieces/{MOTH}/photos/late.jpg").unlink()
        results = whole(jobs, root, *rest)
        lose(root)
        return results

    monkeypatch.setattr(stages, "read_pictures", read_and_lose)
    with pytest.raises(InputError):
        studio.build()
    assert (fingerprint(studio.portfolio), fingerprint(studio.out / "archive")) == before


def test_nothing_is_renewed_when_the_archive_goes_while_prints_are_made(studio, monkeypatch):
    before = [fingerprint(studio.out / folder) for folder in ("portfolio", "archive", "sheets", "reprints")]
    record = studio.root / f"pieces/{MOTH}/piece.toml"
    record.write_text(record.read_text().replace("title = ", "client = 'C-1'\ntitle = ", 1))
    whole = stages.printed_outputs

    def lose_and_print(*given):
        studio.root.rename(studio.root.with_name("away"))
        return whole(*given)

    monkeypatch.setattr(stages, "printed_outputs", lose_and_print)
    with pytest.raises(InputError):
        studio.build()
    studio.root.with_name("away").rename(studio.root)
    assert [fingerprint(studio.out / folder) for folder in ("portfolio", "archive", "sheets", "reprints")] == before


def test_what_left_is_told_when_a_build_stops(studio, monkeypatch):
    studio.withdraw()
    whole = stages.read_pictures

    def lose(jobs, root, *rest):
        shutil.rmtree(root / f"pieces/{KOI}")
        return whole(jobs, root, *rest)

    monkeypatch.setattr(stages, "read_pictures", lose)
    with pytest.raises(InputError, match=f"Taken out of the portfolio all the same: {TITLES[OWL]}"):
        studio.build()
    assert studio.speaks_of(OWL) == []
