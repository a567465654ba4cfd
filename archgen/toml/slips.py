"""Words that are one slip of the finger away from another: a letter missing, too many, wrong, two swapped, or an s."""

from collections.abc import Iterable

# Among shorter words one letter makes another word.
_SHORTEST = 4


def one_slip_away(word: str, allowed: Iterable[str]) -> tuple[str, ...]:
    """Give the allowed words that a word is, or is one slip away from; capitals and separators don't count."""
    typed, words = _plain(word), tuple(allowed)
    same = tuple(one for one in words if _plain(one) == typed)
    return same or tuple(one for one in words if _is_slip(typed, _plain(one)))


def is_same_word(word: str, other: str) -> bool:
    """Say whether two words are the same but for capitals and separators."""
    return _plain(word) == _plain(other)


def _plain(word: str) -> str:
    return "".join(letter for letter in word.casefold() if letter.isalnum())


def _is_slip(typed: str, right: str) -> bool:
    if typed == f"{right}s":
        return True
    if len(right) < _SHORTEST or abs(len(typed) - len(right)) > 1:
        return False
    start = 0
    while start < min(len(typed), len(right)) and typed[start] == right[start]:
        start += 1
    rest, wanted = typed[start:], right[start:]
    is_wrong, is_extra, is_missing = rest[1:] == wanted[1:], rest[1:] == wanted, rest == wanted[1:]
    is_swapped = len(rest) > 1 and len(wanted) > 1 and (rest[1], rest[0], rest[2:]) == (*wanted[:2], wanted[2:])
    return is_wrong or is_extra or is_missing or is_swapped
