"""Designs that wait to be tattooed: drawings put together from the motifs, and their records."""

from dataclasses import dataclass

from tests.demo.piece import Drawing


@dataclass(frozen=True)
class DemoDesign:
    """One folder of designs; `german` is its title and words in German."""

    id: str
    record: str
    parts: tuple[Drawing, ...]
    story: str
    german: str


DESIGNS = (
    DemoDesign(
        id="lavender-under-the-moon",
        record="""title   = "Lavender under the moon"
publish = true
state   = "free"
price   = 320
again   = false
styles  = ["fine-line", "botanical"]
note    = "leave out the two lowest drops below 90 mm"

[size]
width  = "46 mm"
height = "112 mm"

[[picture]]
file = "pictures/lavender-moon.png"
alt  = "Line drawing: a crescent moon in clouds, rain falling on a tied bunch of lavender"
""",
        parts=(
            Drawing("moon", 46, seed=11, turn=-8, fine=True, at=(8, 0)),
            Drawing("lavender", 30, seed=5, fine=True, at=(18, 50)),
        ),
        story="For a forearm or a shin. The rain may end wherever your skin does.\n",
        german="# Lavendel unter dem Mond\n\nFür Unterarm oder Schienbein. Der Regen endet, wo deine Haut endet.\n",
    ),
    DemoDesign(
        id="mushrooms-at-night",
        record="""title   = "Mushrooms at night"
publish = true
state   = "free"
price   = 320
again   = false
styles  = ["illustrative", "dotwork"]

[size]
width  = "62 mm"
height = "83 mm"

[[picture]]
file = "pictures/mushrooms-night.png"
alt  = "Line drawing: five mushrooms in grass, a small crescent moon above them"
""",
        parts=(
            Drawing("mushrooms", 52, seed=31, fine=True, at=(0, 14)),
            Drawing("moon", 22, seed=3, flip=True, fine=True, at=(40, 0)),
        ),
        story="Drawn after a walk without a lamp.\n",
        german="# Pilze bei Nacht\n\nNach einem Spaziergang ohne Lampe gezeichnet.\n",
    ),
    DemoDesign(
        id="two-ferns",
        record="""title   = "Two ferns"
publish = true
state   = "held"
price   = 180
again   = true
styles  = ["botanical"]
holder  = "C-0009"
until   = 2026-12-20
note    = "wants them on both ankles, comes back after the trip"

[size]
width  = "60 mm"
height = "43 mm"

[[picture]]
file = "pictures/two-ferns.png"
alt  = "Line drawing: two young ferns leaning away from each other"
""",
        parts=(
            Drawing("fern", 34, seed=41, turn=18, bend=2, at=(36, 0)),
            Drawing("fern", 34, seed=42, flip=True, turn=-18, bend=-2, at=(0, 0)),
        ),
        story="One for each side, or both together.\n",
        german="# Zwei Farne\n\nFür jede Seite einer, oder beide zusammen.\n",
    ),
    DemoDesign(
        id="swallow-with-a-sprig",
        record="""title   = "Swallow with a sprig"
publish = true
state   = "taken"
price   = 260
again   = false
styles  = ["illustrative"]

[size]
width  = "65 mm"
height = "60 mm"

[[picture]]
file = "pictures/swallow-sprig.png"
alt  = "Line drawing: a swallow with open wings above a small fern sprig"
""",
        parts=(
            Drawing("swallow", 62, seed=9, flip=True, turn=12, fine=True, at=(0, 0)),
            Drawing("sprig", 24, seed=4, turn=70, bend=3, at=(24, 52)),
        ),
        story="Carried home in March.\n",
        german="# Schwalbe mit Zweig\n\nIm März nach Hause getragen.\n",
    ),
)
