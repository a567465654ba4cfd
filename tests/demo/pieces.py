"""All demo pieces, oldest first."""

from tests.demo.year_2024 import PIECES as OF_2024
from tests.demo.year_2025 import PIECES as OF_2025
from tests.demo.year_2026 import PIECES as OF_2026

PIECES = (*OF_2024, *OF_2025, *OF_2026)
