"""A sleeve of one client over four sittings: one arm, drawn as a whole and printed in parts."""

from tests.demo.limb import Scene
from tests.demo.piece import MIDDLE, DemoPiece, Drawing, PhotoFile, StencilFile, at, release_letter

RIGHT = (0.60, -0.42, 0.66)

SLEEVE = DemoPiece(
    id="2026-03-07-garden-sleeve",
    drawing=Drawing("peony", 100, "wash", seed=52, turn=-24, bend=9, at=(4, 0)),
    more=(
        Drawing("mandala", 80, seed=4, at=(14, 184)),
        Drawing("koi", 78, seed=31, flip=True, turn=16, bend=-17, at=(21, 290)),
        Drawing("sprig", 34, turn=-24, at=(-2, 118)),
        Drawing("sprig", 36, flip=True, turn=22, at=(67, 118)),
        Drawing("sprig", 33, seed=8, turn=170, at=(0, 262)),
        Drawing("sprig", 30, flip=True, turn=152, at=(75, 264)),
    ),
    record="""title    = "Garden sleeve"
publish  = true
finished = 2026-08-15
styles   = ["black-and-grey", "botanical", "ornamental"]
subjects = ["peony", "koi", "fern", "ornament"]
client   = "C-0024"

[size]
width  = "107 mm"
height = "405 mm"

[placement]
region = "full-sleeve"
side   = "left"
girth  = "286 mm"
note   = "girth at the elbow, arm hanging; ornament centred on the point of the elbow"

[[sitting]]
date  = 2026-03-07
hours = "5h"
note  = "peony, lines and shade"

[[sitting]]
date  = 2026-04-25
hours = 3.75
note  = "elbow; slow, two breaks"

[[sitting]]
date  = 2026-06-20
hours = "5 h 15 min"
note  = "koi, scale by scale"

[[sitting]]
date  = 2026-08-15
hours = "2:45"
note  = "ferns into the gaps, edges softened"

[[healing]]
date = 2026-10-10
note = "all four settled evenly; the elbow a shade lighter, as elbows are"

[[needle]]
code   = "7RL"
use    = "outlines"
batch  = "N-88602"
expiry = 2029-02-28

[[needle]]
code  = "10s 3RL"
use   = "scales, veins"
batch = "N-88213"

[[needle]]
code  = "13CM"
use   = "shade"
batch = "N-72271"

[[ink]]
batch = "BK-1177"
use   = "lines of the first sitting"

[[ink]]
batch = "BK-1301"
use   = "lines from April on, ferns"

[[ink]]
batch = "GW1-2498"
use   = "petals"

[[ink]]
batch = "GW2-2610"
use   = "koi"

[[stencil]]
file    = "stencils/sleeve-1-whole.png"
version = 1
width   = "107 mm"
applied = true
note    = "the whole arm on one plan; put on in parts, one for each sitting"
$landmarks

[[stencil]]
file    = "stencils/sleeve-2-peony.png"
version = 2
parent  = 1
width   = "100 mm"
note    = "first sitting"

[[stencil]]
file    = "stencils/sleeve-3-elbow.png"
version = 3
parent  = 1
width   = "80 mm"
note    = "second sitting, put on with the arm bent at a right angle"

[[stencil]]
file    = "stencils/sleeve-4-koi.png"
version = 4
parent  = 1
width   = "78 mm"
note    = "third sitting"

[[photo]]
file  = "photos/sleeve-first-sitting.jpg"
stage = "in-progress"
alt   = "A peony on an upper arm, the first part of a sleeve"

[[photo]]
file  = "photos/sleeve-second-sitting.jpg"
stage = "in-progress"
alt   = "A round ornament on the elbow below the peony"

[[photo]]
file  = "photos/sleeve-third-sitting.jpg"
stage = "in-progress"
alt   = "A koi on the forearm below the ornament"

[[photo]]
file  = "photos/sleeve-fresh.jpg"
stage = "fresh"
alt   = "A sleeve of peony, ornament, koi and ferns, just finished"

[[photo]]
file  = "photos/sleeve-healed.jpg"
stage = "healed"
alt   = "The whole sleeve, healed: peony above, ornament on the elbow, koi on the forearm, ferns between"
cover = true

[release]
status = "granted"
scope  = ["portfolio", "print"]
date   = 2026-03-07
file   = "release.pdf"
""",
    notes="""Four sittings, six to eight weeks apart, so that each part had healed before the next one met it.

Plan first: the whole arm traced on film, drawn at size, cut into parts. The ferns were kept for last, they
close what the bends leave open.
""",
    story="""A garden with a pond, from the shoulder down: what his grandmother grew above the water, and what lived
in it. It took five months, because skin needs its time.
""",
    stencils=(
        StencilFile("sleeve-1-whole.png"),
        StencilFile("sleeve-2-peony.png", part=0),
        StencilFile("sleeve-3-elbow.png", part=1),
        StencilFile("sleeve-4-koi.png", part=2),
    ),
    photos=(
        PhotoFile(
            "sleeve-first-sitting.jpg",
            Scene("arm", "light", "fresh", "slate", 301, tilt=-4, fill=2.2, shift=(0, -138)),
            at("2026-03-07 17:50"),
            MIDDLE,
            parts=1,
        ),
        PhotoFile(
            "sleeve-second-sitting.jpg",
            Scene("arm", "light", "fresh", "charcoal", 302, tilt=5, fill=2.2, shift=(0, 2), key=RIGHT),
            at("2026-04-25 16:20"),
            MIDDLE,
            parts=2,
        ),
        PhotoFile(
            "sleeve-third-sitting.jpg",
            Scene("arm", "light", "fresh", "linen", 303, tilt=-5, fill=2.2, shift=(0, 118)),
            at("2026-06-20 18:05"),
            MIDDLE,
            parts=3,
        ),
        PhotoFile(
            "sleeve-fresh.jpg",
            Scene("arm", "light", "fresh", "charcoal", 304, tilt=2, fill=0.86),
            at("2026-08-15 15:30"),
        ),
        PhotoFile(
            "sleeve-healed.jpg",
            Scene("arm", "light", "healed", "slate", 305, tilt=-3, fill=0.86, key=RIGHT),
            at("2026-10-10 11:15"),
        ),
    ),
    letters=(release_letter("C-0024", "portfolio, print", "7 March 2026"),),
    landmarks=("sleeve-1-whole.png", "sleeve-fresh.jpg", "sleeve-healed.jpg"),
    facts=("a sleeve of one client over four sittings", "a stencil larger than a sheet", "parts with one parent"),
)
