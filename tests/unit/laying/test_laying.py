"""Lines found, recognised, pulled in and scored, on drawings whose true place is known."""

import random
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image, ImageDraw, ImageFilter

from archgen.laying import lay
from archgen.laying.lay import best_elsewhere, lay_by_marks, lay_by_tap, lay_by_taps
from archgen.laying.line_map import SIDE, LineMap, find_edges, find_lines
from archgen.laying.marks import LineMarks, agree, find_marks
from archgen.laying.pose import similar, through
from archgen.laying.recognise import PLAINEST, SHORTLIST, recognise
from archgen.laying.refine import nearest_lines, sample
from archgen.laying.repeats import repeats
from archgen.laying.score import score, shares_under
from tests.intake_pictures import skin, stencil


@pytest.fixture(scope="module")
def fresh():
    return find_lines(skin(3))


@pytest.fixture(scope="module")
def healed():
    return find_lines(skin(3, red=0.0, turn=20, share=0.6, seed=2, shift=(30, -40)))


@pytest.fixture(scope="module")
def other():
    return find_lines(skin(4, red=0.0, turn=10))


def true_place(points):
    """Where `healed` shows what `fresh` shows at these points; both have a long side of 1024 in the picture."""
    scale, turn = SIDE / 1024, np.radians(20)
    matrix = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    off = (points / scale - np.array([384, 512])) / 0.8 * 0.6
    return (off @ matrix.T + np.array([384, 512]) + (30, -40)) * scale


def test_a_line_is_found_where_it_is_drawn_and_with_its_direction():
    picture = np.full((900, 900), 230, np.uint8)
    picture[448:452, 100:800] = 30
    lines = find_lines(Image.fromarray(picture))
    inner = (lines.points[:, 0] > 120) & (lines.points[:, 0] < 780)
    assert inner.sum() > 500
    assert np.abs(lines.points[inner, 1] - 449.5).max() < 0.6
    assert np.abs(np.cos(lines.angles[inner])).min() > 0.99


def test_a_light_line_is_none():
    picture = np.full((900, 900), 60, np.uint8)
    picture[448:452, 100:800] = 230
    lines = find_lines(Image.fromarray(picture))
    inner = lines.points[(lines.points[:, 0] > 120) & (lines.points[:, 0] < 780)]
    assert np.abs(inner[:, 1] - 449.5).min() > 1.5


def test_line_maps_and_marks_come_back_from_their_bytes(fresh):
    again = LineMap.from_bytes(fresh.to_bytes())
    assert (again.width, again.height) == (fresh.width, fresh.height)
    assert np.abs(again.points - fresh.points).max() <= 1 / 32
    assert np.abs(again.strengths - fresh.strengths).max() < 0.01
    marks = find_marks(fresh)
    back = LineMarks.from_bytes(marks.to_bytes())
    assert np.abs(back.points - marks.points).max() <= 1 / 16
    assert (back.codes == marks.codes).all()


@pytest.mark.parametrize("kind", [LineMap, LineMarks])
@pytest.mark.parametrize("data", [b"", b"abc", b"\x01" * 40, bytes(12) + b"no"])
def test_damaged_bytes_are_told(kind, data):
    with pytest.raises(ValueError, match="are not the bytes"):
        kind.from_bytes(data)


def test_the_same_drawing_agrees_and_another_does_not(fresh, healed, other):
    found = agree(find_marks(fresh), find_marks(healed))
    assert found.agreeing > 60
    assert found.pose.turned == pytest.approx(20, abs=1)
    assert found.pose.scale == pytest.approx(0.75, abs=0.02)
    wrong = agree(find_marks(other), find_marks(healed))
    assert wrong is None or wrong.agreeing < 12


def test_a_mirrored_stencil_agrees_only_mirrored(fresh):
    flipped = find_lines(stencil(3).transpose(Image.Transpose.FLIP_LEFT_RIGHT))
    plain = agree(find_marks(flipped), find_marks(fresh))
    assert plain is None or plain.agreeing < 12
    found = agree(find_marks(flipped, mirrored=True), find_marks(fresh), mirrored=True)
    assert found.agreeing > 60
    assert found.pose.is_mirrored


def test_marks_lead_to_where_the_drawing_lies(fresh, healed):
    laid = lay_by_marks(fresh, find_marks(fresh), healed, find_marks(healed))
    points = np.array([[250.0, 300.0], [420.0, 300.0], [300.0, 600.0], [450.0, 550.0]])
    assert np.hypot(*(laid.pose.places(points) - true_place(points)).T).max() < 3
    assert laid.score.gain > 0.5
    assert laid.score.explained > 0.5


def test_two_taps_that_are_a_little_off_are_pulled_in(fresh, healed):
    firsts = np.array([[230.0, 330.0], [450.0, 560.0]])
    off = np.array([[9.0, -7.0], [-8.0, 8.0]])
    points = np.array([[250.0, 300.0], [420.0, 300.0], [300.0, 600.0]])
    rough = through(firsts, true_place(firsts) + off, fresh.diagonal / 2)
    assert np.hypot(*(rough.places(points) - true_place(points)).T).max() > 6
    laid = lay_by_taps(fresh, healed, firsts, true_place(firsts) + off, on_skin=True)
    assert np.hypot(*(laid.pose.places(points) - true_place(points)).T).max() < 3


