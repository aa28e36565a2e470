"""Where the thinking of the page starts: the compiled knowledge in, what answers out."""

import msgspec

from faultnet.model.knowledge import Knowledge
from faultnet.pocket.talk.answering import Talking


def started(knowledge: bytes) -> Talking:
    """Return what answers; raise ``msgspec.DecodeError`` where the knowledge is of another make."""
    return Talking(msgspec.msgpack.decode(knowledge, type=Knowledge))
