"""The demo pieces of 2025."""

from typing import Any

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

RIGHT, LOW = (0.60, -0.42, 0.66), (-0.80, -0.15, 0.55)
WIDE: dict[str, Any] = {"fill": 0.64, "portrait": False, "exposure": 1.26}
# The open ocean: nobody's address.
AT_SEA, FURTHER_OUT = (36.8210, -41.2704), (44.1093, -32.6418)
MOON_RIGHTS = Rights(
    creator="Ilmo Vantaranta",
    notice="© 2022 Ilmo Vantaranta",
    credit="Ilmo Vantaranta",
    statement_url="https://creativecommons.org/licenses/by/4.0/",
    usage="CC BY 4.0",
)

OWL = DemoPiece(
    id="2025-02-08-barn-owl",
    drawing=Drawing("owl", 58, "whip"),
    record="""title    = "Barn owl"
publish  = true
finished = 2025-02-22
styles   = ["black-and-grey", "whip-shading"]
subjects = ["owl", "bird"]
client   = "C-0012"

[size]
width  = "58 mm"
height = "92 mm"

[placement]
region = "forearm-outer"
side   = "left"
girth  = "284 mm"
note   = "branch square to the arm, tail towards the wrist"

[[sitting]]
date  = 2025-02-08
hours = 3.5
note  = "lines and face"

[[sitting]]
date  = 2025-02-22
hours = "2h45"
note  = "feathers whipped, skin slow to take, rested ten minutes"

[[healing]]
date     = 2025-04-05
note     = "settled well, two whiskers light on the left cheek"
touch_up = true

[[sitting]]
date  = 2025-04-26
hours = "30 min"
kind  = "touch-up"

[[healing]]
date = 2025-06-07
note = "done, nothing more to do"

[[needle]]
code   = "1003RL"
use    = "whiskers, eye"
batch  = "N-88213"
expiry = 2028-05-31

[[needle]]
code   = "12-09RL"
use    = "outline"
batch  = "N-72188"
expiry = 2027-06-30

[[needle]]
code  = "#10 9 round liner"
use   = "whip shading"
batch = "N-88213"

[[ink]]
batch = "BK-1042"
use   = "lines, eyes"

[[ink]]
batch = "GW1-2498"
use   = "wing"

[[ink]]
batch = "GW2-2498"
use   = "breast"

[[ink]]
batch = "WH-0310"
use   = "light in the eyes"

[[reference]]
file       = "references/owl-on-a-branch.jpg"
source     = "https://example.org/fieldpictures/owl-207"
creator    = "Marit Oskelund"
license    = "CC-BY-4.0"
rights_url = "https://creativecommons.org/licenses/by/4.0/"
obtained   = 2025-01-11
likeness   = "none"

[[stencil]]
file    = "stencils/owl-1.png"
version = 1
width   = "58 mm"
from    = ["references/owl-on-a-branch.jpg"]

[[stencil]]
file    = "stencils/owl-2-thin.png"
version = 2
parent  = 1
width   = "5.8 cm"
note    = "finer lines round the eye"

[[stencil]]
file     = "stencils/owl-3-mirrored.png"
version  = 3
parent   = 1
width    = "58 mm"
mirrored = true
applied  = true
note     = "saved mirrored for the ink-jet, do not mirror again"
$landmarks

[[photo]]
file  = "photos/owl-fresh-1.jpg"
stage = "fresh"
alt   = "Barn owl on an outer forearm, just finished"

[[photo]]
file  = "photos/owl-fresh-2.jpg"
stage = "fresh"
alt   = "The barn owl, another frame of the same moment"
publish = false

[[photo]]
file  = "photos/owl-fresh-3.jpg"
stage = "fresh"
alt   = "The barn owl, a third frame"
publish = false

[[photo]]
file  = "photos/owl-fresh-bw.jpg"
stage = "fresh"
alt   = "The barn owl in black and white"
publish = false

[[photo]]
file  = "photos/owl-healed.heic"
stage = "healed"
taken = 2025-06-07
alt   = "Barn owl on an outer forearm, healed, facing the camera"
cover = true

[release]
status = "granted"
scope  = ["portfolio", "print"]
date   = 2025-02-08
file   = "release.pdf"

[values]
reference = "references/owl-on-a-branch.jpg"
zones = 5
cuts = [37.5, 56.0, 70.5, 84.5]
needle = "#10 9 round liner"
areas = 40
start = "bottom"
note = "light in the eyes last, fresh 3RL"
""",
    notes="""**Left cheek**: two whiskers did not hold. Touched up 26 April, no charge.

- sits very still, talks about bees
- wants a fish on the calf next (see the koi)
""",
    story="""It has lived in the barn behind her house for three summers, and it looks at everybody like this.

The breast is left almost bare. Feathers are only suggested there, so the face can stay the loudest
part for as long as the skin lasts.
""",
    stencils=(
        StencilFile("owl-1.png"),
        StencilFile("owl-2-thin.png", 0.72),
        StencilFile("owl-3-mirrored.png", mirrored=True),
    ),
    photos=(
        *(
            PhotoFile(
                f"owl-fresh-{k + 1}.jpg",
                Scene("forearm", "light", "fresh", "charcoal", 3, cloth="black"),
                at(f"2025-02-22 17:0{4 + k}"),
                FULL if k == 0 else SMALL,
                shot=k,
            )
            for k in range(3)
        ),
        PhotoFile(
            "owl-fresh-bw.jpg",
            Scene("forearm", "light", "fresh", "charcoal", 3, cloth="black"),
            at("2025-02-22 17:04"),
            SMALL,
            edit="bw",
        ),
        PhotoFile(
            "owl-healed.heic",
            Scene("forearm", "light", "healed", "stone", 31, tilt=-9, key=RIGHT),
            at("2025-06-07 14:18"),
            FULL,
            position=AT_SEA,
        ),
    ),
    references=(
        ReferenceFile(
            "owl-on-a-branch.jpg",
            "photo",
            Rights(
                creator="Marit Oskelund",
                notice="© 2021 Marit Oskelund",
                credit="Marit Oskelund",
                statement_url="https://creativecommons.org/licenses/by/4.0/",
                usage="CC BY 4.0",
            ),
            seed=3,
        ),
    ),
    letters=(release_letter("C-0012", "portfolio, print", "8 February 2025"),),
    landmarks=("owl-3-mirrored.png", "owl-fresh-1.jpg", "owl-healed.heic", "owl-on-a-branch.jpg"),
    facts=(
        "HEIC with a Display P3 profile and a position at sea",
        "stencil stored mirrored",
        "CC-BY reference with matching embedded rights",
        "burst",
        "black-and-white copy",
        "touch-up",
        "recalled batch",
        "landmarks",
    ),
)

