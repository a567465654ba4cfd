"""Photos, stencils and references told apart on pictures we did not draw for it.

Drawings of Debian's openclipart-png, photographs of scikit-image and of Debian's wallpapers; what each is was said by
eye before (sorting_expected.toml). All of them, both halves: python -m tests.bench.bench_intake sort
"""

from itertools import groupby

import pytest

from archgen.intake.reading.look import Unreadable, look_at_all
from archgen.intake.reading.sorting import sort_picture
from archgen.progress import Silent
from archgen.storage.cache import Cache
from tests.expected_kinds import CLIP_ART, expected_kinds

# So many of each source and kind keep the suite quick.
SOME = 24


@pytest.mark.parametrize("source", ["demo", "drawings", "photographs", "wallpapers"])
def test_kinds_are_told_apart(source, tmp_path):
    if source == "drawings" and not CLIP_ART.is_dir():
        pytest.skip("needs Debian's package openclipart-png, which is not installed")
    every = sorted((one for one in expected_kinds() if one.source == source), key=lambda one: one.role.value)
    if not every:
        pytest.skip("needs a wallpaper package of Debian such as mate-backgrounds, which is not installed")
    chosen = []
    for _, some in groupby(every, key=lambda one: one.role):
        alike = list(some)
        chosen += alike[:: max(1, len(alike) // SOME)][:SOME]
    looks = look_at_all([one.path for one in chosen], Cache(tmp_path), 1, Silent())
    wrong = []
    for one in chosen:
        seen = looks[one.path]
        found = None if isinstance(seen, Unreadable) else sort_picture(seen, one.path.name).role
        if found is not one.role:
            wrong.append(f"{one.path}: {found}")
    assert len(wrong) <= max(1, 0.02 * len(chosen)), wrong
