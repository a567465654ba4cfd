"""What stands around the drawing on every printed sheet: head, rules, test letters, caution; knows mm and words."""

from archgen.languages.house import say, to_say
from archgen.printing import drawing
from archgen.printing.page import HEAD_MM, Printer, Sheet
from archgen.printing.typesetting import SetWord
from archgen.values.frozen import Value

TEST_LETTERS = "F R 7"
CAUTION = to_say("Check the rule before the stencil touches skin.")
# The corner where both rules meet lies this far outside the drawing, so that no tick touches it.
_CORNER_MM = 2.0


class Heading(Value, frozen=True):
    """The words at the head of a sheet: the work, what is printed of it, which way round, and why."""

    title: str
    detail: str
    hand: str
    reason: str
    caution: str = ""


class Furniture(Value, frozen=True):
    """Words and operators of one sheet, and where the free end of its foot begins."""

    words: tuple[SetWord, ...]
    operators: tuple[str, ...]
    foot_left: float


def furnish(sheet: Sheet, heading: Heading, *, mirrored_letters: bool | None, machine: str) -> Furniture:
    """Make the furniture of one sheet.

    Args:
        sheet: The sheet.
        heading: What the head says.
        mirrored_letters: How the test letters are printed so that they read right on skin; None leaves them out.
        machine: The last line: printer, paper, sheet number.
    """
    inside, area = sheet.content, sheet.drawing
    length = round(sheet.rule_mm)
    x, y = area.left - _CORNER_MM, area.bottom + _CORNER_MM
    across, across_names = drawing.rule_across(x, y, length)
    upward, upward_names = drawing.rule_up(x, y, length)
    head = inside.top + HEAD_MM - 3
    # Between two named marks: 50 and 100, or the ends of a short rule.
    middle = length * (0.75 if length > 50 else 0.5)
    words = [
        *_head(sheet, heading),
        *across_names,
        *upward_names,
        SetWord(say("must measure {length} mm", length=length), x - 4.2, y - middle + 8.2, 6.5, turned=True),
        SetWord(say("must measure {length} mm", length=length), x + middle, y + 5.6, 6.5, "centre"),
        SetWord(heading.caution or say(CAUTION), x, y + 9.4, 9.5, style="italic", width=length),
        SetWord(machine, x, y + 12.6, 6.5, width=length),
    ]
    foot = x + length + 6
    if mirrored_letters is not None:
        words += [
            SetWord(TEST_LETTERS, foot + 7, y + 5.4, 17, "centre", mirrored=mirrored_letters),
            SetWord(say("reads {letters}", letters=TEST_LETTERS), foot + 7, y + 9.4, 6.5, "centre"),
            SetWord(say("on skin"), foot + 7, y + 12, 6.5, "centre"),
        ]
    ruled = drawing.lines([(inside.left, head, inside.right, head)], drawing.FRAME_MM)
    return Furniture(tuple(words), (*ruled, *across, *upward), foot + 17)


def _head(sheet: Sheet, heading: Heading) -> list[SetWord]:
    inside = sheet.content
    hand_width, reason_width = min(inside.width * 0.38, 60), inside.width * 0.42
    return [
        SetWord(
            heading.title,
            inside.left,
            inside.top + 4.4,
            14,
            style="italic",
            width=inside.width - hand_width - 4,
            role="heading",
        ),
        SetWord(heading.detail, inside.left, inside.top + 8.4, 8, width=inside.width - reason_width - 4),
        SetWord(
            heading.hand,
            inside.right,
            inside.top + 4.4,
            14,
            "right",
            tracking=0.12,
            width=hand_width,
        ),
        SetWord(heading.reason, inside.right, inside.top + 8.4, 8, "right", width=reason_width),
    ]


def machine_line(printer: Printer, sheet: Sheet, number: int, count: int) -> str:
    """Say what the sheet was made for, and which sheet of how many it is."""
    values = {
        "number": number,
        "count": count,
        "paper": sheet.paper.name,
        "dpi": printer.dpi,
        "printer": printer.name,
    }
    if (sheet.factor_x, sheet.factor_y) == (1.0, 1.0):
        return say("Page {number} of {count} · {paper}, {dpi} dpi · printer {printer}", **values)
    return say("Page {number} of {count} · {paper}, {dpi} dpi · printer {printer}, corrected", **values)