MOTH = DemoPiece(
    id="2025-04-19-luna-moth",
    drawing=Drawing("moth", 95, "dots"),
    record="""title    = "Luna moth"
publish  = true
styles   = ["dotwork", "black-and-grey"]
subjects = ["moth", "insect"]
client   = "C-0007"

[size]
width  = "95 mm"
height = "84 mm"

[placement]
region = "upper-back"
side   = "centre"
note   = "body on the spine, level with the shoulder blades"

[[sitting]]
date  = 2025-04-19
hours = "4:15"
note  = "all dots, no shader"

[[healing]]
date = 2025-06-14
note = "even on both wings"

[[needle]]
code  = "5RL"
use   = "wing edges"
batch = "N-72188"

[[needle]]
code  = "0803RL"
use   = "dots"
batch = "N-72203"
expiry = 2027-08-31

[[ink]]
batch = "BK-1177"

[[reference]]
file       = "references/moth-plate.jpg"
source     = "https://example.org/plates/moths-4"
creator    = "unsigned plate, about 1870"
license    = "CC-PDM-1.0"
rights_url = "https://creativecommons.org/publicdomain/mark/1.0/"
obtained   = 2025-03-29
likeness   = "none"

[[stencil]]
file    = "stencils/moth-1.png"
version = 1
width   = "95 mm"
from    = ["references/moth-plate.jpg"]

[[stencil]]
file    = "stencils/moth-2-clear.png"
version = 2
parent  = 1
width   = "95 mm"
applied = true
note    = "no paper, to lay over a photo of her back"

[[photo]]
file  = "photos/moth-fresh.jpg"
stage = "fresh"
alt   = "Luna moth in dotwork between the shoulder blades"

[[photo]]
file  = "photos/moth-healed.jpg"
stage = "healed"
alt   = "Healed luna moth, wings open, on an upper back"
cover = true

[release]
status = "granted"
scope  = ["portfolio", "print"]
date   = 2025-04-19
file   = "release.pdf"
""",
    notes="""Deep skin: leave the gaps between dots wider than feels right. It reads perfectly from two metres.

Centre line drawn standing, both arms down.
""",
    story="""Luna moths have no mouth. They live for a week and spend it looking for each other. She thought that
was reason enough.
""",
    stencils=(StencilFile("moth-1.png"), StencilFile("moth-2-clear.png", clear=True)),
    photos=(
        PhotoFile("moth-fresh.jpg", Scene("back", "deep", "fresh", "black", 5, **WIDE), at("2025-04-19 18:40")),
        PhotoFile(
            "moth-healed.jpg",
            Scene("back", "deep", "healed", "black", 15, tilt=-2, key=RIGHT, **WIDE),
            at("2025-06-14 10:48"),
            FULL,
        ),
    ),
    references=(ReferenceFile("moth-plate.jpg", "plate", seed=5),),
    letters=(release_letter("C-0007", "portfolio, print", "19 April 2025"),),
    facts=("transparent PNG stencil", "public-domain reference", "landscape photos"),
)


