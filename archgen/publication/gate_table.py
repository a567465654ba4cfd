"""The gate as one table: for each kind of right what may be done with a reference, and what could change that.

The three questions: may it be a reference for a tattoo, may the reference itself be shown, may a photo of the
finished tattoo be shown. A record-keeping aid, not a legal opinion; a lawyer should be able to read it from top to
bottom. What is asked beside the right, above all about people shown, stands in `gate_questions`.

Sources of the rows: Creative Commons 4.0 deeds and legal code (section 2(b)(1): a free licence clears no person);
RightsStatements.org 1.0, the published English definition of each statement; IPTC NewsCodes "digitalsourcetype".
Rows marked "common practice" have no other source. Data only: what picks a row is in `rights`.
"""

from archgen.publication.gate import (
    Answer,
    Cell,
    LiftedBy,
    RightKind,
    Row,
    SettledBy,
    ask,
    for_all,
    no,
    yes,
)

PRACTICE = "common practice, no source"
CC = "Creative Commons 4.0 deed and legal code"
_RS = "RightsStatements.org 1.0, definition"
IPTC = "IPTC NewsCodes digitalsourcetype"
CONTRACT = "the archive's own rule"

_LETTER = (
    'Ask the rights holder, link the answer with permission = "references/letter.pdf" and write in allows what it '
    "allows."
)
_RECORD = 'Ask, then write the answer: allows = ["tattoo", "show-tattoo"] with what is allowed, or allows = [].'
ADD_TERMS = 'Add ai_system = "name and version" and ai_terms = "https://..." (the terms you agreed to).'
_ADD_RIGHT = (
    'Add license = "CC-BY-4.0" (or what it is), "own-work", or permission = "references/letter.pdf" with what it '
    "allows."
)


def _unrecorded(words: str) -> tuple[Cell, Cell, Cell]:
    return ask(words), no(words), no(words)


_NC = "The licence leaves out commercial use, and paid work and a portfolio are commercial."
_ND = "The licence doesn't let changed versions be shared, and a tattoo after it is one."
_CREDIT = "Keep the credit."
_MADE_FOR_YOU = "It was made for you, and nothing in writing says what you may do with it."
_BROUGHT = "The client brought it, with nothing in writing. Who made it, and is a tattoo after it all right with them?"
_NO_TERMS = "A trained model had a part in it, and its system or terms aren't recorded."

# What you write in allows is your answer to all three questions: what it doesn't name isn't allowed, whatever the row
# says, for your own work and for a free licence too. Nobody but you (or a paper) knows why you left it out.
LEFT_OUT = Cell(Answer.NO, "What you recorded as allowed leaves this out.")
NOTHING_ALLOWED = Cell(Answer.NO, "You recorded that nothing is allowed.")
NAME_IT = "If it is allowed, add it to allows."

