"""The sweep against brute force on random small networks with every mechanism."""

import math
import random
from collections import defaultdict
from itertools import combinations, product

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from faultnet.inference.downsets import Expander
from faultnet.inference.engine import ImpossibleEvidenceError
from faultnet.inference.observed import Mend, Observed
from faultnet.inference.query import Query
from faultnet.inference.rows import Row, Tip
from faultnet.network.network import Cause, Link
from tests.inference.networks import random_network, random_observed
from tests.inference.reference import Goal, likelihood, worlds

CLOSE = 1e-9
TINY = 1e-15

cases = st.builds(
    lambda seed, rounds, **sizes: (
        network := random_network(seed, **sizes),
        random_observed(seed, network, rounds=rounds),
    ),
    st.integers(0, 10**6),
    st.integers(1, 3),
    roots=st.integers(0, 2),
    causes=st.integers(1, 2),
    findings=st.integers(1, 3),
    faults=st.sampled_from(["several", "one", "any"]),
)
modest = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def weighed(network, observed, goal=None):
    return [
        (w.weight * chance, w)
        for w in worlds(network, observed, goal)
        if (chance := likelihood(network, observed, w))
    ]


def check_beliefs(network, observed):
    reference = weighed(network, observed)
    total = math.fsum(w for w, _ in reference)
    query = Query(network, observed)
    if total == 0.0:
        with pytest.raises(ImpossibleEvidenceError):
            query.masses()
        return
    masses = query.masses()
    assert masses.total == pytest.approx(total, rel=CLOSE)
    brought = {b.cause for c in network.causes for b in c.brings if network.faults != "one"}
    for cause in range(len(network.causes)):
        present = math.fsum(w for w, x in reference if x.present(cause, observed.now))
        without = query.weigh([Row(absent=(cause,))])[0]
        assert without == pytest.approx(total - present, rel=CLOSE, abs=CLOSE * total)
        if cause not in brought:
            assert masses.causes[cause] == pytest.approx(present, rel=CLOSE, abs=TINY)
    for root, by_state in masses.roots.items():
        for state, mass in enumerate(by_state):
            wanted = math.fsum(w for w, x in reference if x.roots[root] == state)
            assert mass == pytest.approx(wanted, rel=CLOSE, abs=TINY)


@pytest.mark.parametrize("faults", ["several", "one", "any"])
@pytest.mark.parametrize("seed", range(30))
def test_beliefs_equal_brute_force(seed, faults):
    network = random_network(seed, faults=faults)
    check_beliefs(network, random_observed(seed, network))


@given(cases)
@modest
def test_beliefs_equal_brute_force_whatever_the_sizes(case):
    check_beliefs(*case)


def answers_now(network, world, now):
    """The answer of each finding by index; ``cannot`` comes after the last level."""
    pairs = zip(network.findings, world.values, strict=True)
    return tuple(len(f.answers) if v[now] == -1 else v[now] for f, v in pairs)


def answer_count(finding):
    return len(finding.answers) + bool(finding.needs)


def check_joint_answers(network, observed):
    """Check every answer of a free finding, and every two together, as rows of a sweep."""
    now = observed.now
    masses = defaultdict(float)
    for weight, world in weighed(network, observed):
        masses[answers_now(network, world, now)] += weight
    total = math.fsum(masses.values())
    if total == 0.0:
        return
    free = [f for f in range(len(network.findings)) if (f, now) not in observed.findings]
    query = Query(network, observed, candidates=free)
    expander = Expander(query)
    for together in [*combinations(free, 1), *combinations(free, 2)]:
        for answers in product(*(range(answer_count(network.findings[f])) for f in together)):
            asked = dict(zip(together, answers, strict=True))
            terms = expander.joint(expander.answer(f, a) for f, a in asked.items())
            pairs = expander.rows(terms)
            weights = query.weigh([row for row, _ in pairs])
            got = sum(c * w for (_, c), w in zip(pairs, weights, strict=True))
            wanted = math.fsum(
                mass
                for found, mass in masses.items()
                if all(found[f] == a for f, a in asked.items())
            )
            assert got == pytest.approx(wanted, rel=CLOSE, abs=1e-12 * total)


