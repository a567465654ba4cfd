"""Words for what a reference's file says of its rights, for the archive's pages; addresses are shown, never links."""

import re
from collections.abc import Iterator

from archgen.languages.house import say, say_in
from archgen.metadata.file_rights import EmbeddedRights
from archgen.records.vocabulary.licences import license_words

# PLUS License Data Format vocabularies, in words; a value not listed here is shown as it is.
PLUS_WORDS = {
    "AL-CRP": "no cropping",
    "AL-FLP": "no flipping",
    "AL-RET": "no retouching",
    "AL-CLR": "no colour changes",
    "AL-DCL": "no turning to gray",
    "AL-MRG": "no merging with others",
    "CS-PRO": "protected",
    "CS-PUB": "public domain",
    "CS-UNK": "unknown",
    "CR-NRQ": "not asked for",
    "CR-COI": "on the picture",
    "CR-CAI": "beside the picture",
    "CR-CCA": "in a list of credits",
    "MR-NON": "none",
    "MR-NAP": "nobody shown",
    "MR-UMR": "unlimited",
    "MR-LMR": "limited or incomplete",
    "PR-NON": "none",
    "PR-NAP": "not needed",
    "PR-UPR": "unlimited",
    "PR-LPR": "limited or incomplete",
    "AG-UNK": "not known",
    "AG-A25": "25 or over",
    "AG-U14": "under 14",
    "DMI-ALLOWED": "allowed",
    "DMI-PROHIBITED": "prohibited",
    "DMI-UNSPECIFIED": "nothing said",
    "DMI-PROHIBITED-AIMLTRAINING": "no training of models",
    "DMI-PROHIBITED-GENAIMLTRAINING": "no training of generative models",
    "DMI-PROHIBITED-EXCEPTSEARCHENGINEINDEXING": "prohibited but for search engines",
}


def source_words(digital_source: str) -> str:
    """Take an IPTC digital source type apart into words: "composite with trained algorithmic media"."""
    name = digital_source.rstrip("/").rpartition("/")[2]
    return re.sub(r"(?<=[a-z])(?=[A-Z])", " ", name).lower()


def told_words(said: EmbeddedRights) -> tuple[tuple[str, str], ...]:
    """Give label and words of everything a file says."""
    return tuple(_words(said))


def _words(said: EmbeddedRights) -> Iterator[tuple[str, str]]:
    lines = (
        (say("creator"), ", ".join(said.creators)),
        (say("copyright"), said.copyright_notice),
        (say("copyright owner"), ", ".join(said.copyright_owners)),
        (say("copyright status"), _plus(said.copyright_status)),
        (say("credit"), said.credit),
        (say("credit wanted"), _plus(said.credit_required)),
        (say("source"), said.source),
        (say("licence"), license_words(said.licence) if said.licence else None),
        (say("terms"), said.usage_terms),
        (say("terms are at"), said.web_statement),
        (say("instructions"), said.instructions),
        (say("asks for"), ", ".join(filter(None, map(_plus, said.constraints)))),
        (say("other conditions"), said.other_constraints),
        (say("to be named as"), said.attribution_name),
        (say("to be linked to"), said.attribution_url),
        (say("licences from"), ", ".join(said.licensors)),
        (say("licences at"), said.licensor_url),
        (say("model release"), _plus(said.model_release)),
        (say("property release"), _plus(said.property_release)),
        (say("age of the youngest shown"), _age(said.minor_age)),
        (say("shows"), ", ".join(said.people)),
        (say("data mining"), _plus(said.data_mining)),
        (say("kind of source"), source_words(said.digital_source or "")),
        (say("made with"), " ".join(text for text in (said.ai_system, said.ai_version) if text)),
        (say("work shown is by"), ", ".join(said.artwork_creators)),
        (say("copyright of the work shown"), said.artwork_notice),
        (say("damaged"), say("something more, which cannot be read") if said.is_damaged else None),
    )
    return ((label, words) for label, words in lines if words)


def _plus(value: str | None) -> str | None:
    if not value:
        return None
    return say_in("rights", PLUS_WORDS[value]) if value in PLUS_WORDS else value


def _age(value: str | None) -> str | None:
    """Write "AG-A17" as "17"."""
    return value.removeprefix("AG-A") if value and value not in PLUS_WORDS else _plus(value)
