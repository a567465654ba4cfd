"""Everyday words for sides, sittings, yes and no, in the languages of the shops the tool is used in.

English, German, French, Spanish, Italian, Portuguese and Swedish; only words that can mean nothing else, from memory.
A word that is not here is asked about, never guessed.
"""

from archgen.plain_text import words_of

_SIDES = {
    "left": "left l lh lhs links linke linker linkes gauche izquierda izquierdo izq sinistra sinistro sx esquerda "
    "esquerdo vanster vanstra",
    "right": "right r rh rhs rechts rechte rechter rechtes droite droit derecha derecho destra destro dx direita "
    "direito hoger hogra",
    "centre": "centre center centred centered central middle midline mid mitte mittig zentral milieu centro medio "
    "mitten",
}
_SIDE_OF = {word: side for side, words in _SIDES.items() for word in words.split()}
# Words that say no more than that a side follows.
_SIDE_FILLER_WORDS = (
    "the side client clients s own body seite cote a la le lado lato sida sidan der die das auf av on of to"
)
_SIDE_FILLERS = frozenset(_SIDE_FILLER_WORDS.split())
_KINDS = {
    "touch-up": "touch up|touchup|touch ups|retouch|retouching|re touch|touch up sitting|touch up session|nachstechen|"
    "nachstich|nacharbeit|retouche|retoque|ritocco|retusch",
    "sitting": "sitting|session|appointment|sitzung|termin|seance|sesion|seduta|sessione|sessao|sittning",
}
_KIND_OF = {f" {word} ": kind for kind, words in _KINDS.items() for word in words.split("|")}
_YES = frozenset({"yes", "y", "yep", "yeah", "true", "on", "1", "ja", "j", "oui", "si", "sim", "ok"})
_NO = frozenset({"no", "n", "nope", "false", "off", "0", "nein", "non", "nao", "nej", "none"})


def side_of(text: str) -> str | None:
    """Give the side a word stands for: "L", "left side", "links"; None when it is not sure."""
    words = [word for word in words_of(text).split() if word not in _SIDE_FILLERS]
    sides = {_SIDE_OF.get(word) for word in words}
    return sides.pop() if len(sides) == 1 else None


def kind_of(text: str) -> str | None:
    """Give the kind of sitting a word stands for: "touch up", "session"; None when it is not sure."""
    return _KIND_OF.get(words_of(text))


def answer_of(text: str) -> bool | None:
    """Give yes or no as a person writes it; None when it is neither."""
    if text.strip() in ("✓", "✔"):
        return True
    word = words_of(text).strip()
    if word in _YES or word in _NO:
        return word in _YES
    return None
