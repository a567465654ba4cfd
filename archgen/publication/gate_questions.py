"""What the gate asks beside the right itself: credit, a screen's maker, a model's terms, and the people shown.

The second half of the table in `gate_table`: a yes of these rows changes nothing, anything else counts beside the
right. A person who can be recognised is a question of its own (PEOPLE), which no right to the picture answers. A
record-keeping aid, not a legal opinion. Data only.
"""

from archgen.publication.gate import Condition, PersonAnswer, ask, for_all, no, yes
from archgen.publication.gate_table import ADD_TERMS, CC, CONTRACT, IPTC, PRACTICE
from archgen.records.model import Likeness

_MAKER = "It is a picture of a screen: who made what is on it?"
CREDIT = Condition(
    yes(),
    ask("The licence asks for credit, and no creator is recorded."),
    ask("The licence asks for credit, and no creator is recorded."),
    changed_by='Add creator = "the name as the creator gives it"; the portfolio then shows the credit.',
    source=CC,
)
SCREEN_CAPTURE = Condition(
    ask(_MAKER),
    ask(_MAKER),
    ask(_MAKER),
    changed_by='Add creator = "..." with whoever made it, yourself if it was you.',
    source=f"{IPTC} screenCapture",
)
MODEL_USED = Condition(
    yes(),
    ask("A trained model had a part in it: do its terms let the picture be shown? If so, say so beside it."),
    yes(),
    changed_by="Read the terms of the system, then write in allows what they allow.",
    source=IPTC,
)
MODEL_TERMS = Condition(
    ask("A trained model had a part in it, and its system or terms aren't recorded."),
    yes(),
    yes(),
    changed_by=ADD_TERMS,
    source=IPTC,
)

_PERSON = "A person can be recognised, and the right to the picture doesn't answer for that person."
_WHO = "It may show somebody who can be recognised, and nothing is written down about that."
_SAY_WHO = 'Look, then set likeness = "none", "client", "consented", "public-figure", "minor" or "unknown".'
_ASK_PERSON = 'Ask that person and set likeness = "consented"; whether you need to differs by place, so ask locally.'
_LAW = "Creative Commons 4.0 legal code, section 2(b)(1); rights of publicity and privacy differ by place"


# A person is cleared by nothing but an answer about the person: no licence, letter, override or setting.
PEOPLE: dict[PersonAnswer, Condition] = {
    PersonAnswer.NOBODY: Condition(
        *for_all(yes()), changed_by="Somebody who can be recognised after all.", source=_LAW
    ),
    PersonAnswer.CLIENT: Condition(
        yes("The client is shown, who wears it."),
        ask("The client is shown: does their release cover this picture too?"),
        yes("The client is shown, whose own release counts."),
        changed_by="The client's release.",
        source=PRACTICE,
    ),
    PersonAnswer.CLIENT_NOT_ASKED: Condition(
        yes("The client is shown, who wears it."),
        no("The client is shown and hasn't agreed."),
        ask("The client is shown in the reference, and there is no release that says they agree."),
        changed_by='Ask the client, then write the answer under [release]: status = "granted", scope = ["portfolio"].',
        source=PRACTICE,
    ),
    PersonAnswer.CONSENTED: Condition(
        *for_all(yes("The person shown agreed.")),
        changed_by="The person takes it back.",
        source=_LAW,
    ),
    PersonAnswer.PUBLIC_FIGURE: Condition(
        ask(_PERSON),
        no(_PERSON),
        no(f"{_PERSON} Being well known doesn't change that everywhere."),
        changed_by=_ASK_PERSON,
        source=_LAW,
    ),
    PersonAnswer.UNKNOWN: Condition(
        ask(_PERSON),
        no(_PERSON),
        no(_PERSON),
        changed_by=_ASK_PERSON,
        source=_LAW,
    ),
    PersonAnswer.MINOR: Condition(
        ask("A minor is shown: ask a parent or guardian, and keep it in the studio."),
        no("A minor is shown: it stays in the studio."),
        no("A minor is shown: it stays in the studio."),
        changed_by="Nothing. Ask a parent or guardian before you use it, and set publish = false.",
        source=_LAW,
    ),
    PersonAnswer.SILENT: Condition(ask(_WHO), no(_WHO), ask(_WHO), changed_by=_SAY_WHO, source=_LAW),
    PersonAnswer.NOT_UNDERSTOOD: Condition(
        ask("What you wrote about people shown isn't understood."),
        no("What you wrote about people shown isn't understood."),
        ask("What you wrote about people shown isn't understood."),
        changed_by=_SAY_WHO,
        source=CONTRACT,
    ),
}

KIND_OF_LIKENESS: dict[Likeness, PersonAnswer] = {
    Likeness.NONE: PersonAnswer.NOBODY,
    Likeness.CLIENT: PersonAnswer.CLIENT,
    Likeness.CONSENTED: PersonAnswer.CONSENTED,
    Likeness.PUBLIC_FIGURE: PersonAnswer.PUBLIC_FIGURE,
    Likeness.MINOR: PersonAnswer.MINOR,
    Likeness.UNKNOWN: PersonAnswer.UNKNOWN,
}
