"""The sweep against arithmetic with fifty and more digits, on networks made to lose digits.

The references share no method with the engine: every joint state term by term; every
set of causes; inclusion and exclusion over the positive findings, whose signed terms
cancel to a part in 1e8 and less and are therefore carried with 150 digits.
"""

import random
from itertools import combinations, product
from math import prod

import msgspec
import pytest
from mpmath import mp, mpf

from faultnet.inference.downsets import Expander
from faultnet.inference.engine import ImpossibleEvidenceError
from faultnet.inference.observed import Mend, Observed
from faultnet.inference.query import Query
from faultnet.inference.rows import Row
from faultnet.network.network import Cause, Finding, Link, Network
from tests.inference.networks import random_network, random_observed
from tests.inference.reference import likelihood, worlds

ALLOWED = 1e-10
"""Relative error of P(evidence) and of the weight of every cause that came of itself."""
ALLOWED_OF_ALL = 1e-13
"""Error, as a share of P(evidence), of what is told by subtracting: hypothetical answers."""
TINY = 1e-12
EXTREME = (0.0, TINY, 1e-6, 0.5, 0.999, 1.0 - 1e-9, 1.0)
"""Chances of links."""


def exact(value):
    """Return a network or evidence whose every float is the same number in mpmath."""
    if isinstance(value, float):
        return mpf(value)
    if isinstance(value, tuple):
        return tuple(exact(v) for v in value)
    if isinstance(value, dict):
        return {k: exact(v) for k, v in value.items()}
    if isinstance(value, msgspec.Struct):
        fields = {name: exact(getattr(value, name)) for name in value.__struct_fields__}
        return msgspec.structs.replace(value, **fields)
    return value


def digits_lost(got, wanted):
    """Return the relative error; an impossible thing must have no weight at all."""
    return float(abs(mpf(float(got)) - wanted) / wanted) if wanted else float(got)


# Every mechanism: roots, factors, brings, gates, rules, levels, rounds, tallies


def extreme_network(seed, **sizes):
    """A random network of every mechanism whose numbers are replaced by extreme ones."""
    rng = random.Random(seed)
    network = random_network(seed, **sizes)

    def levels(old):
        if len(old) == 1:
            return (rng.choice(EXTREME),)
        return rng.choice([(0.25, 0.75), (0.0, 1.0), (TINY, 0.5), (1e-6, 1e-9), (0.5, 0.25)])

    def links(old):
        return tuple(msgspec.structs.replace(x, levels=levels(x.levels)) for x in old)

    roots = []
    for root in network.roots:
        rest = rng.choice([TINY, 1e-6, 0.25])
        others = [rest / (len(root.states) - 1)] * (len(root.states) - 1)
        prior = [1.0 - rest, *others]
        rng.shuffle(prior)
        roots.append(msgspec.structs.replace(root, prior=tuple(prior)))
    causes = [
        msgspec.structs.replace(
            cause,
            probability=rng.choice([TINY, TINY, 1e-6, 0.01, 0.5, 1.0 - 1e-6]),
            factors=tuple(
                (r, tuple(rng.choice([1e-6, 1.0, 1.0, 30.0, 1e6]) for _ in factors))
                for r, factors in cause.factors
            ),
            brings=tuple(
                msgspec.structs.replace(b, probability=rng.choice(EXTREME[1:]))
                for b in cause.brings
            ),
        )
        for cause in network.causes
    ]
    findings = [
        msgspec.structs.replace(
            finding,
            leak=(
                rng.choice([0.0, 0.0, TINY, 0.01, 1.0 - 1e-9]),
                *(0.0 for _ in finding.leak[1:]),
            ),
            links=links(finding.links),
            follows=links(finding.follows),
        )
        for finding in network.findings
    ]
    return msgspec.structs.replace(
        network, roots=tuple(roots), causes=tuple(causes), findings=tuple(findings)
    )


