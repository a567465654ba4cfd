"""The list of all stencils, and what is worked out about one."""

from urllib.parse import quote

from archgen.languages.house import say, within
from archgen.outputs.archive.cards import print_link, region_words
from archgen.outputs.archive.context import Context, also_used
from archgen.outputs.archive.lists import Card, CardList, ListEntry, Order, card_list, month_of
from archgen.outputs.site_pages import picture
from archgen.pieces.overview import PieceOverview
from archgen.pieces.versions import VersionOverview
from archgen.wording.pieces import Mark, version_number, version_size

OneStencil = tuple[PieceOverview, VersionOverview]


def stencil_list(context: Context) -> CardList[OneStencil]:
    """Make the list of all stencils, those that went on skin first, then newest."""
    entries = [
        _stencil_entry(context, overview, version)
        for overview in context.overviews.values()
        for version in overview.versions
    ]
    groups = (("skin", say("On the skin")), ("subject", say("Subject")), ("placement", say("Placement")))
    orders = (
        Order("applied", say("On the skin first"), say("the versions that went on skin first")),
        Order("newest", say("Newest first"), say("newest first")),
        Order("title", say("By title"), say("by title")),
        Order("largest", say("Widest first"), say("widest first")),
    )
    return card_list(entries, groups, orders)


def _stencil_entry(context: Context, overview: PieceOverview, version: VersionOverview) -> ListEntry[OneStencil]:
    stencil, record = version.stencil, overview.record
    size = version_size(version, context.units)
    card = _stencil_card(context, overview, version, size)
    subjects = record.subjects if record else ()
    traits = {
        "skin": (say("on the skin") if version.is_applied else say("not used"),),
        "subject": subjects,
        "placement": (region_words(record),) if record else (),
    }
    day = overview.finished_on
    newest = (-day.toordinal() if day else 0, overview.id, -(stencil.version or 0), stencil.file)
    sorted_by = {
        "applied": (not version.is_applied, newest),
        "newest": newest,
        "title": (overview.title.lower(), newest),
        "largest": (-(stencil.width or 0), newest),
    }
    return ListEntry(card, (overview, version), traits, sorted_by, month_of(day))


def _stencil_card(context: Context, overview: PieceOverview, version: VersionOverview, size: str) -> Card:
    stencil, name = version.stencil, version_number(version.stencil)
    alt = say("Stencil of {title}, {name}", title=overview.title, name=within(name))
    return Card(
        href=f"{context.piece_pages[overview.id]}#{quote(version.anchor)}",
        title=overview.title,
        picture=picture(version.facts.screen, alt, wanted_px=600) if version.facts else None,
        drawing=True,
        longest_mm=max(stencil.width or 0, version.height_mm or 0) or None,
        lines=(f"{name} · {size}",),
        soft=stencil.note,
        marks=() if version.is_described else (Mark("check-ask", say("Not described in the record"), asks=True),),
        applied=version.is_applied,
        mirrored=stencil.mirrored,
        also=also_used(context, version.elsewhere),
        to_print=print_link(overview, version, context.units),
    )
