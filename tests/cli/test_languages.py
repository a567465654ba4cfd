"""archgen languages: what is still to write."""

import re

SETTINGS = '[portfolio]\ndescription = "Drawings."\nopen_from = "{opening}"\nlanguages = ["en", "de", "it"]\n'
WANTED = 'title = "Barn owl"\npublish = true\n'


def archive(root, opening="February 2027", record=WANTED):
    folder = root / "pieces" / "2026-03-14-owl"
    folder.mkdir(parents=True)
    (folder / "piece.toml").write_text(record, encoding="utf-8")
    (root / "archive.toml").write_text(SETTINGS.format(opening=opening), encoding="utf-8")
    (root / "about.md").write_text("I draw.", encoding="utf-8")
    return folder


def said_of(ran, name):
    """The lines about one language."""
    (part,) = (part for part in ran.out.split("\n\n") if f"{name}:" in part)
    return part.splitlines()


def test_all_that_is_in_the_main_language_only_is_listed_file_by_file(terminal, tmp_path):
    folder = archive(tmp_path / "a", opening="soon")
    (folder / "story.md").write_text("An owl.", encoding="utf-8")
    ran = terminal.run("languages", "--archive", str(tmp_path / "a"))
    assert ran.code == 0, ran.err
    assert ran.out.startswith("The portfolio is in English.\n")
    assert said_of(ran, "Deutsch")[1:-1] == [
        "  archive.toml, [portfolio.de]: description and open_from",
        "  about.de.md: the page",
        "  pieces/2026-03-14-owl/story.de.md: title and story",
    ]
    assert "archgen itself has no words in Italiano" in ran.out


def test_what_is_written_is_not_asked_for(terminal, tmp_path):
    folder = archive(tmp_path / "a")
    ran = terminal.run("languages", "--archive", str(tmp_path / "a"))
    assert "  pieces/2026-03-14-owl/story.de.md: title" in said_of(ran, "Deutsch")
    (folder / "story.md").write_text("An owl.", encoding="utf-8")
    (folder / "story.de.md").write_text("# Eule\n", encoding="utf-8")
    ran = terminal.run("languages", "--archive", str(tmp_path / "a"))
    assert "  pieces/2026-03-14-owl/story.de.md: story" in said_of(ran, "Deutsch")
    (folder / "story.de.md").write_text("# Eule\n\nEine Eule.", encoding="utf-8")
    (tmp_path / "a" / "about.de.md").write_text("Ich zeichne.", encoding="utf-8")
    with (tmp_path / "a" / "archive.toml").open("a", encoding="utf-8") as file:
        file.write('[portfolio.de]\ndescription = "Zeichnungen."\n')
    ran = terminal.run("languages", "--archive", str(tmp_path / "a"))
    assert said_of(ran, "Deutsch") == ["Deutsch: nothing is missing."]


def test_a_piece_that_is_not_to_be_shown_needs_no_words(terminal, tmp_path):
    archive(tmp_path / "a", record='title = "Barn owl"\n')
    ran = terminal.run("languages", "--archive", str(tmp_path / "a"))
    assert "pieces/" not in ran.out


def test_a_portfolio_in_one_language_is_told_how_to_add_one(terminal):
    ran = terminal.run("languages")
    assert "The portfolio is in English only." in ran.out
    assert "日本語 (ja)" in ran.out
    assert 'languages = ["en", "de"]' in ran.out


def test_what_the_program_says_in_english_is_listed(terminal):
    ran = terminal.run("languages", "--words", "fr")
    assert ran.code == 0, ran.err
    assert "Stopped. Nothing half-done is left behind." in ran.out.splitlines()
    assert "Needles" not in ran.out.splitlines()  # sheets are in French
    assert re.search(r"Français: \d{3,} messages of archgen are in English\.", ran.err)


def test_german_lacks_no_word(terminal):
    ran = terminal.run("languages", "--words", "de")
    assert ran.out == ""
    assert "Deutsch: 0 messages of archgen are in English." in ran.err
