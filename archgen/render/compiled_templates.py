"""Keep templates compiled while the program runs: an archive that is built again is made of the same ones."""

from jinja2 import BytecodeCache
from jinja2.bccache import Bucket


class CompiledTemplates(BytecodeCache):
    """What Jinja made of each template's text last; a changed text is compiled anew.

    Compiled for one kind of environment: the sandbox has its guards in the code.
    """

    def __init__(self) -> None:
        self._kept: dict[str, Bucket] = {}

    def load_bytecode(self, bucket: Bucket) -> None:
        """Hand out what was kept of this very text."""
        kept = self._kept.get(bucket.key)
        if kept is not None and kept.checksum == bucket.checksum:
            bucket.code = kept.code

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep what was made, in place of what was made of an earlier text."""
        self._kept[bucket.key] = bucket
