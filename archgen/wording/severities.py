"""What a finding asks for, in words; the three kinds say what to do, not how bad it is."""

from archgen.findings import Severity
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
