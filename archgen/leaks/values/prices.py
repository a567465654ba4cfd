"""What was charged, as it is written on a page: a number beside a currency or a word for a price.

A number alone says nothing: only beside a currency (ISO 4217 codes, symbols, a few everyday names) or a word such as
"paid" it may be the price of a piece. Words and names: common practice, no source.
"""

import re
from collections.abc import Iterator

_CURRENCY = (
    r"€|£|\$|¥|₹|₺|₽|zł|kč|ft|fr\.?|kr\.?|eur(?:os?)?|usd|gbp|chf|sek|nok|dkk|isk|pln|czk|huf|ron|try|jpy|cad|aud|nzd"
    r"|brl|mxn|zar|inr|dollars?|pounds?|francs?|kronor|kroner"
)
_WORDS = r"price[ds]?|cost(?:s|ing)?|paid|charged?|charges|deposit|fee|quote[ds]?|preis|bezahlt|anzahlung|prix|precio"
_NUMBER = r"(?<![\w.,])(\d{1,3}(?:[.,'’\u00a0\u202f ]\d{3})+|\d{1,7})(?:[.,](\d\d))?(?![\w]|[.,]\d)"
_PRICE = re.compile(
    rf"(?:(?<![^\W_])(?:{_CURRENCY})\s*{_NUMBER})|(?:{_NUMBER}(?:,-|,–|\.-)?\s*(?:{_CURRENCY})(?![^\W_]))"
    rf"|(?:(?<![^\W_])(?:{_WORDS})[\s:=]{{1,3}}(?:(?:was|is|of|about|at)\s)?{_NUMBER})",
    re.IGNORECASE,
)
# Less is no price of a tattoo, and stands beside a currency anywhere.
_LEAST = 10


def prices_in(text: str) -> Iterator[str]:
    """Give the amounts that stand in a text as prices, each in its plain form: "1,200.00 EUR" is 1200."""
    if not any(letter.isdigit() for letter in text):
        return
    for match in _PRICE.finditer(text):
        whole, cents = next((match[n], match[n + 1]) for n in (1, 3, 5) if match[n])
        yield plain_amount(float(f"{re.sub(r'[^0-9]', '', whole)}.{cents or '0'}"))


def plain_amount(amount: float) -> str:
    """Write an amount for comparison: without a currency, cents only where there are any."""
    return f"{amount:.2f}".removesuffix(".00")


def is_telling(amount: float) -> bool:
    """Say whether an amount is large enough to be a price."""
    return amount >= _LEAST
