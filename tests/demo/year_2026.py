"""The demo pieces of 2026."""

from tests.demo.embedded import Rights
from tests.demo.limb import Scene
from tests.demo.piece import (
    FULL,
    SMALL,
    DemoPiece,
    Drawing,
    PhotoFile,
    ReferenceFile,
    StencilFile,
    at,
    release_letter,
)
from tests.demo.sleeve import SLEEVE
from tests.demo.year_2025 import FURTHER_OUT, MOON_RIGHTS

RIGHT, LOW = (0.60, -0.42, 0.66), (-0.80, -0.15, 0.55)

DOG = DemoPiece(
    id="2026-02-21-long-haired-dog",
    drawing=Drawing("dog", 57, "wash"),
    record="""title    = "Bruna"
publish  = true
styles   = ["micro-portrait", "black-and-grey"]
subjects = ["dog", "pet"]
client   = "C-0018"

[size]
width  = "57 mm"
height = "78 mm"

[placement]
region = "forearm-inner"
side   = "left"
girth  = "10 3/4 in"
note   = "looks at the owner, not at the room"

[[sitting]]
date  = 2026-02-21
hours = 4.75
note  = "eyes first, then stopped and looked, then the rest"

[[healing]]
date = 2026-04-18
note = "eyes bright, left ear a shade lighter than planned, leave it"

[[needle]]
code  = "1RL"
use   = "fur"
batch = "N-88520"
expiry = 2028-11-30

[[needle]]
code  = "bugpin 9RL"
use   = "nose, eyes"
batch = "N-88213"
expiry = 2028-05-31

[[needle]]
code  = "0805RS"
use   = "soft tone under the fur"
batch = "N-88541"

[[ink]]
batch = "BK-1177"

[[ink]]
batch = "GW1-2498"

[[ink]]
batch = "gw2 2498"
use   = "second tone, fur"

[[ink]]
batch = "WH-0310"
use   = "whiskers, light in the eyes"

[[reference]]
file           = "references/bruna-sharpened.jpg"
source         = "the client's phone, made larger"
license        = "client-supplied"
obtained       = 2026-01-30
digital_source = "compositeWithTrainedAlgorithmicMedia"
ai_system      = "Fellklar 2.1"
likeness       = "none"
note           = "the phone picture was 600 pixels; the program invented fur on the left ear"

[[stencil]]
file    = "stencils/dog-1.png"
version = 1
width   = "57 mm"
from    = ["references/bruna-sharpened.jpg"]

[[stencil]]
file    = "stencils/dog-2-thin.png"
version = 2
parent  = 1
width   = "57 mm"
applied = true
$landmarks

[[photo]]
file  = "photos/dog-fresh.jpg"
stage = "fresh"
alt   = "Small portrait of a long-haired dog on an inner forearm"
cover = true

[[photo]]
file  = "photos/dog-healed.jpg"
stage = "healed"
alt   = "The dog's portrait, healed"

[release]
status = "granted"
scope  = ["portfolio"]
date   = 2026-02-21
file   = "release.pdf"
""",
    notes="""Bruna died in December, fourteen years old. Tissues on the left shelf.

He sent a copy of my photo back to me later, it is in the folder.
""",
    story="""Bruna slept on his left arm for fourteen years. She still does.
""",
    stencils=(StencilFile("dog-1.png"), StencilFile("dog-2-thin.png", 0.72)),
    photos=(
        PhotoFile(
            "dog-fresh.jpg",
            Scene("forearm", "tan", "fresh", "black", 11, tilt=11, fill=0.5),
            at("2026-02-21 17:31"),
            FULL,
        ),
        PhotoFile(
            "dog-healed.jpg",
            Scene("forearm", "tan", "healed", "charcoal", 12, tilt=-5, fill=0.5, key=RIGHT),
            at("2026-04-18 15:40"),
        ),
        PhotoFile(
            "from-messenger.jpg",
            Scene("forearm", "tan", "fresh", "black", 11, tilt=11, fill=0.5),
            at("2026-02-21 17:31"),
            SMALL,
            edit="messenger",
        ),
    ),
    references=(
        ReferenceFile(
            "bruna-sharpened.jpg",
            "photo",
            Rights(digital_source="compositeWithTrainedAlgorithmicMedia", ai_system="Fellklar 2.1", iim=False),
            seed=11,
        ),
    ),
    letters=(release_letter("C-0018", "portfolio", "21 February 2026"),),
    landmarks=("dog-2-thin.png", "dog-fresh.jpg", "dog-healed.jpg", "bruna-sharpened.jpg"),
    facts=(
        "AI-enhanced reference",
        "a photo not named in the record",
        "a batch written differently",
        "girth in inches",
        "recalled batch",
    ),
)