def extreme_observed(seed, network, **rounds):
    """Random evidence whose soft answers all but contradict the hard ones."""
    rng = random.Random(seed)
    observed = random_observed(seed, network, **rounds)
    findings = {
        key: tuple(
            rng.choice([TINY, 1e-6, 1.0]) if 0.0 < chance < 1.0 else chance for chance in chances
        )
        for key, chances in observed.findings.items()
    }
    mends = tuple(
        msgspec.structs.replace(m, succeeds=rng.choice([1.0, 1.0 - 1e-9, 0.5, 1e-9]))
        for m in observed.mends
    )
    return msgspec.structs.replace(observed, findings=findings, mends=mends)


def weighed(network, observed):
    """Return every joint state that the evidence allows, with its weight in mpmath."""
    network, observed = exact(network), exact(observed)
    return [
        (w.weight * chance, w)
        for w in worlds(network, observed)
        if (chance := likelihood(network, observed, w))
    ]


def extreme_case(seed, faults):
    rounds = 1 + seed % 3
    sizes = {"causes": 3, "findings": 3} if rounds < 3 else {"causes": 2, "findings": 3}
    network = extreme_network(seed, faults=faults, **sizes)
    return network, extreme_observed(seed, network, rounds=rounds)


@pytest.mark.parametrize("faults", ["several", "one", "any"])
@pytest.mark.parametrize("seed", range(40))
def test_extreme_numbers_lose_no_digits(seed, faults):
    network, observed = extreme_case(seed, faults)
    with mp.workdps(50):
        reference = weighed(network, observed)
        total = sum((w for w, _ in reference), mpf(0))
        query = Query(network, observed)
        if not total:
            with pytest.raises(ImpossibleEvidenceError):
                query.masses()
            return
        masses = query.masses()
        assert digits_lost(masses.total, total) <= ALLOWED
        brought = {b.cause for c in network.causes for b in c.brings if faults != "one"}
        for cause in range(len(network.causes)):
            present = sum((w for w, x in reference if x.present(cause, observed.now)), mpf(0))
            absent = query.weigh([Row(absent=(cause,))])[0]
            assert abs(absent - (total - present)) <= ALLOWED * total
            if cause not in brought:
                assert digits_lost(masses.causes[cause], present) <= ALLOWED
            assert digits_lost(query.weigh_present(cause), present) <= ALLOWED
        for root, by_state in masses.roots.items():
            for state, mass in enumerate(by_state):
                wanted = sum((w for w, x in reference if x.roots[root] == state), mpf(0))
                assert digits_lost(mass, wanted) <= ALLOWED


@pytest.mark.parametrize("seed", range(40))
def test_what_a_repair_ends_loses_no_digits(seed):
    """W(S): one more round, S mended, in which every complaint reads normal."""
    rounds = 1 + seed % 2
    network = extreme_network(seed + 500, findings=3, causes=2)
    network = msgspec.structs.replace(
        network,
        findings=tuple(
            msgspec.structs.replace(f, hidden_by=(), needs=(), fitful=False, when=())
            for f in network.findings
        ),
    )
    observed = extreme_observed(seed, network, rounds=rounds)
    told = seed % len(network.findings)
    answers = network.findings[told].answers
    last = tuple(float(answer == answers[-1]) for answer in answers)
    observed = msgspec.structs.replace(
        observed, findings=observed.findings | {(told, observed.now): last}
    )
    complaints = [f for (f, r), x in observed.findings.items() if r == observed.now and not x[0]]
    causes = range(len(network.causes))
    query = Query(network, observed, ending=complaints, late=causes)
    rows = [Row(mended=frozenset(s)) for n in range(3) for s in combinations(causes, n)]
    for row, weight in zip(rows, query.weigh(rows), strict=True):
        with mp.workdps(50):
            reference = weighed(network, ended(network, observed, complaints, row.mended))
            assert digits_lost(weight, sum((w for w, _ in reference), mpf(0))) <= ALLOWED


