"""The theme's templates, compiled once for all builds of a preview."""

from __future__ import annotations

from jinja2 import BytecodeCache
from jinja2.bccache import Bucket


class Compiled(BytecodeCache):
    """Keeps what Jinja compiles in memory; Jinja itself tells by a checksum whether it still fits."""

    def __init__(self) -> None:
        self._kept: dict[str, bytes] = {}

    def load_bytecode(self, bucket: Bucket) -> None:
        """Give Jinja what it has compiled before."""
        if bucket.key in self._kept:
            bucket.bytecode_from_string(self._kept[bucket.key])

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep what Jinja has compiled."""
        self._kept[bucket.key] = bucket.bytecode_to_string()