SNAKE = DemoPiece(
    id="2026-04-11-snake-and-branch",
    drawing=Drawing("snake", 54, "wash"),
    record="""title    = "Snake and branch"
publish  = true
finished = 2026-04-25
styles   = ["black-and-grey", "neo-traditional"]
subjects = ["snake", "branch", "leaves"]
client   = "C-0008"

[size]
width  = "54 mm"
height = "103 mm"

[placement]
region = "forearm-outer"
side   = "right"
girth  = "286 mm"

[[sitting]]
date  = 2026-04-11
hours = "3h10"
note  = "lines"

[[sitting]]
date  = 2026-04-25
hours = "3h20"
note  = "scales and bark"

[[healing]]
date     = 2026-06-20
note     = "two scales open near the head, leaf stalk thin"
touch_up = true

[[needle]]
code  = "7RL"
use   = "lines"
batch = "N-88520"

[[needle]]
code  = "3RL"
use   = "scales"
batch = "N-88520"

[[needle]]
code  = "15M1"
use   = "bark"
batch = "N-88563"

[[ink]]
batch = "BK-1301"

[[ink]]
batch = "GW1-2498"
use   = "markings"

[[ink]]
batch = "GW2-2489"
name  = "grey wash 2"
use   = "branch"

[[reference]]
file       = "references/branch-snake.jpg"
source     = "https://example.org/reptiles/branch-snake"
license    = "CC0-1.0"
rights_url = "https://creativecommons.org/publicdomain/zero/1.0/"
obtained   = 2026-03-20
likeness   = "none"

[[stencil]]
file    = "stencils/snake-1.png"
version = 1
width   = "54 mm"
applied = true
from    = ["references/branch-snake.jpg"]

[[photo]]
file  = "photos/snake-lines.jpg"
stage = "in-progress"
alt   = "Line work of the snake after the first sitting"

[[photo]]
file  = "photos/snake-fresh.jpg"
stage = "fresh"
alt   = "Snake winding round a branch on an outer forearm, just finished"

[[photo]]
file  = "photos/snake-healed.jpg"
stage = "healed"
alt   = "The snake and branch, healed, arm laid across the picture"
cover = true

[release]
status = "granted"
scope  = ["portfolio", "print"]
date   = 2026-04-11
file   = "release.pdf"
""",
    notes="""Bottle of second wash was nearly empty, label half gone, number read in bad light.

Touch-up offered for autumn, he has not answered yet. The lighthouse on the other arm has gone soft
and lovely; asked for a photo, forgot to take one.
""",
    story="""A snake does not climb a branch. It agrees with it.
""",
    stencils=(StencilFile("snake-1.png"),),
    photos=(
        PhotoFile(
            "snake-lines.jpg",
            Scene("forearm", "tan", "fresh", "charcoal", 140, tilt=-6, key=RIGHT),
            at("2026-04-11 16:02"),
            SMALL,
            "line",
        ),
        PhotoFile(
            "snake-fresh.jpg",
            Scene("forearm", "tan", "fresh", "charcoal", 14, tilt=-11, key=RIGHT),
            at("2026-04-25 16:44"),
        ),
        PhotoFile(
            "snake-healed.jpg",
            Scene("forearm", "tan", "healed", "olive", 41, tilt=-80, portrait=False, fill=0.9, key=(-0.3, -0.72, 0.62)),
            at("2026-06-20 11:55"),
            FULL,
        ),
    ),
    references=(
        ReferenceFile(
            "branch-snake.jpg",
            "photo",
            Rights(
                creator="Jorun Habeck",
                notice="© 2025 Jorun Habeck. All rights reserved.",
                credit="Jorun Habeck",
                statement_url="https://example.org/habeck/terms",
                usage="No use without a licence.",
            ),
            seed=14,
        ),
    ),
    letters=(release_letter("C-0008", "portfolio, print", "11 April 2026"),),
    facts=(
        "embedded rights contradict the record",
        "a batch number with two figures swapped",
        "touch-up wanted, not done",
        "several sittings",
        "landscape photo",
    ),
)

