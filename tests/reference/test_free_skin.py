"""What is free on a limb against Shapely, which knows nothing of limbs: polygons drawn flat, cut and measured by it."""

import random

import msgspec
import pytest
import shapely

from archgen.limbs.flat import across, band_shapes, outline, piece_shapes
from archgen.limbs.free_skin import Room, free_skin, room_for
from archgen.limbs.spots import QUARTERS
from tests.unit.limbs.on_a_limb import laid_out, limb_piece

ARM = ("upper-arm-outer", "upper-arm-front", "upper-arm-inner", "upper-arm-back", "forearm-inner", "forearm-outer")
ARM = (*ARM, "forearm-side", "wrist-inner", "elbow", "shoulder", "half-sleeve")
NOTES = (None, "upper half", "lower third", "in the middle")


def random_limb(tmp_path, seed):
    chance = random.Random(seed)
    pieces = [
        limb_piece(
            number,
            chance.choice(ARM),
            side=chance.choice(["left", "right"]) if seed % 2 else "right",
            size=(chance.uniform(15, 110), chance.uniform(15, 150)),
            girth=chance.choice([None, chance.uniform(240, 380)]),
            note=chance.choice(NOTES),
        )
        for number in range(1, chance.randint(2, 5))
    ]
    return laid_out(tmp_path, *pieces).limbs[0]


def strip(limb, left, right, top, bottom):
    """All between two directions, given in degrees right of the middle, and two heights; rows of a few millimetres."""
    count = max(int((bottom - top) / 4), 2)
    rows = [top + (bottom - top) * step / count for step in range(count + 1)]
    edge = [(left / 360 * limb.profile.girth(at), at) for at in rows]
    return shapely.Polygon([*edge, *((right / 360 * limb.profile.girth(at), at) for at in reversed(rows))])


def ring(limb, middle, half, top, bottom):
    """The same once more a whole turn to either side."""
    around = (middle + shift for shift in (-360, 0, 360))
    return shapely.union_all([strip(limb, one - half, one + half, top, bottom) for one in around])


def degrees(limb, turn):
    way = 1 if limb.side.value == "right" else -1
    return way * ((turn - limb.seam) % 360 - 180)


def covered(limb, piece, turn, at):
    """A piece at a place, cut at the seam and put together again on its other side."""
    span = 360 * piece.width_mm / limb.profile.girth(at)
    middle = degrees(limb, turn)
    top, bottom = at - piece.height_mm / 2, at + piece.height_mm / 2
    whole = shapely.Polygon(outline(limb))
    around = [
        strip(limb, middle + shift - span / 2, middle + shift + span / 2, top, bottom) for shift in (-360, 0, 360)
    ]
    return shapely.intersection(shapely.union_all(around), whole)


def quarter(limb, one):
    top, bottom = limb.profile.ends[one.part], limb.profile.ends[one.part + 1]
    if one.facing is None:
        return strip(limb, -180, 180, top, bottom)
    middle = degrees(limb, one.facing)
    return shapely.intersection(ring(limb, middle, 45, top, bottom), strip(limb, -180, 180, top, bottom))


def some_places(limb, chance):
    for piece in limb.pieces:
        at = chance.uniform(*piece.middles_mm)
        room = turning(limb, piece, at)
        yield piece, chance.choice(piece.spot.facing) + chance.uniform(-room, room), at


def turning(limb, piece, at):
    if piece.spot.spread == 180:
        return 180
    return max(piece.spot.spread - 180 * piece.width_mm / limb.profile.girth(at), 0)


@pytest.mark.parametrize("seed", range(12))
def test_free_skin_lies_within_its_range_wherever_the_pieces_lie(tmp_path, seed):
    limb = random_limb(tmp_path, seed)
    chance = random.Random(1000 + seed)
    said = [(one, quarter(limb, one)) for one in free_skin(limb)]
    for one, area in said:
        assert one.skin == pytest.approx(area.area, rel=2e-3)
    for _ in range(12):
        there = [covered(limb, *place) for place in some_places(limb, chance)]
        on_top = sum(one.area for one in there) - shapely.union_all(there).area
        if on_top > 1:
            continue  # counted as if no piece lay on another
        for one, area in said:
            free = shapely.difference(area, shapely.union_all(there)).area
            slack = 0.004 * area.area + 1
            assert one.least - slack <= free <= one.most + slack


