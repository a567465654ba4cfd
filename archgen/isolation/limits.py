"""How much one piece of work in a child process may take, and how the operating system is told.

Linux counts memory by RLIMIT_DATA: RLIMIT_AS counts libraries and mapped fonts too, which differ from computer to
computer. Windows has no such limits, macOS knows them and does not keep the one on memory; there the clock on the wall
ends what takes too long.
"""

import math
import time
from collections.abc import Iterator
from types import ModuleType
from typing import NamedTuple

import msgspec

try:
    import resource as _resource

    _RESOURCE: ModuleType | None = _resource
except ImportError:  # Windows
    _RESOURCE = None

# Drawings in which groups lie in groups need it; what the C library gives a process (8 MB) ended at 300 of them.
STACK_BYTES = 64 << 20


class WorkLimits(msgspec.Struct, frozen=True):
    """What one piece of work may take.

    Attributes:
        cpu_s: Seconds of processor time.
        memory_bytes: Memory of the child process, its own libraries included.
        wall_s: Seconds on the clock; the parent process ends a child that takes longer.
    """

    cpu_s: float = 10.0
    memory_bytes: int = 450_000_000
    wall_s: float = 120.0


class SystemLimit(NamedTuple):
    """One limit as the operating system takes it: its name in the module resource, and the value."""

    name: str
    value: int


def system_limits(limits: WorkLimits, spent_s: float, names: frozenset[str]) -> Iterator[SystemLimit]:
    """Say what to ask of an operating system that knows these limits, by a process that has spent so much time."""
    wanted = (
        SystemLimit("RLIMIT_CPU", math.ceil(spent_s + limits.cpu_s)),
        SystemLimit("RLIMIT_DATA", limits.memory_bytes),
        # Neither a file nor a picture of the memory is ever written by the child.
        SystemLimit("RLIMIT_FSIZE", 0),
        SystemLimit("RLIMIT_CORE", 0),
    )
    return (one for one in wanted if one.name in names)


def keep_within(limits: WorkLimits) -> None:
    """Ask the operating system to hold this process to limits, as far as it can."""
    if _RESOURCE is None:
        return
    for one in system_limits(limits, time.process_time(), frozenset(dir(_RESOURCE))):
        which = getattr(_RESOURCE, one.name)
        _, most = _RESOURCE.getrlimit(which)
        value = one.value if most == _RESOURCE.RLIM_INFINITY else min(one.value, most)
        _RESOURCE.setrlimit(which, (value, most))
