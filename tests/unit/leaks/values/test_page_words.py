"""The words that stand on the pages of every portfolio by themselves."""

from archgen.leaks.values.page_words import page_texts


def test_the_pages_words_are_known_in_every_language():
    """What a page says anyway is no certain find, in whatever language it says it."""
    everything = "\n".join(page_texts())
    assert "Skip to the work" in everything
    assert all(words in everything for words in ("Direkt zu den Arbeiten", "Underarmens utsida", "アフターケア"))
