"""Published networks and their published answers, answered by faultnet itself.

Burglary, sprinkler and chest clinic go two ways. The clique tree takes their tables
as they stand. The sweep only knows roots, causes and findings that join by noisy-OR,
so for it each is written over: a cause with conditional tables becomes roots, causes,
and links that hold under root states only. Each rewriting is exact; how it goes stands
with it. The sweep cannot take a general network, and the larger networks at the end are
for the clique tree alone, with pgmpy as the reference.
"""

import warnings
from functools import cache

import numpy as np
import pytest

from faultnet.inference.clique_tree import CliqueTree
from faultnet.inference.observed import Observed
from faultnet.inference.query import Query
from faultnet.inference.rows import Row
from faultnet.network.network import Cause, Finding, Link, Network, Root
from faultnet.network.pgmpy_model import pgmpy_beliefs, tables_of
from faultnet.network.tables import Tables, Variable

NO_YES = ("no", "yes")
SAYS = {"no": (1.0, 0.0), "yes": (0.0, 1.0)}


def table(name, parents, *yes):
    """A no/yes variable; P(yes) for the parents no no, no yes, yes no, yes yes."""
    chances = np.array([(1.0 - p, p) for p in yes]).reshape((2,) * (len(parents) + 1))
    return Variable(name, NO_YES, parents, chances)


def within(total, part):
    """The strength that raises a gate from ``part`` without the link to ``total`` with it."""
    return (1.0 - (1.0 - total) / (1.0 - part),)


def swept(network, **answers):
    """P(answers) by the sweep; findings and roots by name, no or yes."""
    findings = {f.id: k for k, f in enumerate(network.findings)}
    roots = {r.id: k for k, r in enumerate(network.roots)}
    observed = Observed(
        roots={roots[name]: SAYS[a] for name, a in answers.items() if name in roots},
        findings={(findings[name], 0): SAYS[a] for name, a in answers.items() if name in findings},
    )
    return Query(network, observed).weigh([Row()])[0]


def caused(network, cause, **answers):
    """P(cause | answers) by the sweep, from the pass that gives every cause at once."""
    findings = {f.id: k for k, f in enumerate(network.findings)}
    observed = Observed(findings={(findings[name], 0): SAYS[a] for name, a in answers.items()})
    masses = Query(network, observed).masses()
    index = [c.id for c in network.causes].index(cause)
    return masses.causes[index] / masses.total


# Burglary: Russell and Norvig, Artificial Intelligence: A Modern Approach, chapter on
# Bayesian networks, with the tables given there. .284 stands in the book; the further
# digits are worked out from the tables.

BURGLARY = Tables(
    "burglary",
    (
        table("burglary", (), 0.001),
        table("earthquake", (), 0.002),
        table("alarm", ("burglary", "earthquake"), 0.001, 0.29, 0.94, 0.95),
        table("john", ("alarm",), 0.05, 0.90),
        table("mary", ("alarm",), 0.01, 0.70),
    ),
)


def burglary_as_causes():
    """The earthquake is a root; under it a ``tremor`` is sure to be there.

    The alarm is no noisy-OR of its two parents (.94 and .29 would join to more than
    .95), but it is one of the burglary alone in either state of the earthquake.
    """
    quiet, quake = ((0, (True, False)),), ((0, (False, True)),)
    causes = (Cause("burglary", 0.001), Cause("tremor", 1.0, when=quake))
    links = (
        Link(0, within(0.94, 0.001), quiet),
        Link(0, within(0.95, 0.29), quake),
        Link(1, within(0.29, 0.001)),
    )
    findings = (
        Finding("alarm", NO_YES, (0.001,), links),
        Finding("john", NO_YES, (0.05,), follows=(Link(0, within(0.90, 0.05)),)),
        Finding("mary", NO_YES, (0.01,), follows=(Link(0, within(0.70, 0.01)),)),
    )
    return Network("burglary", (Root("earthquake", NO_YES, (0.998, 0.002)),), causes, findings)


def test_burglary_by_the_clique_tree():
    engine = CliqueTree(BURGLARY)
    both = engine.beliefs({"john": "yes", "mary": "yes"})
    assert both["burglary"]["yes"] == pytest.approx(0.284172, abs=5e-7)
    assert both["earthquake"]["yes"] == pytest.approx(0.176067, abs=5e-7)
    john = engine.beliefs({"john": "yes"}, ["burglary"])
    assert john["burglary"]["yes"] == pytest.approx(0.016284, abs=5e-7)


def test_burglary_by_a_hypothetical_call():
    """Mary's call, asked after John's, must come to the same."""
    engine = CliqueTree(BURGLARY)
    after = engine.what_if({"john": "yes"}, ["burglary"], ["mary"])["mary"]["yes"][1]
    assert after["burglary"]["yes"] == pytest.approx(0.284172, abs=5e-7)


