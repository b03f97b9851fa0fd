"""Archives: the whole site in one zip, to take along.

Written as PKWARE's APPNOTE.TXT 6.3 has it, deflated as RFC 1951. The edition's mark is another in every page whenever a
word has changed anywhere, so it stands in a block of its own that is stored as it is; what lies between such blocks is
packed apart from them, and what was packed in an earlier run is not packed again.
"""

from __future__ import annotations

import io
import pickle
import re
import struct
import zlib
from collections.abc import Mapping, Sequence
from hashlib import sha256
from itertools import groupby
from operator import itemgetter

from guide.press.cache import Cache
from guide.press.fingerprint import program_digest

__all__ = ["ARCHIVE", "zip_of", "zipped"]

ARCHIVE = "guide.zip"
_LOCAL, _CENTRAL, _END = struct.Struct("<4s5H3L2H"), struct.Struct("<4s6H3L5H2L"), struct.Struct("<4s4H2LH")
_NEEDED, _UNIX, _DEFLATED, _IN_UTF_8 = 20, 3 << 8, 8, 0x800
_DAY = 1 << 5 | 1  # 1 January 1980: no file has a time
_READABLE = 0o644 << 16
_LEVEL = 6  # of zlib's: 9 takes a third longer and gains a hundredth
_NEVER = re.compile(rb"(?!)")
_Held = dict[bytes, tuple[bytes, ...]]  # by the digest of a file without its marks, what lies between them, packed


def zip_of(
    site: Mapping[str, bytes], store: Cache | None = None, marks: re.Pattern[bytes] = _NEVER
) -> dict[str, bytes]:
    """Return the whole site as an archive under its name, as `zipped`; one that it has already stays out."""
    return {ARCHIVE: zipped("guide", site, store, marks)}


def zipped(
    folder: str, files: Mapping[str, bytes], store: Cache | None = None, marks: re.Pattern[bytes] = _NEVER
) -> bytes:
    """Return files within a folder as an archive, the same bytes for the same files, whatever is in the ``store``;
    ``marks`` finds what changes in many files at once."""
    stream, directory, number = io.BytesIO(), io.BytesIO(), 0
    names = sorted((name.rpartition("/")[0], name) for name in files.keys() - {ARCHIVE})
    for inside, each in groupby(names, itemgetter(0)):
        key = f"packed {folder}/{inside} {zlib.ZLIB_RUNTIME_VERSION} {'' if store is None else program_digest()}"
        data = None if store is None else store.get(key)
        held, used = pickle.loads(data) if data else _Held(), _Held()
        for _, name in each:
            _add(f"{folder}/{name}".encode(), files[name], marks, held, used, stream, directory)
            number += 1
        if store is not None and used.keys() != held.keys():
            store.put(key, pickle.dumps(used, pickle.HIGHEST_PROTOCOL))
    begins, size = stream.tell(), directory.tell()
    stream.write(directory.getbuffer())
    stream.write(_END.pack(b"PK\5\6", 0, 0, number, number, size, begins, 0))
    return stream.getvalue()


def _add(
    name: bytes,
    data: bytes,
    marks: re.Pattern[bytes],
    held: _Held,
    used: _Held,
    stream: io.BytesIO,
    directory: io.BytesIO,
) -> None:
    """Add a file to an archive and its entry to the directory; what was packed is in ``used`` afterwards."""
    spans = [found.span() for found in marks.finditer(data)]
    ends = [0, *(at for span in spans for at in span), len(data)]
    view = memoryview(data)
    pieces = [view[begin:end] for begin, end in zip(ends[::2], ends[1::2], strict=True)]
    digest = sha256(repr([len(piece) for piece in pieces]).encode())
    for piece in pieces:
        digest.update(piece)
    key = digest.digest()
    used[key] = packed = held.get(key) or _packed(pieces)
    whole: list[bytes | memoryview] = [packed[0]]
    for (begin, end), one in zip(spans, packed[1:], strict=True):
        size = end - begin
        whole += [struct.pack("<BHH", 0, size, size ^ 0xFFFF), view[begin:end], one]
    at, crc, taken = stream.tell(), zlib.crc32(data), sum(map(len, whole))
    flags = 0 if name.isascii() else _IN_UTF_8
    shared = (_NEEDED, flags, _DEFLATED, 0, _DAY, crc, taken, len(data), len(name), 0)
    stream.write(_LOCAL.pack(b"PK\3\4", *shared))
    stream.write(name)
    stream.writelines(whole)
    directory.write(_CENTRAL.pack(b"PK\1\2", _UNIX | _NEEDED, *shared, 0, 0, 0, _READABLE, at))
    directory.write(name)


def _packed(pieces: Sequence[memoryview]) -> tuple[bytes, ...]:
    """Return pieces deflated, so that anything may stand stored between two of them."""
    packer = zlib.compressobj(_LEVEL, zlib.DEFLATED, -zlib.MAX_WBITS)
    found = [packer.compress(piece) + packer.flush(zlib.Z_FULL_FLUSH) for piece in pieces[:-1]]
    return (*found, packer.compress(pieces[-1]) + packer.flush())
