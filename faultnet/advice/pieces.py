"""Evidence taken apart: what was said of the site and in the open round, piece by piece."""

import msgspec

from faultnet.advice.observe import counted
from faultnet.model.evidence import Answer, Evidence, Round, Taken


class Piece(msgspec.Struct, frozen=True):
    """One piece of evidence of the open round, or of the site."""

    about: str
    answer: str
    what: Answer | Taken | None = None


def pieces_of(evidence: Evidence) -> list[Piece]:
    """Return what is known of the site, then what was told and measured in the open round."""
    pieces = [Piece(layout, value) for layout, value in evidence.layout.items()]
    pieces += [Piece(c, "yes" if held else "no") for c, held in evidence.circumstances.items()]
    pieces += [Piece(a.finding, a.answer, a) for a in counted(evidence.now)]
    pieces += [Piece(t.reading, "as measured", t) for t in evidence.now.taken]
    return pieces


def only(evidence: Evidence, pieces: list[Piece]) -> Evidence:
    """Return the evidence of earlier rounds, and of the present only some pieces."""
    kept = {p.about for p in pieces if p.what is None}
    now = Round(
        tuple(p.what for p in pieces if isinstance(p.what, Answer)),
        tuple(p.what for p in pieces if isinstance(p.what, Taken)),
    )
    return Evidence(
        (*evidence.rounds[:-1], now),
        {k: v for k, v in evidence.layout.items() if k in kept},
        {k: v for k, v in evidence.circumstances.items() if k in kept},
    )
