"""The demo pieces of 2024."""

from tests.demo.embedded import Rights
from tests.demo.limb import Scene
from tests.demo.piece import (
    FULL,
    SMALL,
    DemoPiece,
    Drawing,
    Letter,
    PhotoFile,
    ReferenceFile,
    StencilFile,
    at,
    release_letter,
)

RIGHT, LOW = (0.60, -0.42, 0.66), (-0.80, -0.15, 0.55)

FERN = DemoPiece(
    id="2024-02-17-fern-frond",
    drawing=Drawing("fern", 46, "line"),
    record="""title    = "Fern, unrolling"
publish  = true
styles   = ["fine-line", "botanical"]
subjects = ["fern", "plant"]
client   = "C-0003"

[size]
width  = "46 mm"
height = "105.5 mm"

[placement]
region = "ribs"
side   = "right"
note   = "tip just under the strap line"

[[sitting]]
date  = 2024-02-17
hours = 2.5
note  = "breathed through the ribs without a break"

[[healing]]
date = 2024-03-30
note = "all lines held, the lower curl a touch soft"

[[needle]]
code   = "3RL"
use    = "all leaflets"
batch  = "N-70318"
expiry = 2026-09-30

[[needle]]
code   = "5RL"
use    = "stem"
batch  = "N-70402"
expiry = 2026-10-31

[[ink]]
batch = "BK-1042"
use   = "everything"

[[reference]]
file     = "references/fern-by-the-stream.jpg"
creator  = "Tove Ostermarr"
source   = "own photo, taken on a walk"
license  = "own-work"
obtained = 2023-05-20
likeness = "none"

[[stencil]]
file    = "stencils/fern-1.png"
version = 1
width   = "46 mm"
note    = "too heavy for ribs"

[[stencil]]
file    = "stencils/fern-2-thin.png"
version = 2
parent  = 1
width   = "46 mm"
applied = true
from    = ["references/fern-by-the-stream.jpg"]
note    = "same drawing, thinner throughout"
$landmarks

[[photo]]
file  = "photos/fern-fresh.jpg"
stage = "fresh"
alt   = "Unrolling fern frond in fine lines on the ribs, just finished"

[[photo]]
file  = "photos/fern-healed.jpg"
stage = "healed"
alt   = "The same fern six weeks later, lines settled to a soft grey"
cover = true

[release]
status = "granted"
scope  = ["portfolio", "print"]
date   = 2024-02-17
file   = "release.pdf"
""",
    notes="""Asked for it to follow the rib, not fight it. Laid the stencil twice; the first sat a finger too far
back.

- lie on the left side, pillow under the waist
- thin version was right: at 46 mm the heavy one closes up between the leaflets
""",
    story="""The frond was still half rolled when I photographed it beside a stream in May. She wanted it kept at
exactly that moment: not yet open, not in a hurry.

Single passes with a three, no shading at all. The skin between the leaflets does the work.
""",
    stencils=(StencilFile("fern-1.png"), StencilFile("fern-2-thin.png", 0.72)),
    photos=(
        PhotoFile("fern-fresh.jpg", Scene("ribs", "porcelain", "fresh", "linen", 6), at("2024-02-17 16:52")),
        PhotoFile(
            "fern-healed.jpg", Scene("ribs", "porcelain", "healed", "linen", 61, tilt=4), at("2024-03-30 11:20"), FULL
        ),
    ),
    references=(ReferenceFile("fern-by-the-stream.jpg", "photo", seed=6),),
    letters=(release_letter("C-0003", "portfolio, print", "17 February 2024"),),
    landmarks=("fern-2-thin.png", "fern-healed.jpg", "fern-fresh.jpg", "fern-by-the-stream.jpg"),
    facts=("own-work reference", "thinner stencil version with parent", "landmarks"),
)

