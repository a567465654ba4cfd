"""Words and characters of doubt beside a value: "approx 4", "~75 mm", "left?" say less than 4, 75 mm and left.

English, German, French, Spanish, Italian, Portuguese and Swedish, from memory; only words that say nothing else.
"""

import re
import unicodedata

_WORDS = (
    "approximately|approx|appr|about|abt|around|roughly|circa|ca|nearly|almost|maybe|perhaps|probably|possibly|"
    "presumably|estimated|estimate|est|guessed|guess|i think|i guess|not sure|unsure|or so|more or less|give or take|"
    "ungefähr|ungefaehr|ungefahr|ungef|zirka|etwa|schätzungsweise|geschätzt|vielleicht|wohl|knapp|rund|"
    "environ|env|à peu près|a peu pres|peut-être|peut être|peut etre|presque|plus ou moins|"
    "aproximadamente|aproximado|aprox|más o menos|mas o menos|alrededor de|cerca de|quizás|quizas|quizá|tal vez|casi|"
    "unos|unas|"
    "approssimativamente|pressappoco|più o meno|piu o meno|all'incirca|forse|quasi|"
    "mais ou menos|por volta de|talvez|quase|"
    "omkring|kanske|nästan|uppskattat|uppskattningsvis|cirka"
)
_WORD = re.compile(
    rf"[(\[]?(?<![^\W\d_])(?:{_WORDS})(?![^\W\d_])\.?[)\]]?"  # (approx.)
    r"|(?<![^\W\d_])c\.?(?=\s*\d)"  # c. 4
    r"|(?<=\w)[- ]ish\b|(?<=\d)ish\b",  # 75-ish, 4ish
    re.IGNORECASE,
)
_CHARACTERS = re.compile(r"[(\[]\s*[?？]+\s*[)\]]|\+\s*/?\s*[-−]|[?¿？~∼～≈≃≅±]")
_SPACES = re.compile(r"\s+")


def without_doubt(text: str) -> str:
    """Give a text without its words and characters of doubt; one that has none comes back as it was."""
    composed = _SPACES.sub(" ", unicodedata.normalize("NFC", text))
    plain = _CHARACTERS.sub(" ", _WORD.sub(" ", composed))
    return text if plain == composed else _SPACES.sub(" ", plain).strip(" ,;:")