def _moon(code: str, other: str, reference: str, release: str, tail: str) -> str:
    """Write the record that two friends share but for a few lines."""
    return f'''title    = "One moon, two wrists ({tail})"
publish  = true
styles   = ["fine-line", "ornamental"]
subjects = ["moon", "stars"]
client   = "{code}"

[size]
width  = "36 mm"
height = "43.5 mm"

[placement]
region = "wrist-inner"
side   = "{"left" if tail == "first" else "right"}"
{'girth  = "172 mm"' if tail == "first" else 'note   = "girth not taken"'}

[[sitting]]
date  = 2025-06-14
hours = {"1.25" if tail == "first" else '"1 h 10 min"'}
note  = "{other} in the next chair"

[[healing]]
date = 2025-08-02
note = "healed"

[[needle]]
code   = "3RL"
batch  = "N-72203"
expiry = 2027-08-31

[[ink]]
batch = "BK-1042"
use   = "everything"
{reference}
[[stencil]]
file    = "stencils/moon-small.png"
version = 1
width   = "36 mm"
applied = true
note    = "the same print for both, cut in two"

[[photo]]
file  = "photos/moon-{tail}-fresh.jpg"
stage = "fresh"
alt   = "Crescent moon with clouds and hanging stars on an inner wrist, just finished"

[[photo]]
file  = "photos/moon-{tail}-healed.jpg"
stage = "healed"
alt   = "The same small moon, healed"
cover = true

{release}'''


FIRST_MOON = DemoPiece(
    id="2025-06-14-moon-first-wrist",
    drawing=Drawing("moon", 36, "line", fine=True),
    record=_moon(
        "C-0009",
        "C-0014",
        """
[[reference]]
file       = "references/moon.jpg"
source     = "https://example.org/vantaranta/moon"
creator    = "Ilmo Vantaranta"
license    = "CC-BY-4.0"
rights_url = "https://creativecommons.org/licenses/by/4.0/"
obtained   = 2025-06-02
likeness   = "none"
""",
        """[release]
status = "granted"
scope  = ["portfolio"]
date   = 2025-06-14
file   = "release.pdf"
""",
        "first",
    ),
    notes="Friends since school. Same stencil, same afternoon. Only C-0009 still wants to be shown.\n",
    story="""Two friends, one stencil, one afternoon. The other half of it is on somebody else's wrist.

Moon after a photograph by Ilmo Vantaranta (CC BY 4.0), redrawn and changed.
""",
    stencils=(StencilFile("moon-small.png"),),
    photos=(
        PhotoFile(
            "moon-first-fresh.jpg",
            Scene("wrist", "tan", "fresh", "linen", 22, tilt=10, fill=0.40, cloth="navy"),
            at("2025-06-14 13:05"),
            SMALL,
        ),
        PhotoFile(
            "moon-first-healed.jpg",
            Scene("wrist", "tan", "healed", "stone", 222, tilt=6, fill=0.42, key=RIGHT),
            at("2025-08-02 12:20"),
        ),
    ),
    references=(ReferenceFile("moon.jpg", "photo", MOON_RIGHTS, seed=22),),
    letters=(release_letter("C-0009", "portfolio", "14 June 2025"),),
    facts=("a reference used by two pieces", "the same stencil in two pieces", "ink used after its expiry"),
)