BOAT = DemoPiece(
    id="2024-05-11-voilier-a-l-aube",
    drawing=Drawing("boat", 64, "whip"),
    record="""title    = "Voilier à l’aube, côté mer"
publish  = true
styles   = ["black-and-grey", "illustrative"]
subjects = ["boat", "sea"]
client   = "C-0005"

[size]
width  = "6,4 cm"
height = "7,6 cm"

[placement]
region = "calf-side"
side   = "left"
girth  = "39.5 cm"

[[sitting]]
date  = 2024-05-11
hours = "3h15"

[[healing]]
date = 2024-06-29
note = "healed clean, hull a good even grey"

[[needle]]
code  = "1207RL"
use   = "outline"
batch = "N-71150"

[[needle]]
code  = "9 curved mag"
use   = "sails, water"
batch = "N-71166"
expiry = 2027-01-31

[[ink]]
batch = "BK-1042"
use   = "lines"

[[ink]]
batch = "GW2-2231"
use   = "sails"

[[ink]]
batch = "GW3-2231"
use   = "sun and far water"

[[reference]]
file     = "references/grandfather-boat.jpg"
source   = "family album, brought by the client"
license  = "client-supplied"
obtained = 2024-04-20
likeness = "none"
note     = "asked who took it: nobody remembers"

[[stencil]]
file    = "stencils/boat-1.png"
version = 1
width   = "64 mm"
applied = true
from    = ["references/grandfather-boat.jpg"]

[[photo]]
file  = "photos/boat-fresh.jpg"
stage = "fresh"
alt   = "Gaff-rigged sailing boat before a low sun on the side of a calf"

[[photo]]
file  = "photos/boat-healed.jpg"
stage = "healed"
alt   = "The sailing boat seven weeks later"
cover = true

[release]
status = "refused"
date   = 2024-05-11
note   = "likes it too much to share it"
""",
    notes="""Grandfather's boat. The name on the stern is left off on purpose, he wants to keep that to himself.

No photos online, said so twice. Private archive only.
""",
    story="""The boat went out before anybody was up, every morning for forty years.
""",
    stencils=(StencilFile("boat-1.png"),),
    photos=(
        PhotoFile(
            "boat-fresh.jpg",
            Scene("calf", "brown", "fresh", "stone", 21, tilt=-6, fill=0.5, key=LOW),
            at("2024-05-11 15:30"),
            SMALL,
        ),
        PhotoFile(
            "boat-healed.jpg",
            Scene("calf", "brown", "healed", "stone", 20, tilt=-10, fill=0.48, key=LOW),
            at("2024-06-29 10:05"),
        ),
    ),
    references=(ReferenceFile("grandfather-boat.jpg", "print", seed=20),),
    facts=("title with accents", "client-supplied reference", "release refused", "decimal comma in lengths"),
)

PEONY = DemoPiece(
    id="2024-06-22-peony",
    drawing=Drawing("peony", 80, "wash"),
    record="""title    = "Peony, full open"
publish  = true
finished = 2024-07-13
styles   = ["black-and-grey", "botanical"]
subjects = ["peony", "flower"]
client   = "C-0003"

[size]
width  = "80 mm"
height = "99 mm"

[placement]
region = "thigh-outer"
side   = "left"
girth  = "51 cm"

[[sitting]]
date  = 2024-06-22
hours = "3:30"
note  = "lines only, she had a train"

[[sitting]]
date  = 2024-07-13
hours = 4
note  = "shading, from the heart outwards"

[[healing]]
date = 2024-09-07
note = "petal edges soft and even"

[[needle]]
code  = "7RL"
use   = "petals"
batch = "N-71150"

[[needle]]
code  = "1015M1"
use   = "first tone"
batch = "N-71320"

[[needle]]
code  = "13 soft edge mag"
use   = "leaves"
batch = "N-71188"

[[ink]]
batch = "BK-1042"
use   = "lines, deepest folds"

[[ink]]
batch = "GW1-2231"
use   = "folds"

[[ink]]
batch = "GW3-2231"
use   = "petal tips"

[[reference]]
file       = "references/peony-plate.jpg"
source     = "https://example.org/plates/peony-12"
creator    = "unsigned plate, garden book"
license    = "CC0-1.0"
rights_url = "https://creativecommons.org/publicdomain/zero/1.0/"
obtained   = 2024-06-01
likeness   = "none"

[[stencil]]
file    = "stencils/peony-1.png"
version = 1
width   = "80 mm"
from    = ["references/peony-plate.jpg"]
note    = "first drawing"

[[stencil]]
file    = "stencils/peony-2-flower-only.png"
version = 2
parent  = 1
width   = "8 cm"
note    = "cropped: flower without the stem, tried on the skin and set aside"

[[stencil]]
file    = "stencils/peony-3-inked-scan.png"
version = 3
parent  = 1
width   = "80 mm"
applied = true
note    = "inked over on paper and scanned"
$landmarks

[[photo]]
file  = "photos/peony-lines.jpg"
stage = "in-progress"
alt   = "Line work of the peony after the first sitting"

[[photo]]
file  = "photos/peony-healed-1.jpg"
stage = "healed"
alt   = "Open peony with leaves on an outer thigh, soft grey shading"
cover = true

[[photo]]
file  = "photos/peony-healed-2.jpg"
stage = "healed"
alt   = "The peony, a second shot"
publish = false

[[photo]]
file  = "photos/peony-healed-3.jpg"
stage = "healed"
alt   = "The peony, a third shot"
publish = false

[release]
status = "granted"
scope  = ["portfolio", "print"]
date   = 2024-06-22
file   = "release.pdf"
""",
    notes="""Second piece for her. Wants to add buds below some day; leave the stem open.

Three shots in a row, the first is the sharp one.
""",
    story="""Peonies last about a week on the table. This one is drawn on the day before the first petal falls,
when it is too heavy for its own stem.
""",
    stencils=(
        StencilFile("peony-1.png"),
        StencilFile("peony-2-flower-only.png", bottom=0.68),
        StencilFile("peony-3-inked-scan.png", scanned=True),
    ),
    photos=(
        PhotoFile(
            "peony-lines.jpg",
            Scene("thigh", "light", "fresh", "olive", 101, tilt=6, cloth="grey"),
            at("2024-06-22 17:40"),
            SMALL,
            "line",
        ),
        *(
            PhotoFile(
                f"peony-healed-{k + 1}.jpg",
                Scene("thigh", "light", "healed", "olive", 10, tilt=8, cloth="grey"),
                at(f"2024-09-07 12:31:0{2 * k}"),
                shot=k,
            )
            for k in range(3)
        ),
    ),
    references=(ReferenceFile("peony-plate.jpg", "plate", seed=10),),
    letters=(release_letter("C-0003", "portfolio, print", "22 June 2024"),),
    landmarks=("peony-3-inked-scan.png", "peony-lines.jpg", "peony-healed-1.jpg", "peony-plate.jpg"),
    facts=("several sittings", "burst of near-identical photos", "16-bit gray stencil scan", "cropped stencil version"),
)

