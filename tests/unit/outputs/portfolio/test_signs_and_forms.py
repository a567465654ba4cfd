"""The site's signs for tabs and home screens, its manifest, and the enquiry form for hosts that take forms."""

import dataclasses
import io
import json

import numpy as np
import pytest
from PIL import Image

from archgen.config import read_config
from archgen.errors import ConfigError
from archgen.outputs.portfolio.standing import OldPictures
from archgen.picture_facts.facts import Role
from archgen.picture_facts.jobs import mark_job
from archgen.render.square_signs import letter_square, picture_square
from tests.builders import make_catalogue, make_design, make_facts, make_piece
from tests.portfolio_pages import parsed, write_portfolio

TEXTS = {"booking": "Write to <booking@example.org> with:\n\n- where on the body\n- how large?\n"}
SIZES = {"apple-touch-icon.png": 180, "icon-192.png": 192, "icon-512.png": 512, "icon-cut-512.png": 512}


def with_settings(tmp_path, **changes):
    catalogue = make_catalogue(tmp_path, make_piece(), designs=(make_design(), make_design("koi", title="Koi")))
    settings = dataclasses.replace(catalogue.config.portfolio, **changes)
    return dataclasses.replace(catalogue, config=dataclasses.replace(catalogue.config, portfolio=settings))


def opened(content):
    return np.asarray(Image.open(io.BytesIO(content)).convert("L"), int)


# Signs.


def test_without_a_mark_every_sign_is_the_initial_and_has_its_size(tmp_path):
    site = write_portfolio(with_settings(tmp_path, artist="åsa Sample"), tmp_path / "out")
    for name, side in SIZES.items():
        assert opened((site / name).read_bytes()).shape == (side, side)
    (tab,) = (site / "assets").glob("icon-*.svg")
    assert ">Å</text>" in tab.read_text()
    assert (site / "icon-192.png").read_bytes() == letter_square("Å", 192)


@pytest.mark.parametrize("letter", ["T", "昇", "Й", "ض", "W", "R"])
def test_a_letter_of_any_script_stands_whole_in_the_middle_also_where_a_circle_is_cut_out(letter):
    for is_cut, share in ((False, 0.75), (True, 0.8)):
        light = opened(letter_square(letter, 200, is_cut=is_cut)) > 128
        assert light.sum() > 100
        rows, columns = np.nonzero(light)
        far = np.hypot(rows - 99.5, columns - 99.5).max() if is_cut else np.abs([rows - 99.5, columns - 99.5]).max()
        assert far <= 100 * share
        assert abs((rows.min() + rows.max()) / 2 - 99.5) < 8
        assert abs((columns.min() + columns.max()) / 2 - 99.5) < 8


@pytest.mark.parametrize("size", [(400, 100), (90, 500), (300, 300)])
def test_a_mark_stands_whole_on_paper(tmp_path, size):
    Image.new("RGB", size, "black").save(tmp_path / "mark.png")
    dark = opened(picture_square(tmp_path / "mark.png", 200, is_cut=True)) < 128
    rows, columns = np.nonzero(dark)
    assert max(np.ptp(rows), np.ptp(columns)) + 1 == 108
    assert (np.ptp(columns) + 1) / (np.ptp(rows) + 1) == pytest.approx(size[0] / size[1], rel=0.1)
    assert np.hypot(rows - 99.5, columns - 99.5).max() <= 80


def test_a_mark_is_the_sign_everywhere_and_also_when_old_pages_are_written_again(tmp_path):
    catalogue = with_settings(tmp_path)
    mark = make_facts("mark.png", tmp_path / "blobs", size=(300, 300))
    site = write_portfolio(dataclasses.replace(catalogue, mark=mark), tmp_path / "out")
    assert (site / "icon-192.png").read_bytes() == picture_square(tmp_path / "blobs" / mark.public[0].blob, 192)
    (tab,) = (site / "assets").glob("icon-*.svg")
    assert "data:image/png;base64," in tab.read_text()
    assert OldPictures(site, {}, True).mark() == site / "icon-512.png"
    assert OldPictures(site, {}, False).mark() is None


def test_a_look_with_a_sign_of_its_own_keeps_it(tmp_path):
    (tmp_path / "own").mkdir()
    (tmp_path / "own/theme.toml").write_text('base = "plate"\n')
    (tmp_path / "own/icon.svg").write_text("<svg xmlns='http://www.w3.org/2000/svg'><path d='M1 2h3'/></svg>")
    site = write_portfolio(with_settings(tmp_path, theme="own"), tmp_path / "out")
    (tab,) = (site / "assets").glob("icon-*.svg")
    assert "M1 2h3" in tab.read_text()


