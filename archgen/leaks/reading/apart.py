"""Read what may do harm to its reader in a child process: documents, and all kinds of pictures but JPEG and PNG."""

from dataclasses import fields

from archgen.isolation.child import RaisedError, WorkFailedError, call
from archgen.isolation.limits import WorkLimits
from archgen.leaks.reading.disclosed import Disclosed

# A document of 2,000 pages full of text took 3 s.
_LIMITS = WorkLimits(cpu_s=12.0)
_TASKS = "archgen.leaks.reading"


def read_apart(task: str, content: bytes, found: Disclosed, **arguments: object) -> None:
    """Add what "module:function" of this room discloses of a content; what it fails at is searched as bytes."""
    try:
        told, _ = call(f"{_TASKS}.{task}", Disclosed, _LIMITS, content, **arguments)
    except WorkFailedError as error:
        told = Disclosed(raw=[content], unread=[f"a file that {error.why}"])
    except RaisedError as error:
        told = Disclosed(raw=[content], unread=[f"a file that could not be read ({error.kind})"])
    for one in fields(Disclosed):
        getattr(found, one.name).extend(getattr(told, one.name))