def test_one_tap_finds_turn_and_size_and_says_how_much_worse_any_other_place_is(fresh, healed):
    tapped = np.array([[230.0, 330.0]])
    seen = true_place(tapped)[0] + (8.0, -7.0)
    laid = lay_by_tap(fresh, healed, (230.0, 330.0), tuple(seen), on_skin=True)
    points = np.array([[250.0, 300.0], [420.0, 300.0], [300.0, 600.0]])
    assert np.hypot(*(laid.pose.places(points) - true_place(points)).T).max() < 3
    assert laid.score.total - laid.rival > 0.12
    astray = lay_by_tap(fresh, healed, (230.0, 330.0), (700.0, 850.0), on_skin=True)
    assert astray is None or astray.score.gain < 0.3


def shapes():
    """Outlines of flat shapes, as on a reference; in pixels of a picture of 900."""
    chance = random.Random(5)
    for _ in range(9):
        x, y, r = chance.randrange(200, 700), chance.randrange(200, 700), chance.randrange(60, 150)
        turned = sorted(chance.uniform(0, 2 * np.pi) for _ in range(6))
        yield [(x + r * np.cos(turn), y + r * np.sin(turn)) for turn in turned], chance.randrange(40, 240)


@pytest.fixture(scope="module")
def traced():
    """A drawing along the edges of shapes, and a soft, grainy picture of them, eight tenths as large and moved."""
    drawing, reference = Image.new("L", (900, 900), 255), Image.new("RGB", (900, 900), (170, 160, 150))
    for outline, shade in shapes():
        ImageDraw.Draw(reference).polygon([reference_place(point) for point in outline], fill=(shade, shade, 90))
    for outline, _ in shapes():
        ImageDraw.Draw(drawing).polygon(outline, fill=255, outline=0, width=5)
    grain = np.random.default_rng(1).normal(0, 6, (900, 900, 1))
    pixels = np.asarray(reference.filter(ImageFilter.GaussianBlur(4)), float) + grain
    soft = Image.fromarray(pixels.clip(0, 255).astype(np.uint8))
    return find_lines(drawing), find_edges(soft), find_lines(soft)


def reference_place(point):
    return 0.8 * point[0] + 30, 0.8 * point[1] + 110


@pytest.mark.parametrize("taps", [1, 2])
def test_a_stencil_lies_on_the_edges_of_its_reference(traced, taps):
    drawing, edges, lines = traced
    tapped = np.array([[300.0, 300.0], [650.0, 640.0]])
    seen = np.array([reference_place(point) for point in tapped]) + np.array([[6.0, -7.0], [-7.0, 6.0]])

    def lay(onto):
        if taps == 1:
            return lay_by_tap(drawing, onto, tuple(tapped[0]), tuple(seen[0]), on_skin=False)
        return lay_by_taps(drawing, onto, tapped, seen, on_skin=False)

    laid = lay(edges)
    off = laid.pose.places(tapped) - [reference_place(point) for point in tapped]
    assert np.abs(off).max() < 2
    assert laid.score.total > 0.5
    assert laid.score.total - lay(lines).score.total > 0.15


def test_a_wrong_place_scores_low(fresh, healed):
    firsts = np.array([[230.0, 330.0], [450.0, 560.0]])
    wrong = lay_by_taps(fresh, healed, firsts, true_place(firsts)[::-1], on_skin=True)
    right = lay_by_taps(fresh, healed, firsts, true_place(firsts), on_skin=True)
    assert wrong.score.gain < 0.2
    assert right.score.gain > 0.5


def test_a_stencil_on_skin_bends_no_more_than_it_must(fresh):
    lines = find_lines(stencil(3))
    middle, right = np.array([450.0, 450.0]), np.array([700.0, 450.0])
    scale = SIDE / 1024 * 0.8 * 768 / (0.95 * 900)

    def place(point):
        return (np.array(point) - 450.0) * scale + np.array([384, 512]) * SIDE / 1024

    laid = lay_by_taps(lines, fresh, np.array([middle, right]), np.array([place(middle), place(right)]), on_skin=False)
    assert laid.pose.stretch == pytest.approx(1.0)
    assert np.hypot(*(laid.pose.places(np.array([[300.0, 300.0]]))[0] - place((300.0, 300.0)))) < 3


def test_the_right_one_of_many_comes_first(fresh, healed):
    none = LineMarks(675, 900, np.zeros((0, 2), np.float32), np.zeros((0, 32), np.uint8))
    many = [find_marks(find_lines(skin(number))) for number in range(10, 14)]
    marks = [none] * (SHORTLIST + 3) + [*many, find_marks(fresh)]
    found = recognise(find_marks(healed), marks, 3)
    assert found[0][0] == len(marks) - 1
    assert recognise(none, marks, 3) == []


