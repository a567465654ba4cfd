"""Say how many there are; knows nothing of what is counted."""


def count_words(number: int, one: str, many: str | None = None) -> str:
    """Write "1 piece" or "2 pieces"."""
    return f"{number} {one if number == 1 else many or one + 's'}"
