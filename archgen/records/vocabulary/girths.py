"""How far round people's limbs are on average: the stand-in when a client's girth was not measured.

Means and percentiles in mm, calculated from the public data files of ANSUR II: Gordon et al., "2012 Anthropometric
Survey of U.S. Army Personnel: Methods and Summary Statistics", NATICK/TR-15/007, 2014 (4,082 men, 1,986 women).
"""

from enum import Enum

from archgen.values.frozen import Value

# A child's finger and the widest waist there is: outside of it a girth was typed with the wrong unit.
LEAST_GIRTH_MM, MOST_GIRTH_MM = 30.0, 2000.0


def is_believable(girth_mm: float) -> bool:
    """Say whether anything on a body is so far round."""
    return LEAST_GIRTH_MM <= girth_mm <= MOST_GIRTH_MM


class GirthKind(Enum):
    """Which girth goes round a place."""

    WRIST = "wrist"
    HAND = "hand"
    FOREARM = "forearm"
    ARM = "arm"
    THIGH = "thigh"
    LOWER_THIGH = "lower-thigh"
    CALF = "calf"
    ANKLE = "ankle"
    NECK = "neck"
    HEAD = "head"
    CHEST = "chest"
    WAIST = "waist"
    BUTTOCK = "buttock"


class Spread(Value, frozen=True):
    """Mean, and the range nine in ten people fall into, in mm."""

    mean_mm: float
    p5_mm: float
    p95_mm: float


class PopulationGirth(Value, frozen=True):
    """The girth of the people measured, and what to beware of when using it for somebody else."""

    kind: GirthKind
    taken: str
    men: Spread
    women: Spread
    cautions: tuple[str, ...]

    @property
    def mean_mm(self) -> float:
        """Give the middle of the men's and the women's mean, for a client nothing is known about."""
        return (self.men.mean_mm + self.women.mean_mm) / 2


_SOLDIERS = "Average of serving soldiers (United States Army, 2012), not a measurement of this client."
_FLEXED = "Measured on a tensed arm; a relaxed one is thinner."
_TOP_OF_THIGH = "Measured at the top of the thigh; lower down it is thinner."
_WIDEST_FOREARM = "Measured where the forearm is widest; towards the wrist it is thinner."

_MEASURED = (
    (GirthKind.WRIST, "at the wrist", (176, 162, 191), (155, 142, 168), ()),
    (GirthKind.HAND, "round the knuckles", (212, 195, 230), (187, 173, 202), ()),
    (GirthKind.FOREARM, "forearm, flexed", (310, 275, 348), (264, 235, 296), (_FLEXED, _WIDEST_FOREARM)),
    (GirthKind.ARM, "upper arm, flexed biceps", (358, 303, 418), (306, 259, 360), (_FLEXED,)),
    (GirthKind.THIGH, "thigh, at the fold of the buttock", (625, 532, 723), (616, 527, 711), (_TOP_OF_THIGH,)),
    (GirthKind.LOWER_THIGH, "lower thigh, above the knee", (409, 359, 463), (401, 347, 465), ()),
    (GirthKind.CALF, "calf, widest", (392, 346, 443), (373, 328, 423), ()),
    (GirthKind.ANKLE, "ankle, narrowest", (229, 206, 254), (216, 193, 242), ()),
    (GirthKind.NECK, "neck", (398, 360, 443), (330, 302, 363), ()),
    (GirthKind.HEAD, "head", (574, 548, 601), (561, 532, 597), ()),
    (GirthKind.CHEST, "chest", (1059, 922, 1207), (947, 824, 1094), ()),
    (GirthKind.WAIST, "waist", (941, 768, 1131), (861, 710, 1040), ()),
    (GirthKind.BUTTOCK, "buttock", (1020, 899, 1149), (1021, 901, 1156), ()),
)
POPULATION_GIRTHS = {
    kind: PopulationGirth(kind, taken, Spread(*men), Spread(*women), (_SOLDIERS, *cautions))
    for kind, taken, men, women, cautions in _MEASURED
}
# Relaxed middle of the upper arm, adults of 18 and more: NHANES 2017 to March 2020 body measures (P_BMX),
# complete cases, unweighted; 4,081 men, 4,221 women.
RELAXED_UPPER_ARM = PopulationGirth(
    GirthKind.ARM,
    "middle of the upper arm, relaxed",
    Spread(343, 272, 427),
    Spread(327, 246, 429),
    ("Average of adults in the United States (2017 to 2020), not a measurement of this client.",),
)
