"""How good the probabilities were at one moment of a case."""

from math import log

import msgspec
import numpy as np

from faultnet.advice.ranking import Beliefs
from faultnet.learning.measures.figures import Mean, Share, Summed, mean, share
from faultnet.learning.measures.grid import Floats, Grid, gridded
from faultnet.network.build import UNLISTED

LEAST = 1e-6
"""What was told to be less likely counts so in log losses, or one miss would outweigh all."""


class Top(Summed, frozen=True):
    """In how many cases a cause stood first, among the first three, and among the first five."""

    one: Share = Share()
    three: Share = Share()
    five: Share = Share()


class Ranked(Summed, frozen=True):
    """Sums over cases with a confirmed cause.

    ``best`` is about the confirmed cause that stood first, ``every`` about the last of several
    (``several`` counts such cases), ``unseen`` is ``best`` where no check had found it. Log loss
    and Brier score are over all causes, each there or not; ``.._expected`` are what they would
    be if every probability were right. ``one_..`` are over cases with one confirmed cause, the
    probabilities of causes taken as shares of one. ``first`` is the probability of the cause
    that stood first, ``listed`` in how many cases the files hold a confirmed cause.
    ``unlisted_told`` and ``unlisted`` are how likely the unlisted cause was told, and how often
    it was. ``ruled_out`` counts cases with a confirmed cause that was told to be impossible,
    ``seen`` those in which a check had found it, ``shortened`` those of which an answer was left
    out, for all together were too much for an exact ranking.
    """

    cases: int = 0
    several: int = 0
    best: Top = Top()
    every: Top = Top()
    unseen: Top = Top()
    log_loss: Mean = Mean()
    log_loss_expected: Mean = Mean()
    brier: Mean = Mean()
    brier_expected: Mean = Mean()
    one_log_loss: Mean = Mean()
    one_brier: Mean = Mean()
    first: Mean = Mean()
    listed: Share = Share()
    unlisted_told: Mean = Mean()
    unlisted: Share = Share()
    ruled_out: int = 0
    seen: int = 0
    shortened: int = 0


class Reliability(Summed, frozen=True):
    """Every probability told at one moment beside what came: of all causes, and of the first."""

    causes: Grid = msgspec.field(default_factory=Grid)
    first: Grid = msgspec.field(default_factory=Grid)


def ranked(beliefs: Beliefs, true: frozenset[str], *, seen: bool) -> tuple[Ranked, Reliability]:
    """Return what one ranking comes to; ``true`` are the confirmed causes, all of them known."""
    names = sorted(beliefs.causes, key=lambda name: (-beliefs.causes[name], name))
    told = np.array([beliefs.causes[name] for name in names])
    came = np.array([name in true for name in names])
    places = sorted(names.index(name) for name in true)
    single = len(true) == 1
    place = places[0]
    figures = Ranked(
        1,
        int(not single),
        _top(place),
        _top(places[-1]),
        Top() if seen else _top(place),
        mean(log_loss(told, came)),
        mean(_entropy(told)),
        mean(float(np.sum((told - came) ** 2))),
        mean(float(np.sum(told * (1.0 - told)))),
        mean(-log(max(_shares(told)[place], LEAST))) if single else Mean(),
        mean(float(np.sum((_shares(told) - came) ** 2))) if single else Mean(),
        mean(float(told[0])),
        share(true != {UNLISTED}),
        mean(beliefs.causes[UNLISTED]),
        share(UNLISTED in true),
        int(float(told[came].min()) <= 0.0),
        int(seen),
    )
    return figures, Reliability(gridded(told, came), gridded(told[:1], came[:1]))


def log_loss(told: Floats, came: np.typing.NDArray[np.bool_]) -> float:
    """Return the log loss over causes, each there or not: natural logarithms, summed."""
    right = np.clip(np.where(came, told, 1.0 - told), LEAST, 1.0)
    return float(-np.log(right).sum())


def _entropy(told: Floats) -> float:
    """The log loss to be expected if every probability is right."""
    inside = told[(told > LEAST) & (told < 1.0 - LEAST)]
    return float(-(inside * np.log(inside) + (1.0 - inside) * np.log1p(-inside)).sum())


def _shares(told: Floats) -> Floats:
    shares: Floats = told / told.sum()
    return shares


def _top(place: int) -> Top:
    return Top(share(place < 1), share(place < 3), share(place < 5))
