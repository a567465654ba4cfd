"""What a picture file itself can say of its rights, as plain values; reads no file and loads nothing that does."""

import msgspec


class EmbeddedRights(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """What a file says; an empty tuple or None is "says nothing". Values of vocabularies without their address.

    Attributes:
        licence: The address or words under cc:license.
        constraints: PLUS alteration constraints such as "AL-FLP" (no flipping).
        digital_source: IPTC digital source type such as "trainedAlgorithmicMedia".
        minor_age: PLUS age of the youngest model such as "AG-U14".
        is_damaged: Whether there is something that could not be read.
    """

    creators: tuple[str, ...] = ()
    copyright_notice: str | None = None
    copyright_owners: tuple[str, ...] = ()
    copyright_status: str | None = None
    credit: str | None = None
    source: str | None = None
    instructions: str | None = None
    usage_terms: str | None = None
    other_constraints: str | None = None
    web_statement: str | None = None
    licence: str | None = None
    attribution_name: str | None = None
    attribution_url: str | None = None
    licensors: tuple[str, ...] = ()
    licensor_url: str | None = None
    credit_required: str | None = None
    constraints: tuple[str, ...] = ()
    model_release: str | None = None
    property_release: str | None = None
    minor_age: str | None = None
    people: tuple[str, ...] = ()
    data_mining: str | None = None
    digital_source: str | None = None
    ai_system: str | None = None
    ai_version: str | None = None
    artwork_creators: tuple[str, ...] = ()
    artwork_notice: str | None = None
    is_damaged: bool = False
