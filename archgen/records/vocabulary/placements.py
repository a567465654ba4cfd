"""The controlled list of places on the body, what trade words mean on it, and how it is written for people.

Our own ids come first; anatomical terms and codes are data beside them. Terms and codes (SNOMED CT): DICOM PS3.16
context groups CID 4029 "Dermatology Anatomic Sites", CID 4 and CID 4031, as shipped in the code tables of pydicom
3.0.2; several terms for one place are set apart by " / ". Trade words: common practice, no source. Inner is the palm
side of the forearm and the body side of the upper arm (standard anatomical position, from memory).
"""

from archgen.languages.house import house, say_in, within
from archgen.languages.kept import kept
from archgen.records.model import Side
from archgen.records.vocabulary.body.answers import answer
from archgen.records.vocabulary.body.phrases import take_apart
from archgen.records.vocabulary.girths import GirthKind
from archgen.values.frozen import Value


class BodyPlace(Value, frozen=True):
    """One place of the list.

    Attributes:
        words: For people: "Outer forearm".
        synonyms: Trade words that mean this place and no other.
        anatomy: Anatomical term with its SNOMED CT code.
        group: The larger part of the body it belongs to.
        girth: Which girth goes round it; None where the place does not wrap round a limb.
    """

    id: str
    words: str
    synonyms: tuple[str, ...]
    anatomy: str
    group: str
    girth: GirthKind | None


class PlaceReading(Value, frozen=True):
    """What a word for a place was read as.

    Attributes:
        place: The place, when the word can mean only one.
        side: The client's own side, when the word names it ("left inner forearm").
        choices: The places a word may mean that is no answer by itself, such as "arm".
        nearest: The one place that is likely meant by a phrase that is not all understood.
        detail: Words, as written, that the list of places cannot hold: "inner" of "inner calf".
    """

    place: BodyPlace | None = None
    side: Side | None = None
    choices: tuple[BodyPlace, ...] = ()
    nearest: str | None = None
    detail: str = ""


# id | words | trade words | anatomical term and code | group | girth
_LIST = """
scalp | Scalp | head side, side of head, skull | Skin of scalp 43067004 | head | head
crown | Crown of the head | crown, top of head | Skin of vertex of scalp 61719002 | head | head
temple | Temple | | Skin of temporal region 16621002 | head | head
face | Face | cheek | Skin of face 73897004 / Skin of cheek 36141000 | head |
ear | Ear | helix, ear lobe | Skin of ear 1902009 | head |
behind-ear | Behind the ear | | Skin of postauricular region 24483006 | head |
neck-front | Throat | front of neck | Skin of anterior portion of neck 11584001 | neck | neck
neck-side | Side of the neck | | Skin of lateral portion of neck 5272005 | neck | neck
nape | Nape | back of neck | Skin of nuchal region 4658004 | neck | neck
collarbone | Collarbone | collar bone, clavicle | Skin of infraclavicular region 66288003 / Skin of supraclavicular region 76072005 | torso front |
chest | Chest | pec, pectoral | Skin of anterior surface of thorax 244106003 | torso front | chest
sternum | Sternum | between breasts, breastbone | Sternal skin 244107007 | torso front |
under-breast | Under the breast | underboob, under boob | Skin of lower chest wall 699915001 | torso front | chest
ribs | Ribs | rib, rib cage, ribcage | Skin of lower chest wall 699915001 | torso side | chest
stomach-upper | Upper stomach | upper abdomen, upper belly | Skin of upper abdomen 699935000 | torso front | waist
stomach | Stomach | belly, navel, belly button, abdomen | Skin of abdomen 75093004 / Skin of umbilicus 315003 | torso front | waist
stomach-lower | Lower stomach | lower abdomen, lower belly | Skin of lower abdomen 699914002 | torso front | waist
groin | Groin | bikini line | Skin of inguinal region 39687006 | torso front |
flank | Flank | waist, love handle, oblique | Flank 58602004 | torso side | waist
hip | Hip | | Hip 29836001 | torso side | buttock
upper-back | Upper back | between shoulder blades | Skin of back of upper thoracic region 699893008 | torso back | chest
shoulder-blade | Shoulder blade | scapula | Skin of posterior surface of thorax 244111001 | torso back |
spine | Spine | | Skin of back 66643007 | torso back |
full-back | Full back | back piece, whole back | Skin of back 66643007 | torso back |
lower-back | Lower back | small of back | Skin of lower back 113182001 | torso back | waist
buttock | Buttock | glute, bum, butt | Skin of buttock 22180002 | torso back | buttock
shoulder | Shoulder | shoulder cap, cap, deltoid, delt | Shoulder 16982005 | upper arm |
armpit | Armpit | axilla | Skin of axilla 76261009 | upper arm |
upper-arm-outer | Outer upper arm | outer bicep, upper arm outside, lateral upper arm | Upper arm 40983000, lateral 49370004 | upper arm outer | arm
upper-arm-front | Bicep | front of upper arm, anterior upper arm | Skin of anterior surface of upper arm 45981001 | upper arm | arm
upper-arm-inner | Inner upper arm | inner bicep, upper arm inside, medial upper arm | Upper arm 40983000, medial 255561001 | upper arm inner | arm
upper-arm-back | Tricep | back of arm, back of upper arm, posterior upper arm | Skin of posterior surface of upper arm 72939005 | upper arm outer | arm
elbow | Elbow | | Skin of posterior surface of elbow 181536004 | forearm outer |
elbow-ditch | Elbow ditch | inner elbow, ditch of elbow | Skin of antecubital fossa 17957002 | forearm inner |
forearm-inner | Inner forearm | inside forearm, ventral forearm, anterior forearm, palm side of forearm | Skin of anterior surface of forearm 70559009 | forearm inner | forearm
forearm-outer | Outer forearm | outside forearm, top of forearm, dorsal forearm, posterior forearm | Skin of posterior surface of forearm 41550009 | forearm outer | forearm
forearm-side | Side of the forearm | | Forearm 14975008, lateral 49370004 / medial 255561001 | forearm | forearm
wrist-inner | Inner wrist | inside wrist, ventral wrist, palm side of wrist | Skin of palmar area of wrist 24527008 | forearm inner | wrist
wrist-outer | Top of the wrist | outer wrist, back of wrist, dorsal wrist | Skin of dorsal area of wrist 52876008 | forearm outer | wrist
hand-back | Back of the hand | top of hand | Skin of part of dorsal surface of hand 281642007 | hand | hand
palm | Palm | | Skin of palm of hand 70887009 | hand | hand
finger | Finger | knuckle, side of finger, thumb | Skin of digit of hand 244169007 | hand |
full-sleeve | Full sleeve | arm sleeve, whole arm | Skin of upper extremity 371311000 | arm |
half-sleeve | Half sleeve | | Skin of upper extremity 371311000 | arm |
thigh-front | Front of the thigh | quad, anterior thigh | Skin of anterior surface of thigh 61248009 | thigh | thigh
thigh-outer | Outer thigh | outside thigh, side of thigh, lateral thigh | Thigh 68367000, lateral 49370004 | thigh | thigh
thigh-inner | Inner thigh | inside thigh, medial thigh | Skin of medial surface of thigh 73958006 | thigh | thigh
thigh-back | Back of the thigh | hamstring, posterior thigh | Skin of posterior surface of thigh 4578000 | thigh | thigh
knee | Knee | knee cap, kneecap, front of knee | Skin of anterior surface of knee 181553006 | knee | lower-thigh
knee-ditch | Knee ditch | back of knee, ditch of knee | Skin of popliteal fossa 84507004 | knee | lower-thigh
shin | Shin | front of lower leg | Skin of anterior surface of lower leg 25763004 | calf | calf
calf | Calf | back of calf, back of lower leg | Skin of posterior surface of lower leg 47224004 | calf | calf
calf-side | Side of the calf | outer calf, inner calf | Lower leg 30021000, lateral 49370004 / medial 255561001 | calf | calf
leg-sleeve | Leg sleeve | whole leg, full leg | Skin of lower extremity 371304004 | leg |
ankle | Ankle | outer ankle, inner ankle | Skin of lateral aspect of ankle 181564009 / Skin of medial aspect of ankle 181563003 | foot | ankle
foot-top | Top of the foot | instep | Skin of foot 60496002 | foot |
sole | Sole | sole of foot | Skin of lateral border of sole 35739000 / Skin of medial border of sole 52953006 | foot |
heel | Heel | achilles | Skin of heel 84607009 | foot | ankle
toe | Toe | | Skin of toe 52034004 | foot |
"""  # noqa: E501
_SIDES = {side.value: side for side in Side}