TABLE: dict[RightKind, Row] = {
    # ------------------------------------------------------------ what you or somebody told the studio
    RightKind.OWN: Row(
        *for_all(yes()),
        rests_on="your own word that you made it",
        changed_by="Somebody else's claim to it, also one in the file.",
        source=PRACTICE,
    ),
    RightKind.PERMISSION: Row(
        ask("Does the paper allow a tattoo after it?"),
        ask("Does the paper allow showing the reference itself?"),
        ask("Does the paper allow showing the finished tattoo?"),
        rests_on="a letter or receipt, as far as you recorded what it allows",
        changed_by='Read it, then write in allows what it allows: "tattoo", "show-reference", "show-tattoo"; or [].',
        source=PRACTICE,
    ),
    RightKind.COMMISSIONED: Row(
        ask(_MADE_FOR_YOU),
        no("Nothing in writing says that it may be shown."),
        ask(_MADE_FOR_YOU),
        rests_on="the artist's recorded answer, or a letter",
        changed_by=f"{_RECORD} Better still, link what was agreed with permission.",
        source=PRACTICE,
    ),
    RightKind.CLIENT_SUPPLIED: Row(
        ask(_BROUGHT),
        no("Nothing in writing says that it may be shown."),
        ask(_BROUGHT),
        rests_on="the artist's recorded answer, or a letter",
        changed_by=_RECORD,
        source=PRACTICE,
    ),
    RightKind.STOCK: Row(
        ask("Does the paid licence allow a drawing after it on skin?"),
        no("Most paid licences don't let the picture be shown by itself."),
        ask("Does the paid licence allow showing work made from it?"),
        rests_on="the terms of the licence, as far as you recorded what they allow",
        changed_by="Read the terms, then write in allows what they allow.",
        source=PRACTICE,
    ),
    # ------------------------------------------------------------ licences anybody may use
    RightKind.DEDICATED: Row(
        *for_all(yes("Its maker gave up the rights.")),
        rests_on="the dedication",
        changed_by="Proof that whoever gave it away wasn't its maker.",
        source="CC0 1.0 deed; CC-PDDC; PDDL 1.0",
    ),
    RightKind.PUBLIC_DOMAIN: Row(
        *for_all(yes("Marked as free of known copyright.")),
        rests_on="the mark",
        changed_by="A claim to copyright where you work.",
        source="Public Domain Mark 1.0 deed",
    ),
    RightKind.CC_BY: Row(
        yes(_CREDIT),
        yes("Give credit, link the licence and say that it was changed where it was."),
        yes(_CREDIT),
        rests_on="the licence",
        changed_by="Credit that is left out ends the licence.",
        source=CC,
    ),
    RightKind.CC_BY_SA: Row(
        yes(_CREDIT),
        yes("Give credit, link the licence, and share changes under the same one."),
        ask("Sharing what was made from it may call for the same licence on your photo: is that all right with you?"),
        rests_on="the licence",
        changed_by=_RECORD,
        source=CC,
    ),
    RightKind.CC_BY_NC: Row(
        ask(_NC),
        no(_NC),
        no(_NC),
        rests_on="a permission beyond the licence",
        changed_by=_LETTER,
        source=CC,
        lifted_by=LiftedBy.OVERRIDE,
    ),
    RightKind.CC_BY_NC_SA: Row(
        ask(_NC),
        no(_NC),
        no(_NC),
        rests_on="a permission beyond the licence",
        changed_by=_LETTER,
        source=CC,
        lifted_by=LiftedBy.OVERRIDE,
    ),
    RightKind.CC_BY_ND: Row(
        ask(_ND),
        yes("Unchanged and with credit."),
        no(_ND),
        rests_on="the licence for the picture itself; a permission beyond it for a tattoo",
        changed_by=_LETTER,
        source=CC,
        lifted_by=LiftedBy.OVERRIDE,
    ),
    RightKind.CC_BY_NC_ND: Row(
        ask(_ND),
        no(_NC),
        no(_ND),
        rests_on="a permission beyond the licence",
        changed_by=_LETTER,
        source=CC,
        lifted_by=LiftedBy.OVERRIDE,
    ),
    RightKind.OTHER_LICENCE: Row(
        ask("Does this licence allow a drawing after it on skin?"),
        no("What this licence asks for when the picture is shown isn't recorded."),
        ask("Does this licence allow showing work made from it?"),
        rests_on="the licence, as far as you recorded what it allows",
        changed_by="Read the licence, then write in allows what it allows.",
        source="SPDX License List",
    ),
    RightKind.RESERVED: Row(
        no("All rights are reserved: not without a permission."),
        no("All rights are reserved."),
        no("All rights are reserved, and showing a tattoo made from it is disputed ground."),
        rests_on="a permission",
        changed_by=_LETTER,
        source=PRACTICE,
        lifted_by=LiftedBy.OVERRIDE,
    ),
    # ------------------------------------------------------------ RightsStatements.org, one sentence each
    RightKind.INC: Row(
        no("In copyright: beyond what the law itself allows, the rights holder has to agree."),
        no("In copyright: the rights holder has to agree."),
        no("In copyright: the rights holder has to agree, and a tattoo made from it is disputed ground."),
        rests_on="a permission",
        changed_by=_LETTER,
        source=f"{_RS} InC",
        lifted_by=LiftedBy.OVERRIDE,
    ),
    RightKind.INC_OW_EU: Row(
        ask(
            "In copyright; a search registered in the EU found no rights holder, which lets libraries show it, not you."
        ),
        no("An orphan work in the EU: libraries and archives may show it, a studio isn't one."),
        ask("In copyright; nobody was found who could say yes to a tattoo being shown."),
        rests_on="the artist's recorded answer, or a letter",
        changed_by=_RECORD,
        source=f"{_RS} InC-OW-EU; Directive 2012/28/EU",
    ),
    RightKind.INC_EDU: Row(
        ask("In copyright; free for teaching and learning only. A paid tattoo needs the rights holder's yes."),
        no("In copyright; free for teaching and learning, which a portfolio isn't."),
        ask("In copyright; free for teaching and learning only. Did the rights holder agree to more?"),
        rests_on="a permission beyond the statement",
        changed_by=_LETTER,
        source=f"{_RS} InC-EDU",
    ),
    RightKind.INC_NC: Row(
        ask("In copyright; free for non-commercial use only, and a paid tattoo is a commercial question."),
        no("In copyright; free for non-commercial use only, and a portfolio advertises a business."),
        no("In copyright; free for non-commercial use only, and a portfolio advertises a business."),
        rests_on="a permission beyond the statement",
        changed_by=_LETTER,
        source=f"{_RS} InC-NC",
        lifted_by=LiftedBy.OVERRIDE,
    ),
    RightKind.INC_RUU: Row(
        ask("In copyright; the rights holder isn't known or can't be found, so nobody has said yes."),
        no("In copyright, and nobody was found who could say yes."),
        ask("In copyright; the rights holder isn't known or can't be found, so nobody has said yes to showing it."),
        rests_on="the artist's recorded answer, or a letter",
        changed_by=_RECORD,
        source=f"{_RS} InC-RUU",
    ),
    RightKind.NOC_CR: Row(
        ask(
            "No copyright, but whoever holds the original promised in a contract to limit its use: what does it limit?"
        ),
        no("No copyright, but a contract limits its use."),
        ask("No copyright, but a contract limits its use: does it allow showing work made from it?"),
        rests_on="the terms of whoever holds the original, as far as you recorded what they allow",
        changed_by="Read the terms of the place it comes from, then write in allows what they allow.",
        source=f"{_RS} NoC-CR",
    ),
    RightKind.NOC_NC: Row(
        ask("No copyright, but by contract this scan is for non-commercial use only, and a paid tattoo is commercial."),
        no("No copyright, but by contract this scan is for non-commercial use only."),
        no("No copyright, but by contract this scan is for non-commercial use only, and a portfolio isn't."),
        rests_on="a permission of whoever made the scan",
        changed_by="Look for another copy of the same work without that contract, or ask whoever made this scan.",
        source=f"{_RS} NoC-NC",
        lifted_by=LiftedBy.OVERRIDE,
    ),
    RightKind.NOC_OKLR: Row(
        ask("No copyright, but another law limits its use, such as one on heritage or on the art of a people: which?"),
        no("No copyright, but another law limits its use."),
        ask("No copyright, but another law limits its use: does it allow showing a tattoo made from it?"),
        rests_on="the artist's recorded answer, or a letter",
        changed_by="Read what the place it comes from says of that law, then write in allows what may be done.",
        source=f"{_RS} NoC-OKLR",
    ),
    RightKind.NOC_US: Row(
        ask("No copyright in the United States; elsewhere nobody has looked. Is it free where you work?"),
        ask("No copyright in the United States; elsewhere nobody has looked, and a website is seen elsewhere."),
        ask("No copyright in the United States; elsewhere nobody has looked. Is it free where you show your work?"),
        rests_on="the artist's recorded answer that it is free where the work is made and shown",
        changed_by=_RECORD,
        source=f"{_RS} NoC-US",
    ),
    RightKind.CNE: Row(
        ask("The place it comes from hasn't looked into its copyright."),
        no("The place it comes from hasn't looked into its copyright."),
        ask(
            "The place it comes from hasn't looked into its copyright: find out before you show a tattoo made from it."
        ),
        rests_on="the artist's recorded answer, or a letter",
        changed_by=_RECORD,
        source=f"{_RS} CNE",
    ),
    RightKind.UND: Row(
        ask("Its copyright was looked into, and facts were missing to decide."),
        no("Its copyright was looked into and couldn't be decided."),
        ask("Its copyright was looked into and couldn't be decided: do you know more?"),
        rests_on="the artist's recorded answer, or a letter",
        changed_by=_RECORD,
        source=f"{_RS} UND",
    ),
    RightKind.NKC: Row(
        ask("Probably without copyright, though that couldn't be settled for good: is that enough for you?"),
        no("Probably without copyright, though that couldn't be settled for good."),
        ask("Probably without copyright, though that couldn't be settled for good: is that enough to show it?"),
        rests_on="the artist's recorded answer, or a letter",
        changed_by=_RECORD,
        source=f"{_RS} NKC",
    ),
    # ------------------------------------------------------------ trained models, merged and edited pictures
    RightKind.AI_MADE: Row(
        yes(),
        ask("Do the terms of the system let the picture be shown? If so, say that a model made it."),
        yes("Say that a trained model was used."),
        rests_on="the terms of the system",
        changed_by="Other terms: they differ from version to version.",
        source=f"{IPTC} trainedAlgorithmicMedia; {PRACTICE}",
    ),
    RightKind.AI_NO_TERMS: Row(
        ask(_NO_TERMS),
        no(_NO_TERMS),
        ask(_NO_TERMS),
        changed_by=ADD_TERMS,
        source=f"{IPTC} trainedAlgorithmicMedia; {PRACTICE}",
        settled_by=SettledBy.PAPER,
    ),
    # Your own picture with a model's part in it: your word answers for the one, the terms for the other, and the record
    # names nothing else that went into it. Somebody else's picture in it belongs in made_from, and then counts.
    RightKind.OWN_AND_MODEL: Row(
        yes(),
        ask("Do the terms of the system let the picture be shown? If so, say that a model had a part in it."),
        yes("Say that a trained model was used."),
        rests_on="your own word that you made it, and the terms of the system",
        changed_by="A picture of somebody else in it: name it in made_from, and its right counts too.",
        source=f"{IPTC} compositeWithTrainedAlgorithmicMedia, compositeSynthetic; {PRACTICE}",
    ),
    RightKind.EDIT: Row(
        ask("It was changed or merged, and stands on the right of what it was made from, which isn't recorded."),
        no("It was changed or merged, and what it was made from isn't recorded."),
        no("It was changed or merged, and stands on the right of what it was made from, which isn't recorded."),
        changed_by=(
            'Name what it was made from: made_from = ["references/..."], each with its own [[reference]]. '
            'If a model made all of it: digital_source = "trainedAlgorithmicMedia" with ai_system and ai_terms.'
        ),
        source=f"{IPTC} composite, compositeWithTrainedAlgorithmicMedia, compositeSynthetic",
        settled_by=SettledBy.PAPER,
    ),
    RightKind.INHERITED: Row(
        *for_all(yes()),
        rests_on="the rights of all it was made from; the strictest counts",
        changed_by="Whatever changes the right of one of them.",
        source=CONTRACT,
    ),
    RightKind.NO_SUCH_SOURCE: Row(
        ask("It was made from something that isn't listed among the references, so no right is recorded."),
        no("It was made from something no right is recorded for."),
        no("It was made from something that isn't listed among the references, so no right is recorded."),
        changed_by="Add a [[reference]] for it, with its file or its link as source, and its right.",
        source=CONTRACT,
        settled_by=SettledBy.PAPER,
    ),
    RightKind.CIRCULAR: Row(
        *_unrecorded("It is recorded as made from itself, which can't be."),
        changed_by="Take the entry out of made_from that leads back.",
        source=CONTRACT,
        settled_by=SettledBy.CORRECTION,
        lifted_by=LiftedBy.NOTHING,
    ),
    # ------------------------------------------------------------ no right, or not now
    RightKind.UNKNOWN: Row(
        ask("You recorded that the right isn't known."),
        no("The right isn't known."),
        no("You recorded that the right isn't known."),
        changed_by=_ADD_RIGHT,
        source=CONTRACT,
        settled_by=SettledBy.PAPER,
    ),
    RightKind.MISSING: Row(
        *_unrecorded("No right is recorded."),
        changed_by=_ADD_RIGHT,
        source=CONTRACT,
        settled_by=SettledBy.PAPER,
    ),
    RightKind.NO_PAPER: Row(
        *_unrecorded("No letter or receipt is linked, and this right needs one."),
        changed_by='Put the letter or receipt beside the reference and add permission = "references/letter.pdf".',
        source=CONTRACT,
        settled_by=SettledBy.PAPER,
    ),
    RightKind.UNDESCRIBED: Row(
        ask("It lies among the references and isn't described, so no right is recorded."),
        no("It isn't described, so no right is recorded."),
        no("It lies among the references and isn't described, so no right is recorded. Did you draw from it?"),
        changed_by=(
            "If you only looked at it, add [[reference]] with its file and used = false. If you drew from it, add its "
            "right: license and where it came from. If it is a letter, link it with permission. Or move it elsewhere."
        ),
        source=CONTRACT,
        settled_by=SettledBy.PAPER,
    ),
    RightKind.NOT_YET: Row(
        *_unrecorded("The right hasn't begun yet."),
        changed_by="Check the day in obtained; before it no right is recorded.",
        source=CONTRACT,
        settled_by=SettledBy.CORRECTION,
        lifted_by=LiftedBy.OVERRIDE,
    ),
    RightKind.ENDED: Row(
        no("The right has ended: no new use."),
        no("The right has ended."),
        no("The right has ended."),
        changed_by="Renew it and correct expires; or take expires out, if only the use for new work has ended.",
        source=PRACTICE,
        settled_by=SettledBy.CORRECTION,
        lifted_by=LiftedBy.OVERRIDE,
    ),
    RightKind.NOT_UNDERSTOOD: Row(
        *_unrecorded("What you wrote about the right isn't understood."),
        changed_by="Correct the word; nothing else lifts it.",
        source=CONTRACT,
        settled_by=SettledBy.CORRECTION,
        lifted_by=LiftedBy.NOTHING,
    ),
}

