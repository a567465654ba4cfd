"""A plan as a text: what stands in it, what may be corrected, and how every mistake is told."""

import tomllib

import pytest

from archgen.intake.decided import changes_of, sure_groups
from archgen.intake.plan import What
from archgen.intake.plan_file import PlanMistakeError, read_plan, read_sources, write_plan

TITLES = {"2026-09-05-barn-owl": "Barn owl", "2026-10-01-fern": "Fern"}


@pytest.fixture
def path(tmp_path, intake_case):
    path = tmp_path / "phone.toml"
    path.write_text(write_plan(intake_case.plan, (str(intake_case.phone),), "phone.toml"), encoding="utf-8")
    return path


def corrected(path, *changes):
    text = path.read_text(encoding="utf-8")
    for before, after in changes:
        assert before in text
        text = text.replace(before, after, 1)
    path.write_text(text, encoding="utf-8")
    return path


def decided(path, intake_case):
    return read_plan(path, intake_case.plan, TITLES)


def test_everything_is_in_it_and_it_is_toml(path, intake_case):
    raw = tomllib.loads(path.read_text(encoding="utf-8"))
    assert raw["sources"] == [str(intake_case.phone)]
    assert sum(len(group["picture"]) for group in raw["group"]) == 6
    text = path.read_text(encoding="utf-8")
    for words in ("A black-and-white copy of Fern", "clip.mov: This is a video", "Does it belong to Barn owl?"):
        assert words in text


def test_untouched_it_files_the_new_piece_and_leaves_the_proposal(path, intake_case):
    found = decided(path, intake_case)
    assert [one.title for one in found.groups] == ["New piece, Thu 26 Nov 2026"]
    assert found.groups[0].piece is None
    assert len(found.left) == 1
    assert "neither title nor piece" in found.left[0]


def test_a_yes_sends_the_photo_to_the_filed_piece(path, intake_case):
    corrected(path, ('# piece = "2026-09-05-barn-owl"', 'piece = "2026-09-05-barn-owl"'))
    found = decided(path, intake_case)
    owl = next(one for one in found.groups if one.piece)
    (change,) = changes_of([owl], intake_case.catalogue, intake_case.root)
    assert [one.path for one in change.new] == ["pieces/2026-09-05-barn-owl/photos/IMG_2315.jpg"]
    record = change.edited[0].after.decode()
    assert record.startswith('title = "Barn owl"\nclient = "C-0007"\n')
    assert 'file = "photos/IMG_2315.jpg"' in record
    assert 'stage = "healed"' in record
    assert tomllib.loads(record)["photo"][1]["taken"].isoformat() == "2026-11-26"


def test_a_corrected_word_and_title_count(path, intake_case):
    corrected(
        path,
        ('title = "New piece, Thu 26 Nov 2026"', 'title = "Night moth"\nclient = "C-0042"'),
        ('file   = "IMG_2299.jpg"\n  is     = "reference"', 'file   = "IMG_2299.jpg"\n  is     = "out"'),
        ('file   = "IMG_2301.jpg"\n  is     = "in-progress"', 'file   = "IMG_2301.jpg"\n  is     = "fresh"'),
    )
    one = decided(path, intake_case).groups[0]
    assert {picture.name: picture.guess.what for picture in one.group.pictures}["IMG_2301.jpg"] is What.FRESH
    (change,) = changes_of([one], intake_case.catalogue, intake_case.root)
    assert change.new_folder == "pieces/2026-11-26-night-moth"
    assert change.words == "Night moth filed, 4 pictures"
    record = tomllib.loads(next(new.content for new in change.new if new.content).decode())
    assert (record["title"], record["client"]) == ("Night moth", "C-0042")
    assert [sitting["date"].isoformat() for sitting in record["sitting"]] == ["2026-11-26"]
    assert record["stencil"] == [{"file": "stencils/moth-1.png", "width": record["stencil"][0]["width"]}]
    assert "reference" not in record


def test_a_picture_moved_to_another_group_goes_there(path, intake_case):
    text = path.read_text(encoding="utf-8")
    blocks = text.split("  [[group.picture]]\n")
    moth = next(block for block in blocks if "moth-1.png" in block)
    lines = "".join(f"{line}\n" for line in moth.splitlines()[:3])
    text = text.replace(f"  [[group.picture]]\n{lines}", "", 1)
    text = text.replace('# piece = "2026-09-05-barn-owl"', 'piece = "2026-09-05-barn-owl"', 1)
    owl = next(block for block in blocks if "IMG_2315.jpg" in block).splitlines()[2]
    path.write_text(text.replace(f"{owl}\n", f"{owl}\n\n  [[group.picture]]\n{lines}", 1), encoding="utf-8")
    found = decided(path, intake_case)
    owl_group = next(one for one in found.groups if one.piece)
    assert {one.name for one in owl_group.group.pictures} == {"IMG_2315.jpg", "moth-1.png"}


def test_every_mistake_is_told_with_its_line(path, intake_case):
    corrected(
        path,
        ('is     = "fresh"', 'is     = "frehs"'),
        ('# piece = "2026-09-05-barn-owl"', 'piece = "2026-09-05-barn-owll"'),
        ('is     = "stencil"', 'is     = "stencil"\n  kind = "x"'),
        ('is     = "healed"', "is     = 3"),
    )
    with pytest.raises(PlanMistakeError) as told:
        decided(path, intake_case)
    lines = str(told.value).splitlines()
    assert len(lines) == 4
    assert all(f"{path}, line " in line for line in lines)
    assert any('"frehs" isn\'t one of' in line and 'Nearest: "fresh"' in line for line in lines)
    assert any('There is no piece "2026-09-05-barn-owll". Nearest: "2026-09-05-barn-owl".' in line for line in lines)
    written = path.read_text(encoding="utf-8").splitlines()
    number = int(next(line for line in lines if "frehs" in line).partition(", line ")[2].partition(":")[0])
    assert "frehs" in written[number - 1]


def test_a_picture_twice_or_changed_since_is_told(path, intake_case):
    digest = intake_case.plan.groups[-1].pictures[0].digest
    other = intake_case.plan.groups[-1].pictures[1].digest
    corrected(path, (digest, other))
    with pytest.raises(PlanMistakeError, match="stands in two groups"):
        decided(path, intake_case)
    corrected(path, (other, "0" * 64))
    with pytest.raises(PlanMistakeError, match="was changed since the plan was written"):
        decided(path, intake_case)


@pytest.mark.parametrize("text", ["", "version = 1\n", "sources = 3\n", "sources = []\n", 'sources = ["a", 3]\n'])
def test_another_file_is_not_taken_for_a_plan(tmp_path, text):
    path = tmp_path / "x.toml"
    path.write_text(text)
    with pytest.raises(PlanMistakeError, match="isn't a plan"):
        read_sources(path)


def test_broken_toml_is_told_with_its_line(tmp_path):
    path = tmp_path / "x.toml"
    path.write_text('sources = ["a"]\nbroken = \n')
    with pytest.raises(PlanMistakeError, match="line 2"):
        read_sources(path)


def test_without_a_look_only_what_is_sure_is_filed_and_nothing_goes_to_a_filed_piece(intake_case):
    sure, left = sure_groups(intake_case.plan)
    assert all(one.piece is None for one in sure)
    assert [len(one.group.pictures) for one in sure] == [4]
    assert len(left) == 2
    assert "1 doubtful picture left out" in " ".join(left)