SECOND_MOON = DemoPiece(
    id="2025-06-14-moon-second-wrist",
    drawing=Drawing("moon", 36, "line", fine=True),
    record=_moon(
        "C-0014",
        "C-0009",
        "",
        """[release]
status = "withdrawn"
scope  = ["portfolio"]
date   = 2025-11-20
file   = "release.pdf"
note   = "wrote on 20 November, taken down the same evening"
""",
        "second",
    ),
    notes="Asked to have the photos taken down (20 November). No reason needed.\n",
    story="The other half of one stencil.\n",
    stencils=(StencilFile("moon-small.png"),),
    photos=(
        PhotoFile(
            "moon-second-fresh.jpg",
            Scene("wrist", "porcelain", "fresh", "linen", 24, tilt=-9, fill=0.40, cloth="grey"),
            at("2025-06-14 14:30"),
            SMALL,
        ),
        PhotoFile(
            "moon-second-healed.jpg",
            Scene("wrist", "porcelain", "healed", "slate", 224, tilt=-5, fill=0.42, key=RIGHT),
            at("2025-08-02 12:45"),
            SMALL,
        ),
    ),
    letters=(release_letter("C-0014", "portfolio", "14 June 2025", "Taken back by e-mail on 20 November 2025."),),
    facts=("release withdrawn", "the same stencil in two pieces", "girth left out", "no reference recorded"),
)

KOI = DemoPiece(
    id="2025-08-30-koi",
    drawing=Drawing("koi", 65, "wash"),
    record="""title    = "昇り鯉"
publish  = true
finished = 2025-09-20
styles   = ["black-and-grey", "illustrative"]
subjects = ["koi", "fish", "water"]
client   = "C-0012"

[size]
width  = "6.5 cm"
height = "11.2 cm"

[placement]
region = "calf"
side   = "right"
girth  = "398 mm"
note   = "swims up when she stands"

[[sitting]]
date  = 2025-08-30
hours = "2 h 50 min"
note  = "lines"

[[sitting]]
date  = 2025-09-20
hours = "3h30"
note  = "washes, scale by scale"

[[healing]]
date = 2025-11-08
note = "soft, exactly as hoped"

[[needle]]
code  = "7RL"
use   = "outline"
batch = "N-72260"

[[needle]]
code  = "10s 3RL"
use   = "scales"
batch = "N-88213"

[[needle]]
code  = "7RM"
use   = "washes"
batch = "N-72271"

[[ink]]
batch = "BK-1177"
use   = "lines"

[[ink]]
batch = "GW1-2498"
use   = "back"

[[ink]]
batch = "GW2-2498"
use   = "flanks"

[[ink]]
batch = "GW3-2498"
use   = "fins"

[[reference]]
file       = "references/koi-pond.jpg"
source     = "https://example.org/pondlife/31"
creator    = "Benno Hastrup"
license    = "CC-BY-NC-4.0"
rights_url = "https://creativecommons.org/licenses/by-nc/4.0/"
obtained   = 2025-08-09
likeness   = "none"

[[stencil]]
file    = "stencils/koi-1.png"
version = 1
width   = "65 mm"
applied = true
from    = ["references/koi-pond.jpg"]
$landmarks

[[photo]]
file  = "photos/koi-lines.jpg"
stage = "in-progress"
alt   = "Line work of the koi, first sitting"

[[photo]]
file  = "photos/koi-fresh.jpg"
stage = "fresh"
alt   = "Koi climbing up a calf, freshly shaded"

[[photo]]
file  = "photos/koi-healed.jpg"
stage = "healed"
alt   = "Koi climbing up a calf, healed to soft greys"
cover = true

[[photo]]
file  = "photos/koi-fresh-post.jpg"
stage = "fresh"
alt   = "The koi, graded for posting"
publish = false

[release]
status = "granted"
scope  = ["portfolio", "print"]
date   = 2025-08-30
file   = "release.pdf"

[rights_override]
reason = "drawn from three pond visits; of the photo only the number of scales in a row was checked"
date   = 2025-08-28
""",
    notes="""The owl's owner. Reads kanji, chose the title herself: *nobori-goi*, the carp that climbs.

Photo licence is non-commercial, so I went and drew at the pond instead. Sketchbook 11, pages 40 to
52.
""",
    story="""The carp that swims up the waterfall becomes a dragon. This one has decided to stay a fish and keep
climbing.

Drawn over three mornings at a pond; the water is left out because the leg moves enough.
""",
    stencils=(StencilFile("koi-1.png"),),
    photos=(
        PhotoFile(
            "koi-lines.jpg",
            Scene("calf", "olive", "fresh", "charcoal", 90, tilt=-4, key=LOW),
            at("2025-08-30 16:15"),
            SMALL,
            "line",
        ),
        PhotoFile(
            "koi-fresh.jpg",
            Scene("calf", "olive", "fresh", "charcoal", 9, tilt=-8, key=LOW),
            at("2025-09-20 17:55"),
            FULL,
            turned=True,
        ),
        PhotoFile(
            "koi-healed.jpg", Scene("calf", "olive", "healed", "stone", 92, tilt=2), at("2025-11-08 11:02"), FULL
        ),
        PhotoFile(
            "koi-fresh-post.jpg",
            Scene("calf", "olive", "fresh", "charcoal", 9, tilt=-8, key=LOW),
            at("2025-09-20 17:55"),
            SMALL,
            edit="graded",
        ),
    ),
    references=(
        ReferenceFile(
            "koi-pond.jpg",
            "photo",
            Rights(
                creator="Benno Hastrup",
                notice="© 2020 Benno Hastrup",
                credit="Benno Hastrup",
                statement_url="https://creativecommons.org/licenses/by-nc/4.0/",
                usage="CC BY-NC 4.0",
            ),
            seed=9,
        ),
    ),
    letters=(release_letter("C-0012", "portfolio, print", "30 August 2025"),),
    landmarks=("koi-1.png", "koi-lines.jpg", "koi-fresh.jpg", "koi-healed.jpg", "koi-pond.jpg"),
    facts=(
        "title in another script",
        "CC-BY-NC reference with a rights_override",
        "JPEG stored on its side with camera serial and thumbnail",
        "several sittings",
        "recalled batch",
    ),
)

