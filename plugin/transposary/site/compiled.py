"""Compiled templates, kept in memory from one build of `serve` to the next.

They are never kept on disk: compiled templates are programs, and a cache may be a stranger's.
"""

from __future__ import annotations

from jinja2 import BytecodeCache
from jinja2.bccache import Bucket


class Compiled(BytecodeCache):
    """Code of templates by name, as long as their source stays as it is."""

    def __init__(self) -> None:
        self._kept: dict[str, bytes] = {}

    def load_bytecode(self, bucket: Bucket) -> None:
        """Gives a bucket what is kept for it; it looks itself whether the source is the same."""
        if bucket.key in self._kept:
            bucket.bytecode_from_string(self._kept[bucket.key])

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keeps what was compiled."""
        self._kept[bucket.key] = bucket.bytecode_to_string()
