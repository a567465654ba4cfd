"""What the client's photo release says about showing a piece; dates count. Knows releases, not pieces."""

import datetime as dt

from archgen.languages.house import say
from archgen.records.model import Release, ReleaseStatus
from archgen.records.vocabulary.release_uses import known_use
from archgen.toml.problem import as_text
from archgen.units import date_words

PORTFOLIO_SCOPE = "portfolio"


def release_reasons(release: Release, today: dt.date, *, required: bool = True) -> list[str]:
    """Say why the client's release keeps a piece out.

    Without `required` a release that was never asked for keeps nothing out; what the client did say always counts.
    """
    if is_withdrawn(release):
        day = date_words(release.withdrawn) if release.withdrawn else say("the day isn't recorded")
        return [say("The client took the photo release back ({day}).", day=day)]
    if release.status is ReleaseStatus.REFUSED:
        return [say("The client refused a photo release.")]
    if release.status is ReleaseStatus.NOT_ASKED and required:
        return [say("The client hasn't been asked for a photo release.")]
    return _day_reasons(release, today) or _scope_reasons(release, required=required)


def is_withdrawn(release: Release) -> bool:
    """Say whether the client took the release back."""
    return release.status is ReleaseStatus.WITHDRAWN or release.withdrawn is not None


def has_ended(release: Release, today: dt.date) -> bool:
    """Say whether the release ended before today."""
    return release.expires is not None and release.expires < today


def has_not_begun(release: Release, today: dt.date) -> bool:
    """Say whether the release counts only from a later day."""
    return release.date is not None and release.date > today


def _day_reasons(release: Release, today: dt.date) -> list[str]:
    if release.date and has_not_begun(release, today):
        return [say("The client's photo release counts from {date}, not before.", date=date_words(release.date))]
    if release.expires and has_ended(release, today):
        return [say("The client's photo release ended on {expires}.", expires=date_words(release.expires))]
    return []


def _scope_reasons(release: Release, *, required: bool) -> list[str]:
    scope = {known_use(word) or word for word in release.scope}
    if PORTFOLIO_SCOPE in scope or not (scope or required):
        return []
    if not scope:
        return [say('The client\'s photo release names no use, not "{wanted}".', wanted=PORTFOLIO_SCOPE)]
    uses = as_text(", ".join(sorted(scope)), 120)
    return [say('The client\'s photo release names {uses}, not "{wanted}".', uses=uses, wanted=PORTFOLIO_SCOPE)]


def refusal_words(release: Release, today: dt.date) -> str | None:
    """Say in half a sentence about a piece that its client does not allow showing it; None when nothing says so."""
    if is_withdrawn(release):
        return say("whose client took the photo release back")
    if release.status is ReleaseStatus.REFUSED:
        return say("whose client refused a photo release")
    if has_ended(release, today):
        return say("whose photo release has ended")
    return None
