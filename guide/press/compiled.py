"""Templates compiled once: for every renderer of a run, every save in a preview, and, kept, for later runs."""

from __future__ import annotations

import marshal
from collections.abc import Mapping
from dataclasses import dataclass
from types import CodeType

from jinja2 import BytecodeCache
from jinja2.bccache import Bucket

__all__ = ["COMPILED", "Templates"]


@dataclass(frozen=True, slots=True)
class Templates:
    """Templates compiled, to be kept between runs: the digest of the text and the code, as bytes, by key."""

    compiled: Mapping[str, tuple[str, bytes]]


class _Compiled(BytecodeCache):
    """Templates compiled in this process, by text: several renderers, and every save in a preview, use the same."""

    def __init__(self) -> None:
        self.found: dict[str, tuple[str, CodeType | bytes]] = {}
        self.is_new = False  # something was compiled in this run

    def load_bytecode(self, bucket: Bucket) -> None:
        checksum, code = self.found.get(bucket.key, ("", None))
        if checksum == bucket.checksum and code is not None:
            bucket.code = marshal.loads(code) if isinstance(code, bytes) else code
            self.found[bucket.key] = checksum, bucket.code

    def dump_bytecode(self, bucket: Bucket) -> None:
        if bucket.code is not None:
            self.found[bucket.key], self.is_new = (bucket.checksum, bucket.code), True

    def kept(self) -> Templates:
        """Return all that were compiled."""
        return Templates(
            {
                key: (checksum, code if isinstance(code, bytes) else marshal.dumps(code))
                for key, (checksum, code) in self.found.items()
            }
        )

    def take(self, templates: Templates) -> None:
        """Use what the same program compiled in an earlier run."""
        self.found = {**templates.compiled, **self.found}


COMPILED = _Compiled()