def ended(network, observed, complaints, mended):
    """One more round, some causes mended, in which all that was complained of is normal."""
    wanted = set(complaints)
    for f in sorted(range(len(network.findings)), reverse=True):
        if f in wanted:
            wanted |= {link.source for link in network.findings[f].follows}
    normal = {
        (f, observed.rounds): tuple(float(not k) for k in range(len(network.findings[f].answers)))
        for f in wanted
    }
    return msgspec.structs.replace(
        observed,
        rounds=observed.rounds + 1,
        findings=observed.findings | normal,
        mends=observed.mends + tuple(Mend(cause, observed.now, 1.0) for cause in mended),
    )


@pytest.mark.parametrize("seed", range(40))
def test_hypothetical_answers_lose_no_more_than_subtracting_does(seed):
    """They are told by subtracting: exact as a share of P(evidence), not each by itself."""
    network = extreme_network(seed + 900, causes=2)
    observed = extreme_observed(seed, network, rounds=1 + seed % 2)
    now = observed.now
    free = [f for f in range(len(network.findings)) if (f, now) not in observed.findings]
    query = Query(network, observed, candidates=free)
    expander = Expander(query)
    with mp.workdps(50):
        reference = weighed(network, observed)
        total = sum((w for w, _ in reference), mpf(0))
        for finding in free:
            entry = network.findings[finding]
            for answer in range(len(entry.answers) + bool(entry.needs)):
                pairs = expander.rows(expander.answer(finding, answer))
                weights = query.weigh([row for row, _ in pairs])
                got = sum(c * float(w) for (_, c), w in zip(pairs, weights, strict=True))
                seen = answer if answer < len(entry.answers) else -1
                wanted = sum((w for w, x in reference if x.values[finding][now] == seen), mpf(0))
                assert abs(mpf(got) - wanted) <= ALLOWED_OF_ALL * total


# Two levels: causes and findings, nothing else


def plain_network(seed, *, causes, findings, links, faults="several"):
    """Causes and findings alone: few leaks, extreme strengths, rare and common causes."""
    rng = random.Random(seed)
    shown = [[] for _ in range(findings)]
    for cause in range(causes):
        for finding in rng.sample(range(findings), links):
            strength = rng.choice([*EXTREME, *(rng.random() for _ in range(9))])
            shown[finding].append(Link(cause, (strength,)))
    for finding in shown:
        if not any(0.01 < link.levels[0] < 1.0 for link in finding):
            finding.append(Link(rng.randrange(causes), (0.7,)))
    return Network(
        "plain",
        (),
        tuple(
            Cause(f"cause-{k}", rng.choice([TINY, 1e-6, 0.01, 0.02, 0.05, 0.3]))
            for k in range(causes)
        ),
        tuple(
            Finding(f"finding-{k}", ("no", "yes"), (rng.choice([0.0, TINY, 1e-4]),), tuple(entry))
            for k, entry in enumerate(shown)
        ),
        faults,
    )


def hard(positive, negative, network):
    """Evidence of hard answers by finding index; one negative answer all but certain."""
    answers = dict.fromkeys(positive, (0.0, 1.0)) | dict.fromkeys(negative, (1.0, 0.0))
    return Observed(findings={(f, 0): x for f, x in answers.items()})


def quiet_chances(network):
    """P(a cause does not show a finding), by cause and finding, and of every leak."""
    quiet = [[mpf(1)] * len(network.findings) for _ in network.causes]
    for f, finding in enumerate(network.findings):
        for link in finding.links:
            quiet[link.source][f] *= 1 - mpf(link.levels[0])
    return quiet, [1 - mpf(f.leak[0]) for f in network.findings]