def _places() -> dict[str, BodyPlace]:
    places = {}
    for row in _LIST.strip().splitlines():
        place_id, words, trade, anatomy, group, girth = (cell.strip() for cell in row.split("|"))
        synonyms = tuple(word.strip() for word in trade.split(",") if word.strip())
        kind = GirthKind(girth) if girth else None
        places[place_id] = BodyPlace(place_id, words, synonyms, anatomy, group, kind)
    return places


PLACES = _places()


@kept(1024)
def find_placement(text: str) -> PlaceReading:
    """Read an id or a phrase for a place, with or without the side: what `body` knows, and what the house says."""
    if text.strip() in PLACES:
        return PlaceReading(PLACES[text.strip()])
    if said := _said_by_the_house().get(text.strip().casefold()):
        return said
    phrase = take_apart(text)
    found = answer(phrase)
    side = _SIDES.get(next(iter(phrase.sides))) if len(phrase.sides) == 1 else None
    places = tuple(PLACES[place] for place in found.places)
    if found.is_sure:
        return PlaceReading(places[0], side, detail=found.detail)
    if len(places) == 1:
        return PlaceReading(side=side, nearest=places[0].id)
    return PlaceReading(side=side, choices=places)


def place_words(place: BodyPlace) -> str:
    """Say a place in the language of the house."""
    return say_in("place", place.words)


def place_within(place: BodyPlace) -> str:
    """Say a place within a sentence."""
    return within(place_words(place))


def side_words(side: Side) -> str:
    """Say a side of the body in the language of the house."""
    return say_in("side", side.value)


@kept(8)
def _said_by_the_house() -> dict[str, PlaceReading]:
    """Give what every placement is called on pages in another language than English, and so may be typed again."""
    if house().is_source:
        return {}
    sides = (None, *Side)
    said = ((place, side, placement_words(place.id, side)) for side in sides for place in PLACES.values())
    return {words.casefold(): PlaceReading(place, side) for place, side, words in reversed([*said]) if words}


def placement_words(region: str | None, side: Side | None = None) -> str | None:
    """Say a placement, side last: "Outer forearm, left", the middle without one; None for no region."""
    if region is None:
        return None
    place = PLACES.get(region)
    words = place_words(place) if place else region
    return f"{words}, {side_words(side)}" if side and side is not Side.CENTRE else words


def plain_placement_words(region: str | None, side: Side | None = None) -> str | None:
    """Write the same in English."""
    if region is None:
        return None
    place = PLACES.get(region)
    words = place.words if place else region
    return f"{words}, {side.value}" if side and side is not Side.CENTRE else words
