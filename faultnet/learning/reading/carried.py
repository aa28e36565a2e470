"""Knowledge as it is carried along to whoever reads cases with it: packed once, unpacked once."""

import zlib
from functools import lru_cache

import msgspec

from faultnet.advice.subject import Subject, make_subject
from faultnet.model.knowledge import Knowledge


def packed(knowledge: Knowledge) -> bytes:
    """Return the knowledge as bytes."""
    return zlib.compress(msgspec.msgpack.encode(knowledge))


@lru_cache(maxsize=2)
def unpacked(data: bytes) -> Knowledge:
    """Return the knowledge that was packed."""
    return msgspec.msgpack.decode(zlib.decompress(data), type=Knowledge)


@lru_cache(maxsize=8)
def subject_in(data: bytes, system: str) -> Subject:
    """Return a system of the knowledge that was packed; raise ``UnknownNameError``."""
    return make_subject(unpacked(data), system)