def test_a_bent_pose_is_undone(fresh, healed):
    pose = lay_by_marks(fresh, find_marks(fresh), healed, find_marks(healed)).pose
    bent = replace(pose, bend=np.array([[0.06, -0.03, 0.05], [0.02, 0.07, -0.04]]))
    there = bent.places(fresh.points)
    assert np.abs(bent.origins(there) - fresh.points).max() < 0.05
    assert np.abs(replace(bent, bend=0 * bent.bend).origins(there) - fresh.points).max() > 5


def test_the_share_under_lines_falls_with_what_counts_as_near(fresh):
    points, nearest = sample(fresh), nearest_lines(fresh)
    moved = similar(1.0, 0.0, (0.0, 0.0), (4.0, 0.0), 1.0)
    assert shares_under(points, nearest, moved, 6.0)[0] > 0.9
    near, chance = shares_under(points, nearest, moved, 1.5)
    assert near < 0.6
    assert chance < near


def ornament(petals, radius=330):
    drawing = Image.new("L", (900, 900), 255)
    pen = ImageDraw.Draw(drawing)
    for turn in np.arange(petals) * 2 * np.pi / petals:
        tip = (450 + radius * np.cos(turn), 450 + radius * np.sin(turn))
        sides = [(450 + radius / 2 * np.cos(turn + by), 450 + radius / 2 * np.sin(turn + by)) for by in (-0.25, 0.25)]
        pen.line([(450, 450), sides[0], tip, sides[1], (450, 450)], fill=0, width=5)
    return drawing


def band(unit_px):
    """One zigzag with a ring after the other, from edge to edge."""
    drawing = Image.new("L", (900, 300), 255)
    pen = ImageDraw.Draw(drawing)
    for x in range(30, 870 - unit_px, unit_px):
        pen.line([(x, 200), (x + unit_px // 2, 80), (x + unit_px, 200)], fill=0, width=5)
        pen.ellipse((x + 10, 205, x + 40, 235), outline=0, width=4)
    return drawing


@pytest.mark.parametrize("drawing", [ornament(8), ornament(5), band(95)])
def test_a_drawing_that_fits_in_several_places_is_recognised(drawing):
    assert repeats(find_lines(drawing))


@pytest.mark.parametrize("number", range(3, 8))
def test_a_drawing_with_one_place_is_not_taken_for_one_that_repeats(number):
    assert not repeats(find_lines(stencil(number)))


def test_a_blank_sheet_repeats_nothing():
    assert not repeats(find_lines(Image.new("L", (400, 400), 255)))


def test_a_longer_shortlist_finds_what_the_plainest_marks_do_not_tell():
    """Marks drawn by lot, alike only behind the plainest ones."""
    rng = np.random.default_rng(4)

    def drawn():
        points = rng.uniform(0, 900, (900, 2)).astype(np.float32)
        return LineMarks(900, 900, points, rng.integers(0, 256, (900, 32), np.uint8))

    new, like, others = drawn(), drawn(), [drawn() for _ in range(SHORTLIST)]
    like.points[PLAINEST:], like.codes[PLAINEST:] = new.points[PLAINEST:], new.codes[PLAINEST:]
    assert len(others) not in [number for number, _ in recognise(new, [*others, like], 3)]
    assert recognise(new, [*others, like], 3, shortlist=SHORTLIST + 1)[0][0] == len(others)


def test_elsewhere_a_drawing_lies_on_itself_no_better_than_by_chance():
    lines = find_lines(stencil(3))
    here = similar(1.0, 0.0, (450.0, 450.0), (450.0, 450.0), 600.0)
    chance = best_elsewhere(lines, lines, here)
    assert 0.15 < chance < 0.4
    points, nearest = sample(lines), nearest_lines(lines)
    assert score(points, nearest, here).total > chance + 0.5


def test_places_by_chance_are_tried_all_round_at_several_sizes_and_turns(monkeypatch):
    lines, tried = find_lines(stencil(3)), []
    monkeypatch.setattr(lay, "refine", lambda *given: tried.append(given[2]) or given[2])
    pose = similar(0.5, 10.0, (450.0, 450.0), (300.0, 320.0), 600.0)
    best = best_elsewhere(lines, lines, pose)
    middle = sample(lines).points.mean(0).astype(float)
    off = np.array([start.places(middle[None])[0] - pose.places(middle[None])[0] for start in tried])
    far = np.hypot(*off.T) / (lines.diagonal * 0.5)
    assert len(tried) == 12
    assert far.min() == pytest.approx(0.15)
    assert 0.4 < far.max() < 0.5
    ways = np.sort(np.degrees(np.arctan2(off[:, 1], off[:, 0])) % 360)
    assert np.diff([*ways, ways[0] + 360]).max() < 60
    assert {round(start.scale / 0.5, 2) for start in tried} == {0.78, 0.9, 1.0, 1.12, 1.28}
    assert {round(start.turned - 10) for start in tried} == {-24, -8, 8, 24}
    points, nearest = sample(lines), nearest_lines(lines)
    assert best == max(score(points, nearest, start).total for start in tried)
