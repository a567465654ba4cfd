"""Whose picture a reference is, and whether a person can be recognised: answers in words and the lines they write."""

from dataclasses import dataclass, replace
from enum import Enum

from archgen.desk.filing.lines import LineValue, table
from archgen.languages.house import say, to_say
from archgen.metadata.file_rights import EmbeddedRights
from archgen.publication.embedded import fills
from archgen.records.model import Reference
from archgen.records.vocabulary.licences import license_words


class ShortQuestion(Enum):
    """The short question that comes with an answer."""

    LICENCE = "licence"
    PAPER = "paper"


@dataclass(frozen=True, slots=True)
class RightAnswer:
    """An answer to "Whose picture is this?".

    Attributes:
        says: The state as the record's cell says it.
        holds: What is waited for; empty where nothing is.
        follow_up: Which short question comes with it; None for none.
        paper: What the paper is called that may be chosen then.
    """

    key: str
    words: str
    values: tuple[tuple[str, LineValue], ...]
    says: str
    holds: str = ""
    small: str = ""
    follow_up: ShortQuestion | None = None
    paper: str = ""

    @property
    def lines(self) -> str:
        """Give the lines it adds."""
        return table("", dict(self.values)).text


AS_THE_FILE_SAYS = "file"
LOOKED_AT = "looked-at"
UNKNOWN = "unknown"
FREE_LICENCES = ("CC-BY-4.0", "CC0-1.0", "CC-BY-SA-4.0", "CC-BY-NC-4.0", "CC-BY-ND-4.0", "CC-PDM-1.0")


def _on_paper(key: str, words: str, licence: str, paper: str) -> RightAnswer:
    values = (("license", licence),)
    return RightAnswer(key, words, values, to_say("ask first"), paper, follow_up=ShortQuestion.PAPER, paper=paper)


# What a paper may allow, as the record says it and in words.
ALLOWED = (
    ("tattoo", to_say("Tattoo it")),
    ("show-tattoo", to_say("Show the tattoo")),
    ("show-reference", to_say("Show the picture itself")),
)
_ANSWERS = (
    RightAnswer("mine", to_say("Mine"), (("license", "own-work"),), to_say("recorded")),
    _on_paper("client", to_say("The client’s"), "client-supplied", to_say("the client’s word in writing")),
    _on_paper("bought", to_say("Bought"), "stock", to_say("the receipt")),
    RightAnswer(
        "free", to_say("Free licence"), (("license", "CC-BY-4.0"),), to_say("recorded"), follow_up=ShortQuestion.LICENCE
    ),
    _on_paper("letter", to_say("By letter"), "permission", to_say("the letter")),
    RightAnswer(
        UNKNOWN, to_say("Don’t know"), (("license", "unknown"),), to_say("ask first"), to_say("whose picture {name} is")
    ),
    RightAnswer(LOOKED_AT, to_say("Only looked at"), (("used", False),), to_say("only looked at")),
)
PEOPLE = (
    ("none", to_say("Nobody"), "none", ""),
    ("client", to_say("My client"), "client", ""),
    ("somebody", to_say("Somebody else"), "unknown", to_say("who the person is")),
)
# Who "somebody else" is; what is not answered stays unknown and holds the piece.
SOMEBODY = (
    ("consented", to_say("They agreed"), "consented"),
    ("public-figure", to_say("Known to the public"), "public-figure"),
    ("minor", to_say("A child"), "minor"),
)


def likeness_answers() -> tuple[tuple[str, str, str, str], ...]:
    """Give the answers to "Can somebody be recognised?" in the language of the house."""
    return tuple((key, say(words), written, say(holds) if holds else "") for key, words, written, holds in PEOPLE)


def right_answers(name: str, embedded: EmbeddedRights | None) -> tuple[RightAnswer, ...]:
    """List the answers for a picture; what its file itself says comes first."""
    return (*_of_file(embedded), *(_named(_with_maker(one, embedded), name) for one in _ANSWERS))


def _with_maker(answer: RightAnswer, embedded: EmbeddedRights | None) -> RightAnswer:
    """Keep the maker whom the file names where nothing else is known."""
    if answer.key != UNKNOWN or embedded is None:
        return answer
    maker = next((value for key, value, _ in fills(Reference(), embedded) if key == "creator"), None)
    if maker is None:
        return answer
    return replace(
        answer, values=(*answer.values, ("creator", maker)), small=say("keeps the maker’s name: {maker}", maker=maker)
    )


def _named(answer: RightAnswer, name: str) -> RightAnswer:
    holds, paper = (say(words, name=name) if words else "" for words in (answer.holds, answer.paper))
    return replace(answer, words=say(answer.words), says=say(answer.says), holds=holds, paper=paper)


def _of_file(embedded: EmbeddedRights | None) -> tuple[RightAnswer, ...]:
    if embedded is None:
        return ()
    # People shown are asked about in words of their own, below.
    filled = {key: value for key, value, _ in fills(Reference(), embedded) if key != "likeness"}
    if "license" not in filled:
        return ()
    shown = ", ".join(part for part in (filled.get("creator"), license_words(filled["license"])) if part)
    values = tuple((key, filled[key]) for key in ("license", "creator", *filled) if key in filled)
    unique = tuple(dict(values).items())
    is_asked = filled["license"] == "all-rights-reserved"
    says = say("ask first") if is_asked else say("recorded")
    holds = say("the maker’s permission") if is_asked else ""
    return (RightAnswer(AS_THE_FILE_SAYS, say("As the file itself says"), unique, says, holds, shown),)


def source_words(name: str, embedded: EmbeddedRights | None) -> str:
    """Say beside the picture what its file tells of its maker."""
    if embedded and (embedded.creators or embedded.attribution_name):
        return say("{name}, names its maker", name=name)
    if embedded and (embedded.licence or embedded.copyright_notice):
        return say("{name}, carries a right", name=name)
    return say("{name}; the file says nothing", name=name)