LIGHTHOUSE = DemoPiece(
    id="2024-09-14-lighthouse",
    drawing=Drawing("lighthouse", 74, "whip"),
    record="""title    = "The light on the skerry"
publish  = true
styles   = ["black-and-grey", "engraving", "whip-shading"]
subjects = ["lighthouse", "sea"]
client   = "C-0008"

[size]
width  = "74 mm"
height = "92 mm"

[placement]
region = "upper-arm-outer"
side   = "right"
girth  = "33 cm"
note   = "tower plumb when the arm hangs"

[[sitting]]
date  = 2024-09-14
hours = "4 h 20 min"
note  = "circle by compass on the skin, then freehand water"

[[needle]]
code  = "9RL bugpin"
use   = "tower and circle"
batch = "N-72010"
sterilisation = "EO-4471"
expiry = 2027-03-31

[[needle]]
code  = "3RL/7RL"
use   = "rocks, gulls"
batch = "N-72016"

[[needle]]
code  = "7RS LT"
use   = "whipped sky"
batch = "N-72044"

[[ink]]
batch = "BK-1042"

[[ink]]
batch = "GW1-2231"
use   = "rocks"

[[reference]]
file       = "references/skerry-light.jpg"
source     = "https://example.org/falkensted/skerry-light"
creator    = "Runa Falkensted"
license    = "permission"
permission = "references/permission-skerry-light.pdf"
allows     = ["tattoo", "show-tattoo"]
obtained   = 2024-08-30
likeness   = "none"

[[stencil]]
file    = "stencils/lighthouse-1.png"
version = 1
width   = "74 mm"
from    = ["references/skerry-light.jpg"]

[[stencil]]
file    = "stencils/lighthouse-2-thick.png"
version = 2
parent  = 1
width   = "7.4 cm"
applied = true
note    = "heavier: his skin takes a bold line better"
$landmarks

[[photo]]
file  = "photos/lighthouse-fresh.jpg"
stage = "fresh"
alt   = "Lighthouse on rocks in a circle of sky, on an outer upper arm"
cover = true

[[photo]]
file  = "photos/lighthouse-fresh-4x5.jpg"
stage = "fresh"
alt   = "The lighthouse, closer"
publish = false

[release]
status = "granted"
scope  = ["portfolio"]
date   = 2024-09-14
file   = "release.pdf"
""",
    notes="""Moved away for work two weeks after. Ask for a healed photo when he is back.

Runa answered the same day and wants to see it when it has healed. Write to her.
""",
    story="""He kept the light for one winter as a student, alone with a radio and the weather. The photograph is
by Runa Falkensted, who let us work from it.
""",
    stencils=(StencilFile("lighthouse-1.png"), StencilFile("lighthouse-2-thick.png", 1.35)),
    photos=(
        PhotoFile(
            "lighthouse-fresh.jpg",
            Scene("upper-arm", "tan", "fresh", "slate", 8, tilt=-7, key=RIGHT, cloth="black"),
            at("2024-09-14 18:12"),
            FULL,
        ),
        PhotoFile(
            "lighthouse-fresh-4x5.jpg",
            Scene("upper-arm", "tan", "fresh", "slate", 8, tilt=-7, key=RIGHT, cloth="black"),
            at("2024-09-14 18:12"),
            SMALL,
            edit="crop",
        ),
    ),
    references=(
        ReferenceFile(
            "skerry-light.jpg",
            "photo",
            Rights(
                creator="Runa Falkensted",
                notice="© 2023 Runa Falkensted. All rights reserved.",
                credit="Runa Falkensted",
                statement_url="https://example.org/falkensted/rights",
                usage="Use only with written permission.",
                instructions="Write to runa@example.org before any use.",
            ),
            seed=8,
        ),
    ),
    letters=(
        release_letter("C-0008", "portfolio", "14 September 2024"),
        Letter(
            "references/permission-skerry-light.pdf",
            "Permission: Skerry Light",
            (
                "30 August 2024",
                "To Tove Ostermarr. You may draw one tattoo from my photograph Skerry Light, for one "
                "client, and show photos of "
                "the finished tattoo in your portfolio and in print, with the line: after a photograph by "
                "Runa Falkensted.",
                "You may not show or pass on the photograph itself. The permission has no end.",
                "Runa Falkensted (invented for this demo)",
            ),
        ),
    ),
    landmarks=("lighthouse-2-thick.png", "lighthouse-fresh.jpg", "skerry-light.jpg"),
    facts=(
        "permission with letter",
        "embedded IPTC IIM and XMP rights",
        "thicker stencil version",
        "landmarks",
        "no healed photo, long past the window",
    ),
)

