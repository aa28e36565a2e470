"""Numbers learnt from complete cases against those of pgmpy, without priors and with them.

Exactly one cause is there, each case says which, and all that can be told is told. Then nothing
is left to be expected: one step of expectation-maximisation gives shares of counts, which are
those of pgmpy's MaximumLikelihoodEstimator; an authored number that is worth some cases counts as
so many, as the pseudo counts of its BayesianEstimator do.
"""

import shutil
import warnings
from itertools import product
from pathlib import Path

import numpy as np
import pytest

from faultnet.advice.subject import make_subject
from faultnet.authoring.library import read_knowledge
from faultnet.learning.closed import ClosedCase, Confirmation
from faultnet.learning.estimate.counts import anybody
from faultnet.learning.estimate.fitted import Calls, Fitter
from faultnet.learning.estimate.passing import Passing
from faultnet.learning.estimate.priors import ALL, Priors
from faultnet.learning.estimate.unknowns import Unknowns
from faultnet.learning.source import CasesAtHand
from faultnet.model.evidence import Answer, Evidence, Round

FOLDER = Path(__file__).with_name("knowledge-one-fault")
PART = """\
part: two-faults
title: Three faults
about: Three faults with signs of their own, and none that shows by itself.
from: judgement
causes:
  valve: {title: Valve, how-common: 0.5, shows: {dry: 0.9, loud: 0.2}, repair: mend}
  joint: {title: Joint, how-common: 0.3, shows: {dry: 0.4, wet: 0.7}, repair: mend}
  motor: {title: Motor, how-common: 0.2, shows: {loud: 0.8}, repair: mend}
findings:
  dry: {title: Dry, ask: Is it dry?, shows-anyway: 0}
  loud: {title: Loud, ask: Is it loud?, shows-anyway: 0}
  wet: {title: Wet, ask: Is it wet?, shows-anyway: 0}
repairs:
  mend: {title: Mend it, minutes: 3, who: technician, proof-minutes: 0}
"""
EDITS = (
    ("systems/two-faults-one-at-work.yaml", "{well: 1}", "{cistern: 0.4, well: 0.6}"),
    ("layout.yaml", "prior: 1}", "prior: 0.5}\n      cistern: {title: Cistern, prior: 0.5}"),
)
"""The water comes from one of two places, which no fault hangs on."""
CAUSES, FINDINGS = ("joint", "motor", "valve"), ("dry", "loud", "wet")
SOURCES = ("cistern", "well")
AUTHORED = {
    "valve": {"dry": 0.9, "loud": 0.2},
    "joint": {"dry": 0.4, "wet": 0.7},
    "motor": {"loud": 0.8},
}
COMMON = {"valve": 0.5, "joint": 0.3, "motor": 0.2}
SHARES = {"cistern": 0.4, "well": 0.6}
TRUE = {
    "valve": {"dry": 0.7, "loud": 0.4},
    "joint": {"dry": 0.5, "wet": 0.9},
    "motor": {"loud": 0.6},
}
PRIORS = Priors()
ROWS = 400


@pytest.fixture(scope="module")
def subject(tmp_path_factory):
    folder = tmp_path_factory.mktemp("knowledge") / "k"
    shutil.copytree(FOLDER, folder)
    (folder / "parts/two-faults.yaml").write_text(PART)
    for name, old, new in EDITS:
        text = (folder / name).read_text()
        (folder / name).write_text(text.replace(old, new))
        assert old in text
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("FAULTNET_CACHE", "")
        knowledge, problems = read_knowledge(folder)
    assert knowledge is not None, problems
    return make_subject(knowledge, "two-faults-one-at-work")


@pytest.fixture(scope="module")
def rows():
    """The cause, where the water comes from and the three findings of each case."""
    rng = np.random.default_rng(11)
    found = []
    for _ in range(ROWS):
        cause = CAUSES[rng.choice(3, p=[0.2, 0.35, 0.45])]
        signs = {name: rng.random() < TRUE[cause].get(name, 0.0) for name in FINDINGS}
        found.append({"cause": cause, "source": SOURCES[rng.integers(2)], **signs})
    return found


