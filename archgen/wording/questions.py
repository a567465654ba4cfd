"""Whom a question goes to, and what it asks for, in words; severities say what to do, not how bad it is."""

from archgen.findings import Severity
from archgen.languages.house import say, to_say
from archgen.rules.asking import Asked, Questions
from archgen.values.frozen import Value


class SeverityWords(Value, frozen=True):
    """One kind: its heading, how one and how several of it are counted, and its shape on the pages."""

    heading: str
    one: str
    many: str
    shape: str


SEVERITY_WORDS = {
    Severity.ERROR: SeverityWords(
        to_say("Stops publishing"), to_say("stops publishing"), to_say("stop publishing"), "check-stop"
    ),
    Severity.WARNING: SeverityWords(to_say("Ask, then record"), to_say("question"), to_say("questions"), "check-ask"),
    Severity.NOTE: SeverityWords(to_say("Good to know"), to_say("good to know"), to_say("good to know"), "check-note"),
}

_HEADINGS = {
    Asked.EVENT: to_say("An event"),
    Asked.CLIENT: to_say("Ask the client (no code recorded)"),
    Asked.MAKER: to_say("Ask the maker of a reference"),
    Asked.LABEL: to_say("Read it on the label"),
    Asked.MYSELF: to_say("You alone know"),
}

ASKED_WORDS = {
    Asked.EVENT: to_say("Events"),
    Asked.CLIENT: to_say("Clients"),
    Asked.MAKER: to_say("Makers of references"),
    Asked.LABEL: to_say("Labels"),
    Asked.MYSELF: to_say("Yourself"),
}


def asked_words(questions: Questions) -> str:
    """Give the heading of what goes to one address."""
    if questions.asked is Asked.CLIENT and questions.client:
        return say("Ask client {client}", client=questions.client)
    return say(_HEADINGS[questions.asked])