MUSHROOMS = DemoPiece(
    id="2026-05-30-mushrooms",
    drawing=Drawing("mushrooms", 66, "dots"),
    record="""title    = "Five in the moss"
publish  = true
styles   = ["dotwork", "botanical", "illustrative"]
subjects = ["mushroom", "moss"]
client   = "C-0021"

[size]
width  = "6.6 cm"
height = "8.4 cm"

[placement]
region = "calf"
side   = "left"

[[sitting]]
date  = 2026-05-30
hours = 3

[[healing]]
date = 2026-07-25
note = "spots on the caps stayed open"

[[needle]]
code  = "5RL"
use   = "caps, stalks"
batch = "N-88520"

[[needle]]
code  = "803RL"
use   = "dots"
batch = "N-88541"

[[ink]]
batch = "BK-1301"

[[reference]]
file       = "references/mushroom-plate.jpg"
source     = "https://example.org/library/fungi-plate-9"
creator    = "unsigned plate, field guide of 1891"
license    = "NoC-US"
rights_url = "http://rightsstatements.org/vocab/NoC-US/1.0/"
obtained   = 2026-05-12
likeness   = "none"
allows     = ["tattoo", "show-tattoo"]
note       = "published 1891, its maker died before 1920: free where I work too"

[[stencil]]
file    = "stencils/mushrooms-1.png"
version = 1
width   = "66 mm"
applied = true
from    = ["references/mushroom-plate.jpg"]

[[photo]]
file  = "photos/mushrooms-fresh.jpg"
stage = "fresh"
alt   = "Five mushrooms in moss on a calf, just finished"

[[photo]]
file  = "photos/mushrooms-healed.jpg"
stage = "healed"
alt   = "Five mushrooms in moss, dotwork, healed"
cover = true

[release]
status = "granted"
scope  = ["portfolio"]
date   = 2026-05-30
file   = "release.pdf"
""",
    notes="Counted them: five, one for each of the cousins. The small one on the right is the baby.\n",
    story="""Every autumn the five cousins are sent into the wood with one basket. Nobody has ever come back with
it full.
""",
    stencils=(StencilFile("mushrooms-1.png"),),
    photos=(
        PhotoFile(
            "mushrooms-fresh.jpg",
            Scene("calf", "light", "fresh", "olive", 18, tilt=9, key=RIGHT, fill=0.5),
            at("2026-05-30 14:26"),
            SMALL,
        ),
        PhotoFile(
            "mushrooms-healed.jpg",
            Scene("calf", "light", "healed", "linen", 181, tilt=-7, fill=0.54),
            at("2026-07-25 16:10"),
            FULL,
        ),
    ),
    references=(ReferenceFile("mushroom-plate.jpg", "plate", seed=18, cmyk=True),),
    letters=(release_letter("C-0021", "portfolio", "30 May 2026"),),
    facts=("CMYK reference", "a rightsstatements.org id", "girth left out"),
)