@pytest.mark.parametrize("seed", range(40))
def test_joint_answers_as_rows_equal_brute_force(seed):
    network = random_network(seed + 1000, causes=2)
    check_joint_answers(network, random_observed(seed, network))


@given(cases)
@modest
def test_joint_answers_as_rows_equal_brute_force_whatever_the_sizes(case):
    check_joint_answers(*case)


def open_network(network):
    """Return a network in which nothing hides, withholds or comes and goes."""
    findings = tuple(
        msgspec.structs.replace(f, hidden_by=(), needs=(), fitful=False, when=())
        for f in network.findings
    )
    return msgspec.structs.replace(network, findings=findings)


def complaint_case(seed):
    """Return a network and evidence with at least one complaint in the open round."""
    rounds = 1 + seed % 3
    network = random_network(seed + 2000, findings=3, causes=3 if rounds < 3 else 2)
    network = open_network(network)
    return network, with_complaint(seed, network, random_observed(seed, network, rounds=rounds))


def with_complaint(seed, network, observed):
    """Return evidence in which one finding is told with its last answer in the open round."""
    told = seed % len(network.findings)
    entry = network.findings[told]
    size = len(entry.answers) + bool(entry.needs)
    last = tuple(float(k == len(entry.answers) - 1) for k in range(size))
    findings = observed.findings | {(told, observed.now): last}
    return msgspec.structs.replace(observed, findings=findings)


def followed(network, findings):
    """Return the findings with all that they follow from."""
    result = set(findings)
    for f in sorted(range(len(network.findings)), reverse=True):
        if f in result:
            result |= {link.source for link in network.findings[f].follows}
    return result


@pytest.mark.parametrize("seed", range(45))
def test_mending_ends_the_complaint_as_in_a_further_round(seed):
    """W(S): one more round with S mended in which every complaint reads normal."""
    network, observed = complaint_case(seed)
    if not has_weight(network, observed):
        return
    complaints = [f for (f, r), x in observed.findings.items() if r == observed.now and x[0] == 0.0]
    causes = range(len(network.causes))
    query = Query(network, observed, ending=complaints, late=causes)
    rows = [Row(mended=frozenset(s)) for s in ((), causes[:1], causes[1:], causes)]
    for row, weight in zip(rows, query.weigh(rows), strict=True):
        after = ended(network, observed, complaints, row.mended)
        wanted = math.fsum(w for w, _ in weighed(network, after))
        assert weight == pytest.approx(wanted, rel=CLOSE, abs=TINY)


def ended(network, observed, complaints, mended):
    """One more round, some causes mended, in which every complaint reads normal."""
    normal = {
        (f, observed.rounds): tuple(float(k == 0) for k in range(len(network.findings[f].answers)))
        for f in followed(network, complaints)
    }
    mends = tuple(Mend(cause, observed.now, 1.0) for cause in mended)
    return msgspec.structs.replace(
        observed,
        rounds=observed.rounds + 1,
        findings=observed.findings | normal,
        mends=observed.mends + mends,
    )


DANGERS = 24


def dangerous_case(seed, **sizes):
    """Return a network with every mechanism, evidence with answers made safe, and its goal."""
    rng = random.Random(seed)
    rounds = 1 + seed % 3
    network = random_network(seed + 5000, findings=3, causes=3 if rounds == 1 else 2, **sizes)
    observed = with_complaint(seed, network, random_observed(seed, network, rounds=rounds))
    told = [f for (f, r), x in observed.findings.items() if r == observed.now and x[0] < max(x)]
    safe = frozenset(f for f in told if rng.random() < 0.6)
    return network, msgspec.structs.replace(observed, made_safe=safe), told


