"""Noisy-OR gates against published numbers, answered by the sweep.

Sources beside each check. The causes are made known through findings that show them
without fail, so their base probabilities drop out; any would do.
"""

import pytest

from faultnet.inference.downsets import Expander
from faultnet.inference.observed import Observed
from faultnet.inference.query import Query
from faultnet.inference.rows import Row
from faultnet.network.network import Cause, Finding, Link, Network
from faultnet.network.record import record_beliefs

NO_YES = ("no", "yes")
SAYS = ((1.0, 0.0), (0.0, 1.0))

ILLNESSES = {"cold": 0.4, "flu": 0.8, "malaria": 0.9}

FEVER = {
    (): 0.0,
    ("cold",): 0.4,
    ("flu",): 0.8,
    ("malaria",): 0.9,
    ("cold", "flu"): 0.88,
    ("cold", "malaria"): 0.94,
    ("flu", "malaria"): 0.98,
    ("cold", "flu", "malaria"): 0.988,
}
"""P(fever) by the illnesses there are; inhibitors .6, .2 and .1.

Russell and Norvig, Artificial Intelligence: A Modern Approach, the noisy-OR example.
From memory, and worked out again: one minus the product of the inhibitors.
"""


def gate(strengths, leak=0.0):
    """A finding ``effect`` and, for each cause, a finding that shows it without fail."""
    causes = tuple(Cause(name, 0.2) for name in strengths)
    seen = tuple(
        Finding(f"{name}-seen", NO_YES, (0.0,), (Link(k, (1.0,)),))
        for k, name in enumerate(strengths)
    )
    links = tuple(Link(k, (s,)) for k, s in enumerate(strengths.values()))
    effect = Finding("effect", NO_YES, (leak,), links)
    return Network("gate", (), causes, (*seen, effect), "any")


def observed(network, there):
    seen = {(k, 0): SAYS[cause.id in there] for k, cause in enumerate(network.causes)}
    return Observed(findings=seen)


def probability(network, known):
    return Query(network, known).weigh([Row()])[0]


def as_evidence(network, there):
    """P(effect | causes) as P(causes and effect) / P(causes)."""
    known = observed(network, there)
    effect = len(network.findings) - 1
    shown = Observed(findings=known.findings | {(effect, 0): SAYS[1]})
    return probability(network, shown) / probability(network, known)


def as_what_if(network, there):
    """P(effect | causes) as the rows of a hypothetical answer."""
    effect = len(network.findings) - 1
    query = Query(network, observed(network, there), candidates=[effect])
    expander = Expander(query)
    pairs = expander.rows(expander.answer(effect, 1))
    weights = query.weigh([row for row, _ in pairs])
    summed = sum(c * w for (_, c), w in zip(pairs, weights, strict=True))
    return summed / query.weigh([Row()])[0]


def as_recorded(network, there):
    """P(effect | causes) by pgmpy on the network of record."""
    evidence = {f"{cause.id}-seen": {NO_YES[cause.id in there]: 1.0} for cause in network.causes}
    return record_beliefs(network, evidence, ["effect"])["effect"]["yes"]


WAYS = [as_evidence, as_what_if, as_recorded]


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize(("illnesses", "fever"), FEVER.items())
def test_fever(way, illnesses, fever):
    assert way(gate(ILLNESSES), illnesses) == pytest.approx(fever, abs=1e-12)


@pytest.mark.parametrize("way", WAYS)
def test_two_links_without_leak(way):
    """1 - .7 * .6 = .58; the definition of the gate (Pearl 1988), worked out by hand."""
    assert way(gate({"a": 0.3, "b": 0.4}), ("a", "b")) == pytest.approx(0.58, abs=1e-12)


@pytest.mark.parametrize("way", WAYS)
def test_the_leak_acts_beside_the_strength(way):
    """Diez 1993: a strength is the cause alone, without the leak; worked out by hand.

    In the other convention (Henrion 1989) the stated strength holds the leak already,
    and one cause with .3 beside a leak of .1 gives .3.
    """
    network = gate({"a": 0.3, "b": 0.4}, leak=0.1)
    assert way(network, ()) == pytest.approx(0.1, abs=1e-12)
    assert way(network, ("a",)) == pytest.approx(1 - 0.9 * 0.7, abs=1e-12)
    assert way(network, ("a", "b")) == pytest.approx(1 - 0.9 * 0.7 * 0.6, abs=1e-12)