CRESCENT = DemoPiece(
    id="2026-07-18-crescent-moon",
    drawing=Drawing("moon", 63.5, "dots", flip=True),
    record="""title    = "Waxing"
publish  = true
styles   = ["dotwork", "ornamental"]
subjects = ["moon", "stars", "clouds"]
client   = "C-0007"

[size]
width  = "2 1/2 in"
height = "3.0\\""

[placement]
region = "upper-arm-outer"
side   = "right"
girth  = "336 mm"

[[sitting]]
date  = 2026-07-18
hours = "3:05"

[[healing]]
date = 2026-09-12
note = "dots held, even in the darkest part"

[[needle]]
code  = "3RL, 7RL"
use   = "lines"
batch = "N-88602"
expiry = 2029-02-28

[[needle]]
code  = "9 round liner bugpin"
use   = "dots"
batch = "N-88213"

[[ink]]
batch = "BK-1301"

[[ink]]
batch = "GW2-2610"
use   = "clouds"

[[reference]]
file       = "references/moon.jpg"
source     = "https://example.org/vantaranta/moon"
creator    = "Ilmo Vantaranta"
license    = "CC-BY-4.0"
rights_url = "https://creativecommons.org/licenses/by/4.0/"
obtained   = 2025-06-02
likeness   = "none"

[[stencil]]
file    = "stencils/crescent-1.png"
version = 1
width   = "2 1/2 in"
applied = true
from    = ["references/moon.jpg"]
note    = "turned round: the photo is of a waning moon, hers was waxing"

[[photo]]
file  = "photos/crescent-fresh.jpg"
stage = "fresh"
alt   = "Waxing moon over clouds on an outer upper arm, just finished"

[[photo]]
file  = "photos/crescent-healed.heic"
stage = "healed"
alt   = "Waxing moon over clouds, healed"
cover = true

[release]
status = "granted"
scope  = ["portfolio", "print"]
date   = 2026-07-18
file   = "release.pdf"
""",
    notes="The moth's owner. New bottle of second wash after the recall, said so before we started.\n",
    story="""Drawn the way it stood over the harbour the night she finished her last shift.

Moon after a photograph by Ilmo Vantaranta (CC BY 4.0), redrawn and changed.
""",
    stencils=(StencilFile("crescent-1.png"),),
    photos=(
        PhotoFile(
            "crescent-fresh.jpg",
            Scene("upper-arm", "deep", "fresh", "charcoal", 19, tilt=-8, cloth="cream", fill=0.54, exposure=1.1),
            at("2026-07-18 17:49"),
        ),
        PhotoFile(
            "crescent-healed.heic",
            Scene("upper-arm", "deep", "healed", "slate", 191, tilt=5, fill=0.5, exposure=1.12, key=RIGHT),
            at("2026-09-12 13:33"),
            FULL,
            position=FURTHER_OUT,
        ),
    ),
    references=(ReferenceFile("moon.jpg", "photo", MOON_RIGHTS, seed=22),),
    letters=(release_letter("C-0007", "portfolio, print", "18 July 2026"),),
    facts=("lengths in inches", "a reference used by two pieces", "a second HEIC"),
)

WRIST = DemoPiece(
    id="2026-09-05-wrist-ornament",
    drawing=Drawing("mandala", 44.45, "dots"),
    record="""title    = "Small ornament"
publish  = false
styles   = ["ornamental", "dotwork"]
subjects = ["ornament"]
client   = "C-0016"

[size]
width  = "1 3/4 in"
height = "1 3/4 in"

[placement]
region = "wrist-inner"
side   = "right"
girth  = "6 3/4 in"

[[sitting]]
date  = 2026-09-05
hours = 2

[[healing]]
date = 2026-10-24
note = "outer dots faint, fine at this size"

[[needle]]
code  = "3RL"
batch = "N-88602"

[[ink]]
batch = "BK-1301"

[[reference]]
source   = "the large ornament of 2025, made smaller"
creator  = "Tove Ostermarr"
license  = "own-work"
likeness = "none"

[[stencil]]
file    = "stencils/wrist-ornament-1.png"
version = 1
width   = "1 3/4 in"
applied = true

[[photo]]
file  = "photos/wrist-ornament-fresh.jpg"
stage = "fresh"
alt   = "Small round ornament on an inner wrist"

[[photo]]
file  = "photos/wrist-ornament-healed.jpg"
stage = "healed"
alt   = "The small ornament, healed"
cover = true

[release]
status = "not-asked"
""",
    notes="""Came in between two trains, forgot the form. Ask next time. Not for the portfolio, the big one is
stronger.
""",
    stencils=(StencilFile("wrist-ornament-1.png"),),
    photos=(
        PhotoFile(
            "wrist-ornament-fresh.jpg",
            Scene("wrist", "olive", "fresh", "slate", 231, tilt=7, fill=0.46),
            at("2026-09-05 12:12"),
            SMALL,
        ),
        PhotoFile(
            "wrist-ornament-healed.jpg",
            Scene("wrist", "olive", "healed", "charcoal", 23, tilt=-12, fill=0.46, key=RIGHT),
            at("2026-10-24 10:31"),
            SMALL,
        ),
    ),
    facts=("publish = false", "release not asked"),
)

