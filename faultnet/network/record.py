"""The network of record: one round of a network, written out as plain tables.

Every gate is divorced into a chain, so that no table has more than three parents but
those over the roots of one cause. The variables are called after what they are:

``root``, ``cause``, ``finding``
    as in the network. A cause is ``absent`` or ``present``; a finding with needs has the
    further state ``cannot``.
``cause.of-itself``
    where others bring the cause along: that it came of itself. The cause is then
    present when any of its presences is; ``cause-1`` and so on count up to it.
``cause.with.other``
    that the other, come of itself, brought the cause along. A brought cause is a
    presence of its own: it shows the findings of its cause by throws of its own, and
    brings nothing along in turn.
``finding.0.leak``, ``finding.1.source``, ``finding.2.source``
    the level that the finding has reached with its leak and the sources so far. The
    last of them is the finding itself where nothing can hide or withhold it.
``finding.1.when``, ``finding.shown``, ``finding.takeable``
    that several conditions all hold (``finding.shown-1`` and so on lead up to it).
``trouble``
    how many causes came of themselves, to be conditioned on: see ``TROUBLE``. The steps
    up to it are ``trouble-1`` and so on. Where exactly one cause is there, a cause has
    a weight w in place of a probability (present w to absent 1); its table holds
    w / (1 + w), and the count loses to ``otherwise`` as much as makes up for 1 + w.
"""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from faultnet.network.network import Network
from faultnet.network.recorder import TROUBLE, record_tables

if TYPE_CHECKING:
    from pgmpy.models import DiscreteBayesianNetwork

__all__ = ["TROUBLE", "record_beliefs", "record_network", "record_tables"]


def record_network(network: Network) -> "DiscreteBayesianNetwork":
    """Return the network of record as a model of pgmpy.

    Raises ``ValueError`` where two things of the network share an id.
    """
    from faultnet.network.pgmpy_model import pgmpy_model

    return pgmpy_model(record_tables(network))


def record_beliefs(
    network: Network, evidence: Mapping[str, Mapping[str, float]], targets: Sequence[str]
) -> dict[str, dict[str, float]]:
    """Return P(state | evidence, trouble) of each target; slow, worked out by pgmpy.

    ``evidence`` holds a likelihood by state for each variable, zero where left out.
    Raises ``ValueError`` for evidence that is impossible, ``KeyError`` for what is not
    in the network.
    """
    from faultnet.network.pgmpy_model import pgmpy_beliefs

    known = {variable: {state: 1.0} for variable, state in TROUBLE[network.faults].items()}
    return pgmpy_beliefs(record_tables(network), {**evidence, **known}, targets)
