"""Whom a question goes to, and what it asks for, in words; severities say what to do, not how bad it is."""

from archgen.findings import Severity
from archgen.rules.asking import Asked, Questions
from archgen.values.frozen import Value


class SeverityWords(Value, frozen=True):
    """One kind: its heading, how one and how several of it are counted, and its shape on the pages."""

    heading: str
    one: str
    many: str
    shape: str


SEVERITY_WORDS = {
    Severity.ERROR: SeverityWords("Stops publishing", "stops publishing", "stop publishing", "check-stop"),
    Severity.WARNING: SeverityWords("Ask, then record", "question", "questions", "check-ask"),
    Severity.NOTE: SeverityWords("Good to know", "good to know", "good to know", "check-note"),
}

_HEADINGS = {
    Asked.EVENT: "An event",
    Asked.CLIENT: "Ask the client (no code recorded)",
    Asked.MAKER: "Ask the maker of a reference",
    Asked.LABEL: "Read it on the label",
    Asked.MYSELF: "You alone know",
}

ASKED_WORDS = {
    Asked.EVENT: "Events",
    Asked.CLIENT: "Clients",
    Asked.MAKER: "Makers of references",
    Asked.LABEL: "Labels",
    Asked.MYSELF: "Yourself",
}


def asked_words(questions: Questions) -> str:
    """Give the heading of what goes to one address."""
    if questions.asked is Asked.CLIENT and questions.client:
        return f"Ask client {questions.client}"
    return _HEADINGS[questions.asked]