def by_sets_of_causes(network, positive, negative):
    """Weights of the evidence and of each cause with it, over every set of causes."""
    quiet, leaks = quiet_chances(network)
    causes = range(len(network.causes))
    total, masses = mpf(0), [mpf(0) for _ in causes]

    def visit(cause, present, weight, silent):
        nonlocal total
        if not weight:
            return
        if cause < len(network.causes):
            p = mpf(network.causes[cause].probability)
            visit(cause + 1, present, weight * (1 - p), silent)
            now = [q * quiet[cause][f] for q, f in zip(silent, positive, strict=True)]
            calm = prod(quiet[cause][f] for f in negative)
            visit(cause + 1, (*present, cause), weight * p * calm, now)
        elif present:
            mass = weight * prod(1 - q for q in silent)
            total += mass
            for c in present:
                masses[c] += mass

    start = prod((leaks[f] for f in negative), start=mpf(1))
    visit(0, (), start, [leaks[f] for f in positive])
    return total, masses


def by_inclusion_and_exclusion(network, positive, negative):
    """The same, from the signed chances that every set of positive findings is normal."""
    quiet, leaks = quiet_chances(network)
    priors = [mpf(c.probability) for c in network.causes]
    calm = [p * prod(q[f] for f in negative) for p, q in zip(priors, quiet, strict=True)]
    total, masses = mpf(0), [mpf(0)] * len(priors)
    largest = mpf(0)
    for picks in product((False, True), repeat=len(positive)):
        silent = [f for f, pick in zip(positive, picks, strict=True) if pick]
        sign = (-1) ** len(silent) * prod(leaks[f] for f in (*silent, *negative))
        there = [w * prod(q[f] for f in silent) for w, q in zip(calm, quiet, strict=True)]
        parts = [1 - p + w for p, w in zip(priors, there, strict=True)]
        term = sign * prod(parts)
        largest = max(largest, abs(term))
        total += term - sign * prod(1 - p for p in priors)
        for cause, (w, part) in enumerate(zip(there, parts, strict=True)):
            masses[cause] += term / part * w
    return total, masses, largest / total


def check_plain(network, positive, negative, reference):
    total, masses = reference
    got = Query(network, hard(positive, negative, network)).masses()
    assert digits_lost(got.total, total) <= ALLOWED
    for cause, mass in enumerate(masses):
        assert digits_lost(got.causes[cause] / got.total, mass / total) <= ALLOWED


@pytest.mark.parametrize("seed", range(3))
def test_twenty_positive_findings_against_every_set_of_causes(seed):
    network = plain_network(seed, causes=13, findings=24, links=7)
    positive, negative = range(20), range(20, 24)
    with mp.workdps(50):
        reference = by_sets_of_causes(network, positive, negative)
        assert reference[0] > 0
        check_plain(network, positive, negative, reference)


@pytest.mark.parametrize("seed", range(3))
def test_many_causes_against_inclusion_and_exclusion(seed):
    network = plain_network(seed + 50, causes=40, findings=24, links=6)
    positive, negative = range(11), range(11, 24)
    with mp.workdps(150):
        total, masses, lost = by_inclusion_and_exclusion(network, positive, negative)
        assert lost > 1e8
        check_plain(network, positive, negative, (total, masses))


def test_the_two_references_agree():
    network = plain_network(7, causes=8, findings=10, links=4)
    with mp.workdps(150):
        one = by_sets_of_causes(network, range(6), range(6, 10))
        other = by_inclusion_and_exclusion(network, range(6), range(6, 10))
        assert all(
            abs(a - b) <= mpf(10) ** -100 * b
            for a, b in zip([one[0], *one[1]], [other[0], *other[1]], strict=True)
        )


def test_the_extreme_cases_are_worth_it():
    """Most are possible, and some have a P(evidence) that few digits would survive."""
    totals = []
    for faults in ("several", "one", "any"):
        for seed in range(15):
            with mp.workdps(50):
                totals.append(sum((w for w, _ in weighed(*extreme_case(seed, faults))), mpf(0)))
    assert sum(t > 0 for t in totals) >= 30
    assert sum(0 < t < 1e-9 for t in totals) >= 10