NIGHT_MOTH = DemoPiece(
    id="2026-10-17-night-moth",
    drawing=Drawing("moth", 72, "wash", seed=8),
    record="""title    = "Night moth"
publish  = true
styles   = ["black-and-grey"]
subjects = ["moth", "insect"]
client   = "C-0010"

[size]
width  = "72 mm"
height = "64 mm"

[placement]
region = "thigh-front"
side   = "right"
girth  = "50.5 cm"

[[sitting]]
date  = 2026-10-17
hours = "3h45"

[[needle]]
code  = "7RL"
batch = "N-88602"

[[needle]]
code  = "15CM"
use   = "wings"
batch = "N-88610"

[[ink]]
batch = "BK-1301"

[[ink]]
batch = "GW2-2610"

[[reference]]
file     = "references/screenshot.jpg"
obtained = 2026-10-02
note     = "sent by the client, found somewhere"

[[reference]]
file     = "references/moth-from-a-friend.jpg"
creator  = "Sanna Rokvist"
license  = "permission"
obtained = 2026-10-05
likeness = "none"
note     = "she said yes on the phone, letter to follow"

[[stencil]]
file    = "stencils/night-moth-1.png"
version = 1
width   = "72 mm"
applied = true
from    = ["references/screenshot.jpg", "references/moth-from-a-friend.jpg"]

[[photo]]
file  = "photos/night-moth-fresh.jpg"
stage = "fresh"
alt   = "Moth with long tails on the front of a thigh, just finished"
cover = true

[release]
status = "granted"
scope  = ["portfolio"]
date   = 2026-10-17
file   = "release.pdf"
""",
    notes="""Letter from Sanna is still missing. Ask again before anything goes online.

Screenshot: no name, no page, nothing. Do not draw from it again.
""",
    story="It sat on the lamp for an entire evening and did not once look away.\n",
    stencils=(StencilFile("night-moth-1.png"),),
    photos=(
        PhotoFile(
            "night-moth-fresh.jpg",
            Scene("thigh", "light", "fresh", "black", 52, tilt=-4, fill=0.58, portrait=False),
            at("2026-10-17 18:55"),
        ),
    ),
    references=(
        ReferenceFile("screenshot.jpg", "plate", seed=51, long_side=1024),
        ReferenceFile("moth-from-a-friend.jpg", "photo", seed=52),
    ),
    letters=(release_letter("C-0010", "portfolio", "17 October 2026"),),
    facts=("reference with missing rights", "permission whose letter is missing", "no healed photo yet"),
)

SPRIG = DemoPiece(
    id="2026-11-21-fern-sprig",
    drawing=Drawing("sprig", 30, "line", flip=True),
    record="""title    = "Sprig"
publish  = true
styles   = ["fine-line", "botanical"]
subjects = ["fern", "plant"]
client   = "C-0021"

[size]
width  = "30 mm"
height = "69 mm"

[placement]
region = "forearm-inner"
side   = "right"
girth  = "27,4 cm"

[[sitting]]
date  = 2026-11-21
hours = "1 h 30 min"

[[needle]]
code   = "1203RL"
batch  = "N-88602"
expiry = 2029-02-28

[[ink]]
batch = "BK-1301"

[[reference]]
file     = "references/pressed-fern.jpg"
creator  = "Tove Ostermarr"
source   = "pressed in the studio's herbarium, scanned"
license  = "own-work"
obtained = 2024-09-01
likeness = "none"

[[stencil]]
file    = "stencils/sprig-1.png"
version = 1
width   = "30 mm"
applied = true
from    = ["references/pressed-fern.jpg"]

[[photo]]
file  = "photos/sprig-fresh.jpg"
stage = "fresh"
alt   = "A fern sprig in fine lines on an inner forearm, just finished"
cover = true

[release]
status = "granted"
scope  = ["portfolio", "print"]
date   = 2026-11-21
file   = "release.pdf"
""",
    notes="First half of a pair, the other arm in spring.\n",
    story="""Pressed between two pages of an address book since the summer of 2024. The address was his own,
before he moved.
""",
    stencils=(StencilFile("sprig-1.png"),),
    photos=(
        PhotoFile(
            "sprig-fresh.jpg",
            Scene("forearm", "light", "fresh", "stone", 66, tilt=8, fill=0.5, key=RIGHT, cloth="cream"),
            at("2026-11-21 15:20"),
            FULL,
        ),
    ),
    references=(ReferenceFile("pressed-fern.jpg", "pressed", seed=66),),
    letters=(release_letter("C-0021", "portfolio, print", "21 November 2026"),),
    facts=("finished four days ago",),
)

PIECES = (DOG, SLEEVE, SNAKE, MUSHROOMS, CRESCENT, WRIST, NIGHT_MOTH, SPRIG)