ORNAMENT = DemoPiece(
    id="2025-10-25-round-ornament",
    drawing=Drawing("mandala", 78, "dots"),
    record="""title    = "Round ornament in twelve"
publish  = true
styles   = ["ornamental", "dotwork", "geometric"]
subjects = ["ornament"]
client   = "C-0016"

[size]
width  = "78 mm"
height = "78 mm"

[placement]
region = "upper-arm-outer"
side   = "left"
girth  = "13 in"

[[sitting]]
date  = 2025-10-25
hours = 5
note  = "compass on skin first, stencil after; arm relaxed, never flexed"

[[healing]]
date = 2025-12-20
note = "circle still a circle"

[[needle]]
code  = "9RL"
use   = "rings"
batch = "N-72260"

[[needle]]
code  = "0.30mm 3 RL"
use   = "dots"
batch = "N-88213"

[[ink]]
batch = "BK-1177"

[[ink]]
batch = "GW2-2498"
use   = "petals"

[[reference]]
source   = "own construction, compass and ruler"
creator  = "Tove Ostermarr"
license  = "own-work"
obtained = 2025-10-03
likeness = "none"

[[stencil]]
file    = "stencils/ornament-1-clear.png"
version = 1
width   = "78 mm"
applied = true

[[photo]]
file  = "photos/ornament-fresh.jpg"
stage = "fresh"
alt   = "Round ornament of twelve petals on an outer upper arm, just finished"

[[photo]]
file  = "photos/ornament-healed.jpg"
stage = "healed"
alt   = "The round ornament, healed"
cover = true

[release]
status = "granted"
scope  = ["portfolio", "print"]
date   = 2025-10-25
file   = "release.pdf"
""",
    notes="""Measured with the arm hanging: 330 mm round. Twelve petals of 6.5 mm at the rim, so the pitch came
out whole.
""",
    story="""Twelve of everything. Construction lines took a morning, and none of them are left.
""",
    stencils=(StencilFile("ornament-1-clear.png", clear=True),),
    photos=(
        PhotoFile(
            "ornament-fresh.jpg",
            Scene("upper-arm", "olive", "fresh", "black", 17, tilt=7, key=LOW, cloth="navy", fill=0.52),
            at("2025-10-25 18:20"),
        ),
        PhotoFile(
            "ornament-healed.jpg",
            Scene("upper-arm", "olive", "healed", "slate", 71, tilt=-3, cloth="cream", fill=0.52),
            at("2025-12-20 13:14"),
            FULL,
            edit="square",
        ),
    ),
    letters=(release_letter("C-0016", "portfolio, print", "25 October 2025"),),
    facts=("transparent PNG stencil", "own work without a file", "girth in inches", "recalled batch"),
)

