"""Thirteen records as artists write them late in the evening; people, pieces and codes are invented.

Of each: the folder, the text, what must be read of it, and which keys are asked about (each once). What is in neither
is not recorded.
"""

from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True)
class Sloppy:
    """One record: values by dotted key, the keys of questions, the width the stencil prints."""

    folder: str
    text: str
    width: float
    reads: dict[str, Any] = field(default_factory=dict)
    asked: tuple[str, ...] = ()
    as_written: dict[str, str] = field(default_factory=dict)


STENCIL = '[[stencil]]\nfile = "stencils/s.png"\n'
THIRTEEN = (
    Sloppy(
        "Barn Owl (left arm)",
        'title = "Barn owl"\n[placement]\nregion = "outer forearm"\nside = "L"\n' + STENCIL + 'width = "62 mm"\n',
        62,
        {"title": "Barn owl", "placement.side": "left", "placement.region": "forearm-outer"},
    ),
    Sloppy(
        "moth",
        'title = "Night moth"\n[size]\nwidth = "62"\nheight = 88\n' + STENCIL + "width = 62\n",
        62,
        {"size.width": 62, "size.height": 88},
        ("size.width", "size.height", "stencil.0.width"),
    ),
    Sloppy(
        "2026 fern",
        'title = "Fern"\nclient = "C-7"\n[[sitting]]\ndate = "07/03/2026"\nhours = "3h"\n' + STENCIL + 'width="8 cm"\n',
        80,
        {"client": "C-7", "sitting.0.hours": 3, "sitting.0.date": None},
        ("sitting.0.date",),
        {"sitting.0.date": '"07/03/2026"'},
    ),
    Sloppy(
        "snake",
        'title = "Snake"\n[[sitting]]\ndate = 14.3.2026\nhours = 3,5\n'
        '[[sitting]]\ndate = 2026-05-02\nkind = "touch up"\n' + STENCIL + "width = 62 mm\n",
        62,
        {"sitting.1.kind": "touch-up", "sitting.0.hours": 3.5, "sitting.0.date": "2026-03-14"},
    ),
    Sloppy(
        "lighthouse",
        'title = "Lighthouse"\nclient = "C-3"\n[release]\nstatus = "yes"\nscope = "website"\n'
        + STENCIL
        + 'width = "9cm"\n',
        90,
        {"client": "C-3", "release.status": "not-asked"},
        ("release.status",),
        {"release.status": '"yes"'},
    ),
    Sloppy(
        "swallow",
        'titel = "Swallow"\nclinet = "C-9"\n[[neelde]]\ncode = "3RL"\n[siez]\nwidht = "40 mm"\n'
        + STENCIL
        + 'width = "40 mm"\n',
        40,
        {"title": "Swallow", "client": "C-9", "needle.0.code": "3RL", "size.width": 40},
        ("title", "client", "needle", "size", "size.width"),
    ),
    Sloppy(
        "peony",
        "title = “Peony”\nstyles = [“black”, “grey”]\n[placement]\nregion = wrist\nside = links\n"
        "[[stencil]]\nfile = stencils/s.png\nwidth = “62 mm”\napplied = ja\n",
        62,
        {"title": "Peony", "styles": ("black", "grey"), "placement.side": "left", "stencil.0.applied": True},
        ("placement.region",),
        {"placement.region": '"wrist"'},
    ),
    Sloppy(
        "koi\u0301",
        'title = "Koi"\n[size]\nwidth = "62x88"\n[[ink]]\nname = "grey wash\nbatch = "GW-1"\n'
        + STENCIL
        + 'width = "62 by 88 mm"\n',
        62,
        {"size.width": 62, "size.height": 88, "ink.0.name": "grey wash", "ink.0.batch": "GW-1"},
        ("size.width", "stencil.0.width"),
    ),
    Sloppy(
        "猫",
        'title: Cat\nstyles = "fine line, black"\nneedle = "3RL"\nsitting = 2026-02-01\n'
        + STENCIL
        + "width = '2 1/2\"'\n",
        63.5,
        {"title": "Cat", "styles": ("fine line", "black"), "needle.0.code": "3RL", "sitting.0.date": "2026-02-01"},
    ),
    Sloppy(
        "moon.",
        '[[photo]]\nfile = "photos/moon.jpg"\nstage = "fresh"\ncover = "yes"\n'
        '[[stencil]]\nfile = "S.PNG"\nwidth = "55 mm"\n'
        'version = "v2"\n',
        55,
        {"title": "moon.", "photo.0.cover": True, "stencil.0.version": 2},
        ("", "stencil.0.file"),
    ),
    Sloppy(
        "boat",
        'title = "Paper boat"\njust before the summer\n[[sitting]]\ndate = "14 March 2026"\nhours = "3.30"\n'
        "[[stencil]\n"
        'file = "stencils/s.png"\nwidth = "48 mm"\n[price]\ncharged = "420 €"\n',
        48,
        {"sitting.0.date": "2026-03-14", "price.charged": 420, "sitting.0.hours": None},
        ("just", "sitting.0.hours"),
        {"sitting.0.hours": '"3.30"'},
    ),
    Sloppy(
        "dog 🐕",
        'title = "Dog"\n[size]\nwidth = "60 mm"\n[size]\nheight = "70 mm"\n'
        '[placement]\nregion = "calf"\nregion = "left calf"\n'
        "[[needle]]\ncode = 9\nbatch = 8213\n" + STENCIL + 'width = "60 mm"\nmirrored = "no"\n',
        60,
        {"size.width": 60, "size.height": 70, "needle.0.batch": "8213", "stencil.0.mirrored": False},
        ("placement.region", "needle.0.code"),
    ),
    Sloppy(
        "mandala " + "x" * 150,
        '\ufeffTitle = "Mandala"\r\n[Placement]\r\n\tregion = "sternum"\r\n\tside = "middle"\r\n[[Stencil]]\r\n'
        '\tFile = "stencils\\s.png"\r\n\tWidth = "120mm"\r\n\tapplied = True\r\n',
        120,
        {"title": "Mandala", "placement.side": "centre", "placement.region": "sternum", "stencil.0.applied": True},
        ("stencil.0.file",),
    ),
)
