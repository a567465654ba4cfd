"""Whom a question goes to, in words."""

from archgen.rules.asking import Asked, Questions

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
