"""What a client may allow photos to be used for, in the words of a studio: common practice, no source."""

import re

from archgen.languages.house import say
from archgen.toml.problem import nearest

RELEASE_USES = ("archive", "portfolio", "print", "social", "competition")
# Other words for the same use. "Online" and "the web" are not among them: they may mean a website or social media.
_ALSO = {
    "portfolio": ("website", "web site", "site", "homepage", "home page", "web page", "own website", "my website",
                  "our website", "studio website", "portfolio website", "portfolio site", "online portfolio"),
    "print": ("prints", "printed", "flyer", "flyers", "printed portfolio", "book"),
    "social": ("social media", "socials", "social network", "social networks", "feed", "story", "stories", "reels",
               "posts", "soziale medien", "reseaux sociaux", "redes sociales", "redes sociais", "sociala medier"),
    "competition": ("competitions", "contest", "contests", "convention", "conventions"),
    "archive": ("private archive", "records", "studio only"),
}  # fmt: skip
_USE_OF_WORD = {word: use for use in RELEASE_USES for word in (use, *_ALSO[use])}
# They may mean either.
_TWO_WAYS = frozenset({"web", "the web", "online", "internet", "the internet", "net", "digital"})
# Words that take something back: what they limit must be understood before anything is shown.
_LIMITS = frozenset({"no", "not", "without", "except", "only", "but", "until", "unless", "never", "if"})


def known_use(word: str) -> str | None:
    """Give the use a word stands for, capitals and hyphens aside; None when it is not known."""
    return _USE_OF_WORD.get(re.sub(r"[\s_-]+", " ", word.strip().casefold()))


def use_question(word: str) -> str:
    """Ask for what a client agreed to with a word that is not known."""
    if re.sub(r"[\s_-]+", " ", word.strip().casefold()) in _TWO_WAYS:
        return say("your own website (portfolio), or social media (social)?")
    return say("which use is that?")


def nearest_use(word: str) -> str | None:
    """Give the use that was probably meant."""
    near = nearest(word, _USE_OF_WORD)
    return _USE_OF_WORD[near] if near else None


def is_limit(word: str) -> bool:
    """Say whether a word that is not known may take something back, such as "portfolio, not the face"."""
    return not _LIMITS.isdisjoint(re.findall(r"[^\W\d_]+", word.casefold()))