def test_burglary_by_the_sweep():
    network = burglary_as_causes()
    assert caused(network, "burglary", john="yes", mary="yes") == pytest.approx(0.284172, abs=5e-7)
    assert caused(network, "burglary", john="yes") == pytest.approx(0.016284, abs=5e-7)
    quake = swept(network, john="yes", mary="yes", earthquake="yes")
    assert quake / swept(network, john="yes", mary="yes") == pytest.approx(0.176067, abs=5e-7)


# Sprinkler: Murphy, A Brief Introduction to Graphical Models and Bayesian Networks, with
# the tables given there. P(sprinkler | wet, rain) = .1945 stands there; the rest is
# worked out from the tables.

SPRINKLER = Tables(
    "sprinkler",
    (
        table("cloudy", (), 0.5),
        table("sprinkler", ("cloudy",), 0.5, 0.1),
        table("rain", ("cloudy",), 0.2, 0.8),
        table("wet", ("sprinkler", "rain"), 0.0, 0.9, 0.9, 0.99),
    ),
)


def sprinkler_as_causes():
    """Cloudy is a root with factors on the odds; wet is a noisy-OR of .9 and .9 already."""
    causes = (
        Cause("sprinkler", 0.5, factors=((0, (1.0, (0.1 / 0.9) / (0.5 / 0.5))),)),
        Cause("rain", 0.2, factors=((0, (1.0, (0.8 / 0.2) / (0.2 / 0.8))),)),
    )
    findings = (
        Finding("rain-seen", NO_YES, (0.0,), (Link(1, (1.0,)),)),
        Finding("wet", NO_YES, (0.0,), (Link(0, (0.9,)), Link(1, (0.9,)))),
    )
    return Network("sprinkler", (Root("cloudy", NO_YES, (0.5, 0.5)),), causes, findings)


def test_sprinkler_by_the_clique_tree():
    engine = CliqueTree(SPRINKLER)
    assert engine.probability({"wet": "yes"}) == pytest.approx(0.6471, abs=1e-12)
    wet = engine.beliefs({"wet": "yes"})
    assert wet["sprinkler"]["yes"] == pytest.approx(0.429764, abs=5e-7)
    assert wet["rain"]["yes"] == pytest.approx(0.707928, abs=5e-7)
    rain = engine.beliefs({"wet": "yes", "rain": "yes"}, ["sprinkler"])
    assert rain["sprinkler"]["yes"] == pytest.approx(0.194499, abs=5e-7)


def test_sprinkler_by_the_sweep():
    network = sprinkler_as_causes()
    assert swept(network, wet="yes") == pytest.approx(0.6471, abs=1e-12)
    assert caused(network, "sprinkler", wet="yes") == pytest.approx(0.429764, abs=5e-7)
    assert caused(network, "rain", wet="yes") == pytest.approx(0.707928, abs=5e-7)
    explained = caused(network, "sprinkler", **{"wet": "yes", "rain-seen": "yes"})
    assert explained == pytest.approx(0.194499, abs=5e-7)


# Chest clinic: Lauritzen and Spiegelhalter 1988, Journal of the Royal Statistical
# Society B 50:157-224, as it ships with pgmpy under the name asia. The posteriors were
# worked out by enumeration and by a second library; they are not copied from the paper.

CLINIC = [
    (("asia", "dysp"), {"tub": 0.087751, "lung": 0.099525, "bronc": 0.811402}),
    (("dysp",), {"tub": 0.018845, "lung": 0.102759, "bronc": 0.833967}),
]
TRIP_AND_BREATH = 0.00450138


def clinic_as_causes():
    """Smoking and bronchitis together are one root of four states, asia another.

    ``either`` is an OR; x-ray and shortness of breath follow from it, the latter with a
    strength that hangs on the bronchitis (it is no noisy-OR: .8 and .7 beside a leak of
    .1 would join to .93, not .9).
    """
    smoke = (0.5, 0.5)
    bronc = (0.3, 0.6)
    names = ("neither", "bronc", "smoke", "smoke-bronc")
    prior = tuple(smoke[s] * (bronc[s] if b else 1 - bronc[s]) for s in (0, 1) for b in (0, 1))
    roots = (Root("asia", NO_YES, (0.99, 0.01)), Root("lungs", names, prior))
    has, has_not = (False, True, False, True), (True, False, True, False)
    trip = (0.05 / 0.95) / (0.01 / 0.99)
    smoking = (0.1 / 0.9) / (0.01 / 0.99)
    causes = (
        Cause("tub", 0.01, factors=((0, (1.0, trip)),)),
        Cause("lung", 0.01, factors=((1, (1.0, 1.0, smoking, smoking)),)),
        Cause("bronc", 1.0, when=((1, has),)),
    )
    breath = (
        Link(0, within(0.7, 0.1), ((1, has_not),)),
        Link(0, within(0.9, 0.8), ((1, has),)),
    )
    findings = (
        Finding("either", NO_YES, (0.0,), (Link(0, (1.0,)), Link(1, (1.0,)))),
        Finding("xray", NO_YES, (0.05,), follows=(Link(0, within(0.98, 0.05)),)),
        Finding("dysp", NO_YES, (0.1,), (Link(2, within(0.8, 0.1)),), follows=breath),
    )
    return Network("clinic", roots, causes, findings)