# The rows of the words a record may use; Creative Commons licences are found by their terms.
KIND_OF_WORD: dict[str, RightKind] = {
    "own-work": RightKind.OWN,
    "permission": RightKind.NO_PAPER,  # until its paper is there
    "commissioned": RightKind.COMMISSIONED,
    "client-supplied": RightKind.CLIENT_SUPPLIED,
    "stock": RightKind.STOCK,
    "all-rights-reserved": RightKind.RESERVED,
    "unknown": RightKind.UNKNOWN,
    "InC": RightKind.INC,
    "InC-OW-EU": RightKind.INC_OW_EU,
    "InC-EDU": RightKind.INC_EDU,
    "InC-NC": RightKind.INC_NC,
    "InC-RUU": RightKind.INC_RUU,
    "NoC-CR": RightKind.NOC_CR,
    "NoC-NC": RightKind.NOC_NC,
    "NoC-OKLR": RightKind.NOC_OKLR,
    "NoC-US": RightKind.NOC_US,
    "CNE": RightKind.CNE,
    "UND": RightKind.UND,
    "NKC": RightKind.NKC,
    "CC-PDM-1.0": RightKind.PUBLIC_DOMAIN,
}
KIND_OF_TERMS: dict[frozenset[str], RightKind] = {
    frozenset({"BY"}): RightKind.CC_BY,
    frozenset({"BY", "SA"}): RightKind.CC_BY_SA,
    frozenset({"BY", "NC"}): RightKind.CC_BY_NC,
    frozenset({"BY", "NC", "SA"}): RightKind.CC_BY_NC_SA,
    frozenset({"BY", "ND"}): RightKind.CC_BY_ND,
    frozenset({"BY", "NC", "ND"}): RightKind.CC_BY_NC_ND,
}
# Rows in which no right stands in the record at all.
NOT_RECORDED = frozenset(kind for kind, row in TABLE.items() if not row.rests_on and kind is not RightKind.ENDED)
