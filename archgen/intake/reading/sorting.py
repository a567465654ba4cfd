"""Say what one picture is, by itself: a photo of a piece, a stencil or a reference; with the reason in studio words.

The limits were set on half of the pictures of tests/reference/test_intake_sorting.py; the other half was looked at
once, after. No photograph of real skin was among them, so a guess near a limit is a doubtful one.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from archgen.intake.plan import Guess, What
from archgen.intake.reading.look import PictureLook
from archgen.languages.house import say
from archgen.picture_facts.facts import Role

# A drawing: how much is bare, how light that is, how little of the rest has colour or is a gray plane.
LEAST_PAPER, LEAST_PAPER_LIGHT = 0.38, 78.0
MOST_INK_CHROMA, MOST_GRAY_INK, MOST_COLOURED = 10.0, 0.12, 0.03
# Lines of transfer paper and blue pencil have one colour; a scan of paper is never quite white.
MOST_LINE_CHROMA, MOST_PAPER_CHROMA = 75.0, 14.0
# What is painted in one colour has planes of it, where lines have none.
MOST_PLANES = 0.15
# A photo of a piece: how much of it is one area of skin, and how much of that is marked.
LEAST_SKIN, SURE_SKIN = 0.33, 0.5
LEAST_INK, SURE_LEAST_INK, SURE_MOST_INK, MOST_INK = 0.012, 0.02, 0.25, 0.42
# Of the area itself, how much has the colour of skin: wood and fur are patchy.
LEAST_EVEN = 0.72
# Neighbours equal to the last bit: a camera's picture made smaller has some, a program's has mostly such.
MOST_FLAT = 0.42
# Without a camera's word, skin that is marked more than this is fur or wood as often.
MOST_INK_UNKNOWN = 0.28
# Under this chroma a picture has no colours.
GRAY = 2.0
# Screens of telephones are at least so much longer than wide; a sensor is 4:3 or 3:2.
_SCREEN_RATIO = 1.7
_SCREENSHOT_NAME = re.compile(r"screen[ _-]?shot|screen[ _-]?capture|bildschirmfoto|captura|capture[ _-]d", re.I)


@dataclass(frozen=True, slots=True)
class Sorted:
    """What a picture is by itself.

    Attributes:
        sureness: 0 to 1; under a half it is doubtful.
        instead: What it would be otherwise.
    """

    role: Role
    note: str
    reason: str
    sureness: float
    instead: Role


def sort_picture(look: PictureLook, name: str) -> Sorted:
    """Say what a picture is."""
    if is_drawing(look):
        return _drawing(look)
    skin = skin_sureness(look)
    if skin > 0 and not _has_foreign_rights(look):
        return _on_skin(look, skin)
    return _reference(look, name, skin)


def is_drawing(look: PictureLook) -> bool:
    """Say whether a picture is a drawing in one ink on bare paper."""
    seen = look.measures
    if seen.paper < LEAST_PAPER or seen.paper >= 0.9995 or seen.paper_light < LEAST_PAPER_LIGHT:
        return False
    if seen.paper_chroma > MOST_PAPER_CHROMA or seen.gray_ink > MOST_GRAY_INK:
        return False
    if seen.ink_chroma <= MOST_INK_CHROMA and seen.coloured <= MOST_COLOURED:
        return True
    return seen.one_hue and seen.ink_chroma <= MOST_LINE_CHROMA and seen.planes <= MOST_PLANES


def skin_sureness(look: PictureLook) -> float:
    """Say how sure it is that a picture shows a tattoo on skin: 0 no, over a half yes."""
    seen = look.measures
    if seen.skin_block < LEAST_SKIN or seen.skin < LEAST_EVEN * seen.skin_block:
        return 0.0
    most = MOST_INK if look.has_camera else MOST_INK_UNKNOWN
    is_painted = seen.flat > MOST_FLAT and not look.has_camera
    if is_painted or not LEAST_INK <= seen.ink_on_skin <= most:
        return 0.0
    sure = 0.9
    if seen.skin_block < SURE_SKIN:
        sure -= 0.25
    if not SURE_LEAST_INK <= seen.ink_on_skin <= SURE_MOST_INK:
        sure -= 0.35
    if not look.has_camera:
        sure -= 0.1
    return round(max(sure, 0.2), 2)


def guess_of(found: Sorted, what: What) -> Guess:
    """Make the guess of a picture whose stage is known."""
    instead = {Role.STENCIL: What.STENCIL, Role.REFERENCE: What.REFERENCE, Role.PHOTO: What.FRESH}[found.instead]
    return Guess(what, found.note, found.reason, found.sureness < 0.5, instead)


def _drawing(look: PictureLook) -> Sorted:
    seen = look.measures
    is_white, is_coloured = seen.paper_light > 97, seen.ink_chroma > MOST_INK_CHROMA
    on_white = say("lines of one colour on white") if is_coloured else say("lines on white")
    on_paper = say("lines of one colour on paper") if is_coloured else say("lines on paper")
    lines = on_white if is_white else on_paper
    camera = say("no camera") if not look.has_camera else say("taken with a camera")
    parts = [say("Two tones, {lines}", lines=lines), camera]
    if look.origin.dots_per_inch:
        parts.append(say("{dpi:.0f} dots to the inch", dpi=look.origin.dots_per_inch))
    sure = 0.9
    if seen.gray_ink > MOST_GRAY_INK / 2:
        sure -= 0.2
    if look.rights is not None:
        parts.append(say("the file names its maker or a right"))
        sure -= 0.3
    if look.file_format == "PDF":
        parts.append(say("but a PDF may be a letter, so look at it"))
        sure = 0.4
    return Sorted(Role.STENCIL, lines, f"{', '.join(parts)}.", sure, Role.REFERENCE)


def _on_skin(look: PictureLook, sureness: float) -> Sorted:
    parts = [say("Dark marks on skin")]
    if look.has_camera:
        parts.append(say("taken with a camera"))
    if sureness < 0.5:
        parts.append(say("but little skin or unusual marks, so look at it"))
    return Sorted(Role.PHOTO, say("on skin"), f"{', '.join(parts)}.", sureness, Role.REFERENCE)


def _reference(look: PictureLook, name: str, skin: float) -> Sorted:
    parts, note, sure = list(_why_reference(look, name, skin)), say("not skin"), 0.9
    if look.rights is not None:
        note = say("names its maker") if look.rights.creators else say("carries a right")
        sure = 0.9 if skin == 0 else 0.45
    elif is_screenshot(look, name):
        note, sure = say("a screenshot, no date") if look.taken is None else say("a screenshot"), 0.45
    elif look.measures.chroma < GRAY and look.taken is not None:
        # The colours are gone, and with them what skin is known by; a camera's date stayed.
        return Sorted(
            Role.PHOTO,
            say("black and white, from a camera"),
            say("Black and white, with a camera's date: skin cannot be told from other things, so look at it."),
            0.4,
            Role.REFERENCE,
        )
    elif look.has_camera and _has_much_skin(look):
        sure = 0.45
    instead = Role.PHOTO if look.has_camera or skin > 0 or _has_much_skin(look) else Role.STENCIL
    return Sorted(Role.REFERENCE, note, f"{', '.join(parts)}.", sure, instead)


def _why_reference(look: PictureLook, name: str, skin: float) -> Iterator[str]:
    seen = look.measures
    if skin > 0:
        yield say("Skin with marks, but the file carries a right of somebody")
    elif _has_much_skin(look):
        yield say("The colour of skin, but no tattoo was found on it")
    elif seen.paper > LEAST_PAPER and seen.paper_light > LEAST_PAPER_LIGHT:
        yield say("A drawing with colours or gray planes, no skin")
    else:
        yield say("No skin")
    if is_screenshot(look, name):
        yield say("screen size, no camera")
    if look.rights is not None:
        yield say("the file names its maker or a right")
    elif look.has_camera:
        yield say("taken with a camera")


def is_screenshot(look: PictureLook, name: str) -> bool:
    """Say whether a picture is what was on a screen."""
    if look.origin.is_screenshot or _SCREENSHOT_NAME.search(name):
        return True
    long, short = max(look.width, look.height), min(look.width, look.height)
    has_screen_size = long / short > _SCREEN_RATIO and short in _SCREEN_WIDTHS
    return has_screen_size and look.file_format == "PNG" and not look.has_camera and look.taken is None


# Pixels across screens of telephones and tablets in common use; from memory.
_SCREEN_WIDTHS = frozenset(
    {640, 720, 750, 828, 1080, 1125, 1170, 1179, 1206, 1220, 1242, 1260, 1284, 1290, 1320, 1440, 1536, 1620, 1668, 2048}
)


def _has_much_skin(look: PictureLook) -> bool:
    seen = look.measures
    return seen.skin_block >= LEAST_SKIN and seen.skin >= LEAST_EVEN * seen.skin_block


def _has_foreign_rights(look: PictureLook) -> bool:
    """Say whether the file carries somebody's right; a camera may be set to write its owner's name into every photo."""
    rights = look.rights
    if rights is None:
        return False
    return bool(rights.licence or rights.web_statement or rights.usage_terms or rights.source or not look.has_camera)