def ours(subject, rows, trust):
    """One step from the authored numbers: P(cause), P(source) and P(finding | cause)."""
    unknowns = Unknowns(subject, ALL, PRIORS)
    told = Passing(unknowns, unknowns.network)(CasesAtHand(tuple(map(closed, range(ROWS), rows))))
    assert told.set_aside == ()
    assert told.counts.cases == ROWS
    unseen = anybody(unknowns.slots, unknowns.network) * told.counts.cases
    network = Fitter(unknowns, trust).fitted(unknowns.network, Calls(told.counts, unseen))
    whole = sum(cause.probability for cause in network.causes)
    found = {cause.id: cause.probability / whole for cause in network.causes}
    (source,) = network.roots
    found |= dict(zip(source.states, source.prior, strict=True))
    for finding in network.findings:
        for link in finding.links:
            found[finding.id, network.causes[link.source].id] = link.levels[0]
    return found


def closed(number, row):
    answers = tuple(Answer(name, "yes" if row[name] else "no") for name in FINDINGS)
    evidence = Evidence((Round(answers),), {"source": row["source"]})
    day, seen = "2026-03-04T08:00:00Z", (Confirmation(row["cause"]),)
    return ClosedCase(f"c{number}", "two-faults-one-at-work", day, day, "referred", evidence, seen)


def theirs(rows, worth):
    """The same by pgmpy; ``worth`` is what authored numbers are worth, perhaps nothing."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import pandas as pd
        from pgmpy.estimators import BayesianEstimator, MaximumLikelihoodEstimator
        from pgmpy.models import DiscreteBayesianNetwork

        model = DiscreteBayesianNetwork([("cause", name) for name in FINDINGS])
        model.add_node("source")
        states = {"cause": list(CAUSES), "source": list(SOURCES)}
        states |= {name: [False, True] for name in FINDINGS}
        data = pd.DataFrame(rows)
        if worth:
            estimator = BayesianEstimator(model, data, state_names=states)
            cpds = estimator.get_parameters(prior_type="dirichlet", pseudo_counts=pseudo(worth))
        else:
            estimator = MaximumLikelihoodEstimator(model, data, state_names=states)
            cpds = estimator.get_parameters()
    tables = {cpd.variable: cpd for cpd in cpds}
    found = {name: tables["cause"].get_value(cause=name) for name in CAUSES}
    found |= {name: tables["source"].get_value(source=name) for name in SOURCES}
    for finding, cause in product(FINDINGS, CAUSES):
        if finding in AUTHORED[cause]:
            found[finding, cause] = tables[finding].get_value(**{finding: True, "cause": cause})
    return found


def pseudo(worth):
    """Each authored chance as the cases that it is worth; what cannot be, once as it is."""
    counts = {
        "cause": [[worth.how_common * COMMON[name]] for name in CAUSES],
        "source": [[worth.layout * SHARES[name]] for name in SOURCES],
    }
    for name in FINDINGS:
        chances = np.array([AUTHORED[cause].get(name, 0.0) for cause in CAUSES])
        counts[name] = (worth.strength * np.array([1.0 - chances, chances])).tolist()
    return counts


@pytest.mark.parametrize("worth", [None, PRIORS], ids=["alone", "with priors"])
def test_complete_cases_give_the_numbers_of_pgmpy(subject, rows, worth):
    found = ours(subject, rows, 1.0 if worth else 0.0)
    expected = theirs(rows, worth)
    assert len(expected) == 10
    assert {key: found[key] for key in expected} == pytest.approx(expected, abs=1e-12)


def test_a_prior_draws_towards_the_authored_number(rows):
    """What pgmpy is asked with and without priors differs: the test above tests two things."""
    alone, drawn = theirs(rows, None), theirs(rows, PRIORS)
    assert abs(drawn["dry", "valve"] - 0.9) < abs(alone["dry", "valve"] - 0.9)