@pytest.mark.parametrize("seed", range(12))
def test_both_ends_of_a_range_are_reached(tmp_path, seed):
    chance = random.Random(seed)
    size = (chance.uniform(30, 90), chance.uniform(40, 120))
    (limb,) = laid_out(tmp_path, limb_piece(1, chance.choice(ARM), size=size)).limbs
    (piece,) = limb.pieces
    low, high = piece.middles_mm
    places = []
    for at in (low + (high - low) * step / 16 for step in range(17)):
        room = turning(limb, piece, at)
        for way in piece.spot.facing:
            places += [covered(limb, piece, way + room * turn / 2, at) for turn in range(-2, 3)]
    for one in free_skin(limb):
        area = quarter(limb, one)
        free = [shapely.difference(area, place).area for place in places]
        assert min(free) == pytest.approx(one.least, abs=0.01 * area.area)
        assert max(free) == pytest.approx(one.most, abs=0.01 * area.area)


@pytest.mark.parametrize("seed", range(12))
def test_room_that_is_sure_is_there_wherever_the_others_lie(tmp_path, seed):
    limb = random_limb(tmp_path, seed)
    chance = random.Random(seed)
    size = (chance.uniform(20, 60), chance.uniform(20, 80))
    bands = shapely.union_all([shapely.Polygon(shape).buffer(0) for p in limb.pieces for shape in band_shapes(limb, p)])
    for part in room_for(limb, *size):
        top, bottom = limb.profile.ends[part.part], limb.profile.ends[part.part + 1]
        for facing, room in part.rooms:
            if room is Room.SURE:
                assert found(limb, bands, facing, size, (top, bottom)), (part.part, facing)


def found(limb, taken, facing, size, heights):
    new = msgspec.structs.replace(limb.pieces[0], width_mm=size[0], height_mm=size[1])
    at = heights[0] + size[1] / 2
    while at <= heights[1] - size[1] / 2 + 1e-6:
        room = turning(limb, new, at)
        for step in range(13):
            place = covered(limb, new, facing - room + 2 * room * step / 12, at)
            if shapely.intersection(place, taken).area < 0.02 * size[0] * size[1]:
                return True
        at += 5
    return False


def test_a_piece_as_large_as_its_place_leaves_no_range(tmp_path):
    (limb,) = laid_out(tmp_path, limb_piece(1, "forearm-outer", girth=286, size=(71.5, 255))).limbs
    (whole,) = (one for one in free_skin(limb) if one.part == 1 and one.facing is None)
    assert whole.most == pytest.approx(whole.least)
    assert whole.skin - whole.least == pytest.approx(whole.skin / 4)


def test_no_room_is_said_where_the_part_is_full_or_too_short(tmp_path):
    (limb,) = laid_out(tmp_path, limb_piece(1, "forearm-outer", size=(80, 250), girth=286)).limbs
    upper, fore = room_for(limb, 40, 60)
    assert dict(fore.rooms)[180] is Room.NONE
    assert dict(fore.rooms)[0] is Room.SURE
    assert {room for _, room in upper.rooms} == {Room.SURE}
    assert {room for _, room in room_for(limb, 40, 300)[1].rooms} == {Room.NONE}
    loose = laid_out(tmp_path, limb_piece(1, "forearm-outer", size=(60, 90), girth=286)).limbs[0]
    assert dict(room_for(loose, 60, 90)[1].rooms)[180] is Room.MAYBE


@pytest.mark.parametrize("side", ["left", "right"])
def test_seen_from_outside_the_bodys_side_lies_where_it_is(tmp_path, side):
    (limb,) = laid_out(tmp_path, limb_piece(1, "forearm-inner", side=side)).limbs
    front, body_side = across(limb, 0, 400), across(limb, 90, 400)
    assert (body_side > front) == (side == "right")
    assert len(QUARTERS) == 4


@pytest.mark.parametrize("seed", range(8))
def test_pieces_are_drawn_at_their_size(tmp_path, seed):
    limb = random_limb(tmp_path, seed)
    for piece in limb.pieces:
        drawn = sum(shapely.Polygon(shape).area for shape in piece_shapes(limb, piece))
        expected = covered(limb, piece, piece.facing, piece.at_mm).area
        assert drawn == pytest.approx(expected, rel=0.02) or piece.extent_mm[0] < 0