def possible_follows(network, observed, findings):
    """Return the findings with all that they follow from, where the roots allow it."""
    states = {r: x.index(1.0) for r, x in observed.roots.items()}
    result = set(findings)
    for f in sorted(range(len(network.findings)), reverse=True):
        if f in result:
            result |= {
                link.source
                for link in network.findings[f].follows
                if all(allowed[states[r]] for r, allowed in link.when if r in states)
            }
    return frozenset(result)


@pytest.mark.parametrize("faults", ["several", "one", "any"])
@pytest.mark.parametrize("seed", range(DANGERS))
def test_what_was_made_safe_ends_unless_a_cause_is_left_that_shows_it(seed, faults):
    network, observed, told = dangerous_case(seed, faults=faults)
    causes = range(len(network.causes))
    query = Query(network, observed, ending=told, late=causes)
    sets = [frozenset(s) for n in range(len(causes) + 1) for s in combinations(causes, n)]
    ends = possible_follows(network, observed, told)
    weights = query.weigh([Row(mended=s) for s in sets])
    for mended, weight in zip(sets, weights, strict=True):
        reference = weighed(network, observed, Goal(ends, mended))
        assert weight == pytest.approx(math.fsum(w for w, _ in reference), rel=CLOSE, abs=TINY)


def test_most_random_dangers_are_worth_it():
    cases = [dangerous_case(seed) for seed in range(DANGERS)]
    possible = [(o, set(told)) for n, o, told in cases if has_weight(n, o)]
    assert sum(bool(o.made_safe) for o, _ in possible) >= 10
    assert sum(bool(o.made_safe) and told > o.made_safe for o, told in possible) >= 4


@pytest.mark.parametrize("seed", range(30))
def test_a_leak_made_safe_is_as_a_cause_that_is_mended(seed):
    """The leak written as one more cause that surely shows, counted nowhere and mended."""
    network, observed = complaint_case(seed)
    network = msgspec.structs.replace(network, faults="any")
    observed = msgspec.structs.replace(observed, redraws=())
    told = [f for (f, r), x in observed.findings.items() if r == observed.now and x[0] == 0.0]
    safe = seed % len(network.findings) if len(told) > 1 else told[0]
    observed = msgspec.structs.replace(observed, made_safe=frozenset({safe}))
    number, leak = len(network.causes), network.findings[safe].leak
    share = sum(leak)
    shows = Link(number, tuple(level / share for level in leak))
    entry = network.findings[safe]
    entry = msgspec.structs.replace(entry, leak=(0.0,) * len(leak), links=(*entry.links, shows))
    findings = tuple(entry if k == safe else f for k, f in enumerate(network.findings))
    causes = (*network.causes, Cause("leak", share))
    written = msgspec.structs.replace(network, findings=findings, causes=causes)
    plain = msgspec.structs.replace(observed, made_safe=frozenset())
    ours = Query(network, observed, ending=told, late=range(number))
    other = Query(written, plain, ending=told, late=range(number + 1))
    sets = [frozenset(s) for n in range(number + 1) for s in combinations(range(number), n)]
    wanted = other.weigh([Row(mended=s | {number}) for s in sets])
    assert ours.weigh([Row(mended=s) for s in sets]) == pytest.approx(wanted, rel=CLOSE, abs=TINY)


def test_the_random_cases_are_worth_it():
    """Most are possible, and every mechanism is among those that are."""
    drawn = [
        (network := random_network(base + seed, **sizes), random_observed(seed, network))
        for base, sizes in ((0, {}), (1000, {"causes": 2}))
        for seed in range(30)
    ]
    possible = [case for case in drawn if has_weight(*case)]
    assert len(possible) >= 40
    findings = [f for network, _ in possible for f in network.findings]
    for mechanism in ("links", "follows", "hidden_by", "needs", "when", "fitful"):
        assert sum(bool(getattr(f, mechanism)) for f in findings) >= 10, mechanism
    assert sum(len(f.answers) > 2 for f in findings) >= 10
    causes = [c for network, _ in possible for c in network.causes]
    for mechanism in ("factors", "when", "brings"):
        assert sum(bool(getattr(c, mechanism)) for c in causes) >= 10, mechanism
    for mechanism in ("roots", "mends", "brought_in", "redraws"):
        assert sum(bool(getattr(o, mechanism)) for _, o in possible) >= 5, mechanism
    assert {o.rounds for _, o in possible} == {1, 2, 3}
    soft = [c for _, o in possible for c in o.findings.values() if 0.0 < max(c) < 1.0]
    assert len(soft) >= 10


