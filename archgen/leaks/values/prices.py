"""What was charged, as it is written on a page: a number beside a currency or a word for a price.

A number alone says nothing: only beside a currency (ISO 4217 codes, symbols, a few everyday names) or a word such as
"paid" it may be the price of a piece. Words and names: common practice, no source.
"""

import re
from collections.abc import Container, Iterator

_CURRENCY = (
    r"€|£|\$|¥|₹|₺|₽|zł|kč|ft|fr\.?|kr\.?|eur(?:os?)?|usd|gbp|chf|sek|nok|dkk|isk|pln|czk|huf|ron|try|jpy|cad|aud|nzd"
    r"|brl|mxn|zar|inr|dollars?|pounds?|francs?|kronor|kroner"
)
_WORDS = r"price[ds]?|cost(?:s|ing)?|paid|charged?|charges|deposit|fee|quote[ds]?|preis|bezahlt|anzahlung|prix|precio"
_DIGITS = re.compile(r"\d[\d.,'’\u00a0\u202f]*(?: \d{3}(?!\d))*")
_NUMBER = re.compile(r"(\d{1,3}(?:[.,'’\u00a0\u202f ]\d{3})+|\d{1,7})(?:[.,](\d\d))?")
_BEFORE = re.compile(
    rf"(?:(?:^|[\W\d_])(?:{_CURRENCY})\s*|(?:^|[\W_])(?:{_WORDS})[\s:=]{{1,3}}(?:(?:was|is|of|about|at)\s)?)\Z",
    re.IGNORECASE,
)
_BEHIND = re.compile(rf"(?:[,.]?[-–])?\s*(?:{_CURRENCY})(?![^\W_])", re.IGNORECASE)
# As far as a currency or a word for a price stands from its number.
_NEAR = 20
# Less is no price of a tattoo, and stands beside a currency anywhere.
_LEAST = 10


def prices_in(text: str, wanted: Container[str] | None = None) -> Iterator[str]:
    """Give the amounts that stand in a text as prices, each in its plain form: "1,200.00 EUR" is 1200.

    With `wanted` only these are looked at, which is several times faster: pages have many numbers.
    """
    for digits in _DIGITS.finditer(text):
        written = digits[0].rstrip(".,'’\u00a0\u202f")
        amount = written if written.isdigit() else _amount_of(written)
        if (wanted is None or amount in wanted) and _is_price(text, digits.start(), digits.start() + len(written)):
            yield amount


def _amount_of(written: str) -> str:
    """Give the plain form of a number with points or gaps; what isn't an amount stays as it is written."""
    number = _NUMBER.fullmatch(written)
    return plain_amount(float(f"{re.sub(r'[^0-9]', '', number[1])}.{number[2] or '0'}")) if number else written


def _is_price(text: str, begin: int, end: int) -> bool:
    """Say whether a currency or a word for a price stands right beside the number between two places."""
    if text[max(begin - 1, 0) : begin].isalpha():
        return False
    before, behind = text[max(begin - _NEAR, 0) : begin], text[end : end + _NEAR]
    return _BEHIND.match(behind) is not None or _BEFORE.search(before) is not None


def plain_amount(amount: float) -> str:
    """Write an amount for comparison: without a currency, cents only where there are any."""
    return f"{amount:.2f}".removesuffix(".00")


def is_telling(amount: float) -> bool:
    """Say whether an amount is large enough to be a price."""
    return amount >= _LEAST