LAVENDER = DemoPiece(
    id="2024-11-02-lavender",
    drawing=Drawing("lavender", 34, "line", fine=True),
    record="""title    = "Lavender, tied"
publish  = true
styles   = ["fine-line", "botanical"]
subjects = ["lavender", "plant"]
client   = "C-0010"

[size]
width  = "34 mm"
height = "72 mm"

[placement]
region = "forearm-inner"
side   = "right"
girth  = "272 mm"

[[sitting]]
date  = 2024-11-02
hours = 1.75

[[healing]]
date = 2024-12-14
note = "one floret fell out at the top, corrected"
touch_up = true

[[sitting]]
date  = 2024-12-14
hours = "0:20"
kind  = "touch-up"

[[needle]]
code = "single needle"
use  = "florets"

[[needle]]
code  = "1203RLST"
use   = "stems, ribbon"
batch = "N-72101"

[[ink]]
batch = "BK-1042"

[[reference]]
file     = "references/lavender-pot.jpg"
creator  = "Tove Ostermarr"
source   = "own photo, studio windowsill"
license  = "own-work"
obtained = 2024-07-19
likeness = "none"

[[stencil]]
file    = "stencils/lavender-1.png"
version = 1
width   = "34 mm"
applied = true

[[photo]]
file  = "photos/lavender-fresh.jpg"
stage = "fresh"
alt   = "A small tied bunch of lavender in fine lines on an inner forearm"

[[photo]]
file  = "photos/lavender-healed.jpg"
stage = "healed"
alt   = "The lavender after the touch-up has healed"
cover = true

[release]
status = "granted"
scope  = ["portfolio", "print"]
date   = 2024-11-02
""",
    notes="""Faints easily: lie down, something sweet first. Release signed on paper, in the folder by the door;
scan it.
""",
    story="""Her aunt dried it in the attic, and the whole house smelled of it until Easter.
""",
    stencils=(StencilFile("lavender-1.png"),),
    photos=(
        PhotoFile(
            "lavender-fresh.jpg",
            Scene("forearm", "olive", "fresh", "linen", 33, tilt=9, fill=0.5, key=RIGHT),
            at("2024-11-02 13:10"),
            SMALL,
        ),
        PhotoFile(
            "lavender-healed.jpg",
            Scene("forearm", "olive", "healed", "slate", 34, tilt=-7, fill=0.52),
            at("2025-02-01 12:00"),
        ),
    ),
    references=(ReferenceFile("lavender-pot.jpg", "photo", seed=34),),
    facts=("touch-up wanted and done",),
)

WALK_IN = DemoPiece(
    id="2024-12-07-walk-in-fern",
    drawing=Drawing("sprig", 24, "line", flip=True),
    record='title = "Walk-in fern"\n',
    photos=(
        PhotoFile(
            "walk-in-fern.jpg",
            Scene("wrist", "brown", "fresh", "charcoal", 44, tilt=12, fill=0.44),
            at("2024-12-07 17:25"),
            SMALL,
        ),
    ),
    facts=("a record of one line with one photo",),
)

PIECES = (FERN, BOAT, PEONY, LIGHTHOUSE, LAVENDER, WALK_IN)