@pytest.mark.parametrize(("name", "role"), [("mark.svg", Role.STENCIL), ("signs/mark.PNG", Role.PHOTO)])
def test_a_mark_is_read_as_what_it_is(tmp_path, name, role):
    (tmp_path / "archive.toml").write_text(f'[portfolio]\nmark = "{name}"\n')
    job = mark_job(read_config(tmp_path))
    assert (job.path, job.role) == (name, role)


@pytest.mark.parametrize("name", ["../mark.png", "/etc/mark.png", "pieces/owl/references/face.jpg", "C:/mark.png"])
def test_a_mark_lies_in_the_archive_and_is_no_picture_of_a_piece(tmp_path, name):
    (tmp_path / "archive.toml").write_text(f"[portfolio]\nmark = '{name}'\n")
    with pytest.raises(ConfigError, match=r"archive\.toml, line 2"):
        read_config(tmp_path)


def test_the_manifest_names_the_site_in_each_language_and_files_that_are_there(tmp_path):
    catalogue = with_settings(tmp_path, languages=("en", "de"), title="Harbour & Lane", description='A "chair".')
    site = write_portfolio(catalogue, tmp_path / "out")
    for folder, language in (("", "en"), ("de/", "de")):
        path = site / f"{folder}site.webmanifest"
        said = json.loads(path.read_text(encoding="utf-8"))
        assert (said["name"], said["description"], said["lang"]) == ("Harbour & Lane", 'A "chair".', language)
        assert (path.parent / said["start_url"]).is_file()
        assert {(path.parent / icon["src"]).resolve() for icon in said["icons"]} == {site / name for name in SIZES}
        linked = {link.get("rel"): link.get("href") for link in parsed(site / f"{folder}index.html").iter("link")}
        assert ((site / folder) / linked["manifest"]).resolve() == path
        assert ((site / folder) / linked["apple-touch-icon"]).resolve() == site / "apple-touch-icon.png"


# The form.


def policy(page):
    return next(m.get("content") for m in parsed(page).iter("meta") if m.get("http-equiv"))


def fields(page):
    (form,) = parsed(page).iter("form")
    return form, {one.get("name"): one for one in form.iter() if one.tag in ("input", "textarea", "select")}


def test_without_an_address_there_is_no_form_and_no_page_may_send_one(tmp_path):
    site = write_portfolio(with_settings(tmp_path), tmp_path / "out", TEXTS)
    for page in site.rglob("*.html"):
        assert not list(parsed(page).iter("form"))
        assert "form-action 'none'" in policy(page)


def test_the_form_asks_what_the_artist_asks_and_offers_the_free_designs(tmp_path):
    site = write_portfolio(with_settings(tmp_path, form="https://forms.example/x?y=1"), tmp_path / "out", TEXTS)
    form, asked = fields(site / "booking.html")
    assert (form.get("action"), form.get("method")) == ("https://forms.example/x?y=1", "post")
    assert list(asked) == ["about", "name", "email", "Where on the body", "How large?", "website"]
    assert [option.text for option in asked["about"].iter("option")] == ["a new drawing", "Two ferns", "Koi"]
    assert asked["email"].get("required") is not None
    assert asked["website"].get("tabindex") == "-1"
    assert "What you write goes to forms.example." in "".join(parsed(site / "booking.html").itertext())
    assert "form-action 'self' https://forms.example;" in f"{policy(site / 'booking.html')};"
    assert "form-action 'none'" in policy(site / "index.html")


def test_the_form_on_a_piece_is_about_that_piece(tmp_path):
    site = write_portfolio(with_settings(tmp_path, form="/form"), tmp_path / "out", {"about": "Nothing asked."})
    form, asked = fields(site / "pieces/barn-owl.html")
    assert (form.get("action"), asked["about"].get("value")) == ("/form", "Barn owl")
    assert list(asked) == ["about", "name", "email", "placement", "size", "message", "website"]
    assert "goes to" not in "".join(form.itertext())
    assert "form-action 'self'" in policy(site / "pieces/barn-owl.html")


@pytest.mark.parametrize(
    "form", ["http://forms.example/", "mailto:a@example.org", "//forms.example", "javascript:x", "/a b"]
)
def test_a_form_goes_nowhere_unsafe(tmp_path, form):
    (tmp_path / "archive.toml").write_text(f'[portfolio]\nform = "{form}"\n')
    with pytest.raises(ConfigError, match=r"archive\.toml, line 2"):
        read_config(tmp_path)


def test_a_form_on_the_sites_own_host_goes_nowhere_else(tmp_path):
    catalogue = with_settings(tmp_path, form="https://example.org/form")
    site = write_portfolio(catalogue, tmp_path / "out", TEXTS)
    assert "goes to" not in "".join(parsed(site / "booking.html").itertext())