SWALLOW = DemoPiece(
    id="2025-12-13-swallow",
    drawing=Drawing("swallow", 72, "whip"),
    record="""title    = "Swallow, going south"
publish  = true
styles   = ["whip-shading", "black-and-grey"]
subjects = ["swallow", "bird"]
client   = "C-0003"

[size]
width  = "72 mm"
height = "68 mm"

[placement]
region = "shoulder"
side   = "right"

[[sitting]]
date  = 2025-12-13
hours = "2:40"

[[healing]]
date = 2026-02-07
note = "wing tips crisp"

[[needle]]
code  = "5RL, 9RL + 7CM"
use   = "lines, wings, back"
batch = "N-72260"

[[ink]]
batch = "BK-1177"

[[ink]]
batch = "GW2-2498"
use   = "wings"

[[ink]]
batch = "GW3-2498"
use   = "belly"

[[reference]]
file       = "references/swallow-sky.jpg"
source     = "https://example.org/skywatch/518"
creator    = "Aune Tikkelä"
license    = "CC-BY-SA-4.0"
rights_url = "https://creativecommons.org/licenses/by-sa/4.0/"
obtained   = 2025-11-22
likeness   = "none"

[[stencil]]
file    = "stencils/swallow-1.png"
version = 1
width   = "72 mm"
from    = ["references/swallow-sky.jpg"]

[[stencil]]
file     = "stencils/swallow-2-other-way.png"
version  = 2
parent   = 1
width    = "72 mm"
applied  = false
note     = "turned to fly the other way; she preferred the first"

[[stencil]]
file    = "stencils/swallow-3.png"
version = 3
parent  = 1
width   = "7.2 cm"
applied = true
note    = "a little heavier"
$landmarks

[[photo]]
file  = "photos/swallow-fresh.jpg"
stage = "fresh"
alt   = "Swallow in flight on a shoulder, just finished"

[[photo]]
file  = "photos/swallow-healed.jpg"
stage = "healed"
alt   = "Swallow with swept wings on a shoulder, healed"
cover = true

[release]
status = "granted"
scope  = ["portfolio", "print"]
date   = 2025-12-13
file   = "release.pdf"
""",
    notes="Third piece. No girth at the shoulder, there is nothing to put a tape round.\n",
    story="""It flies towards the back, so she never sees it leave.

After a photograph by Aune Tikkelä (CC BY-SA 4.0), redrawn and changed.
""",
    stencils=(
        StencilFile("swallow-1.png"),
        StencilFile("swallow-2-other-way.png", mirrored=True),
        StencilFile("swallow-3.png", 1.2),
    ),
    photos=(
        PhotoFile(
            "swallow-fresh.jpg",
            Scene("shoulder", "porcelain", "fresh", "slate", 131, fill=0.5, tilt=-2, key=RIGHT),
            at("2025-12-13 15:12"),
            SMALL,
        ),
        PhotoFile(
            "swallow-healed.jpg",
            Scene("shoulder", "porcelain", "healed", "slate", 13, fill=0.66, tilt=-6, portrait=False),
            at("2026-02-07 12:09"),
        ),
    ),
    references=(
        ReferenceFile(
            "swallow-sky.jpg",
            "photo",
            Rights(
                creator="Aune Tikkelä",
                notice="© 2024 Aune Tikkelä",
                statement_url="https://creativecommons.org/licenses/by-sa/4.0/",
                usage="CC BY-SA 4.0",
            ),
            seed=13,
        ),
    ),
    letters=(release_letter("C-0003", "portfolio, print", "13 December 2025"),),
    landmarks=("swallow-3.png", "swallow-fresh.jpg", "swallow-healed.jpg", "swallow-sky.jpg"),
    facts=("CC-BY-SA reference", "a version turned the other way", "no girth where there is none", "recalled batch"),
)

PIECES = (OWL, MOTH, FIRST_MOON, SECOND_MOON, KOI, ORNAMENT, SWALLOW)
