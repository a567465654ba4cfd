"""Keep what was worked out with words in it, apart for every language the house speaks."""

from collections.abc import Callable
from functools import lru_cache, wraps
from typing import ParamSpec, TypeVar

from archgen.languages.house import house

P = ParamSpec("P")
R = TypeVar("R")


def kept(most: int) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Keep the latest answers of a function whose arguments can be hashed."""

    def keeping(function: Callable[P, R]) -> Callable[P, R]:
        @lru_cache(maxsize=most)
        def in_language(_spoken: str, *args: P.args, **kwargs: P.kwargs) -> R:
            return function(*args, **kwargs)

        @wraps(in_language)
        def asked(*args: P.args, **kwargs: P.kwargs) -> R:
            return in_language(house().tag, *args, **kwargs)  # type: ignore[arg-type]  # a Hashable each

        return asked

    return keeping