@pytest.mark.parametrize(("told", "wanted"), CLINIC)
def test_chest_clinic_by_the_clique_tree(told, wanted):
    beliefs = CliqueTree(shipped("asia")).beliefs(dict.fromkeys(told, "yes"), list(wanted))
    for illness, probability in wanted.items():
        assert beliefs[illness]["yes"] == pytest.approx(probability, abs=5e-7)


@pytest.mark.parametrize(("told", "wanted"), CLINIC)
def test_chest_clinic_by_the_sweep(told, wanted):
    network = clinic_as_causes()
    roots = {0: SAYS["yes"]} if "asia" in told else {}
    masses = Query(network, Observed(roots=roots, findings={(2, 0): SAYS["yes"]})).masses()
    for index, cause in enumerate(network.causes):
        share = masses.causes[index] / masses.total
        assert share == pytest.approx(wanted[cause.id], abs=5e-7)


def test_the_chance_of_trip_and_breath_by_both():
    by_tree = CliqueTree(shipped("asia")).probability({"asia": "yes", "dysp": "yes"})
    assert by_tree == pytest.approx(TRIP_AND_BREATH, abs=5e-9)
    by_sweep = swept(clinic_as_causes(), asia="yes", dysp="yes")
    assert by_sweep == pytest.approx(by_tree, rel=1e-12)


# Networks that ship with pgmpy, from the bnlearn repository; the reference is pgmpy's own
# elimination of variables on the same tables.

SHIPPED = ["asia", "cancer", "earthquake", "child", "alarm", "insurance"]


@cache
def shipped(name):
    from pgmpy.utils import get_example_model

    with warnings.catch_warnings():
        warnings.simplefilter("ignore", FutureWarning)  # about where the function will live
        return tables_of(get_example_model(name))


def shipped_evidence(tables, seed):
    """A hard or a soft word on about a quarter of the variables, never impossible."""
    rng = np.random.default_rng(seed)
    engine = CliqueTree(tables)
    evidence = {}
    for variable in tables.variables:
        if rng.random() < 0.25:
            soft = rng.random() < 0.3
            chances = [float(p) for p in rng.random(len(variable.states))]
            state = str(rng.choice(variable.states))
            said = dict(zip(variable.states, chances, strict=True)) if soft else {state: 1.0}
            if engine.probability(evidence | {variable.id: said}) > 0.0:
                evidence[variable.id] = said
    return evidence


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize("name", SHIPPED)
def test_shipped_networks_against_pgmpy(name, seed):
    tables = shipped(name)
    evidence = shipped_evidence(tables, seed)
    got = CliqueTree(tables).beliefs(evidence)
    for variable, wanted in pgmpy_beliefs(tables, evidence, list(got)).items():
        assert got[variable] == pytest.approx(wanted, abs=1e-9), variable


@pytest.mark.parametrize("name", ["asia", "child", "alarm"])
def test_hypotheticals_on_shipped_networks_against_pgmpy(name):
    tables = shipped(name)
    evidence = shipped_evidence(tables, 7)
    ids = [variable.id for variable in tables.variables]
    targets, candidates = ids[:3], ids[3::5]
    asked = CliqueTree(tables).what_if(evidence, targets, candidates)
    chances = pgmpy_beliefs(tables, evidence, candidates)
    for candidate, answers in asked.items():
        for state, (probability, beliefs) in answers.items():
            assert probability == pytest.approx(chances[candidate][state], abs=1e-9)
            if probability > 0.0:
                said = evidence.get(candidate, {state: 1.0})
                further = evidence | {candidate: {state: said[state]}}
                for target, wanted in pgmpy_beliefs(tables, further, targets).items():
                    assert beliefs[target] == pytest.approx(wanted, abs=1e-9)


def test_the_evidence_on_shipped_networks_is_not_empty():
    for name in SHIPPED:
        words = [len(shipped_evidence(shipped(name), seed)) for seed in range(3)]
        assert sum(words) >= 3, name