def test_most_random_complaints_are_possible():
    assert sum(has_weight(*complaint_case(seed)) for seed in range(45)) >= 30


def has_weight(network, observed):
    """Whether some world agrees with the evidence; stops at the first."""
    return any(w.weight * likelihood(network, observed, w) for w in worlds(network, observed))


@pytest.mark.parametrize("seed", range(20))
def test_a_tip_is_the_network_with_other_chances(seed):
    """Without roots: other chances of the causes, and the same weights."""
    network = random_network(seed, roots=0, causes=3, faults="several")
    observed = random_observed(seed, network, rounds=1 + seed % 2)
    others = [min(0.9, c.probability * (0.5 + 0.7 * k)) for k, c in enumerate(network.causes)]
    odds, scale = [], 1.0
    for cause, (entry, other) in enumerate(zip(network.causes, others, strict=True)):
        before = entry.probability
        odds.append((cause, other * (1.0 - before) / (before * (1.0 - other))))
        scale *= (1.0 - other) / (1.0 - before)
    told = msgspec.structs.replace(
        network,
        causes=tuple(
            msgspec.structs.replace(c, probability=p)
            for c, p in zip(network.causes, others, strict=True)
        ),
    )
    tipped = Query(network, observed).weigh([Row(), Row(tip=Tip(tuple(odds), scale))])
    assert tipped[1] == pytest.approx(Query(told, observed).weigh([Row()])[0], rel=CLOSE, abs=TINY)
    assert tipped[0] == pytest.approx(
        Query(network, observed).weigh([Row()])[0], rel=CLOSE, abs=TINY
    )


@pytest.mark.parametrize("seed", range(10))
def test_crossed_rows_are_rows_with_both(seed):
    network = random_network(seed, causes=3)
    observed = random_observed(seed, network)
    free = [f for f in range(len(network.findings)) if (f, observed.now) not in observed.findings]
    query = Query(network, observed, candidates=free)
    rows = [Row(), *(Row(limits=((f, 0),)) for f in free)]
    others = [Row(absent=(c,)) for c in range(len(network.causes))]
    pairs = list(product(range(len(rows)), range(len(others))))
    both = [Row(limits=rows[a].limits, absent=others[b].absent) for a, b in pairs]
    assert query.weigh_crossed(rows, others, pairs) == pytest.approx(query.weigh(both), rel=CLOSE)


def test_a_cause_brought_along_counts_though_nothing_shows_either():
    network = random_network(2, roots=2, causes=2, findings=1)
    silent = Query(network, Observed(), count_two=True).tally_weights()
    (bring,) = network.causes[0].brings
    p, q = (cause.probability for cause in network.causes)
    none = (1.0 - p) * (1.0 - q)
    one = (1.0 - p) * q + p * (1.0 - q) * (1.0 - bring.probability)
    assert silent == pytest.approx([none, one, 1.0 - none - one], rel=CLOSE)


@given(cases)
@modest
def test_just_one_cause_and_none_brought_along(case):
    network, observed = case
    query = Query(network, observed)
    if network.faults == "any" or not query.possible():
        return
    counted = Query(network, observed, count_two=True).tally_weights()
    assert query.weigh_one() == pytest.approx(counted[1], rel=CLOSE, abs=TINY)


@given(cases)
@modest
def test_a_cause_that_cannot_be_is_never_there(case):
    network, observed = case
    query = Query(network, observed)
    for cause in range(len(network.causes)):
        if not query.can_be(cause):
            assert query.weigh_present(cause) == 0.0
