"""Causes that no finding parts, and the finding that would."""

import numpy as np
import pytest

from faultnet.advice.subject import make_subject
from faultnet.review.facts.alone import Alone
from faultnet.review.facts.parting import NEAR, _most_telling, _near, unparted
from faultnet.review.facts.told import Told
from tests.review.conftest import read

CAUSE = "title: Pipe torn, how-common: 0.1, repair: mend-line"
BY_TANK = """shows: {hum: [
  {strength: often, when: {tank: plain}}, {strength: 0.62, when: {tank: captive-air}}]}"""
MORE = """\
  loud: {title: Loud, how-common: 0.001, repair: mend-line, shows: {hum: 0.2, drip: 0.2, din: 0.2}}
findings:
  hum: {title: Hum, ask: Hum?, shows-anyway: 0.02}
  drip: {title: Drip, ask: Drip?, shows-anyway: 0.02, hidden-by: [hum]}
  din: {title: Din, ask: Din?, shows-anyway: 0.02, follows-from: {hum: 1}}
"""


def told(subject):
    return list(unparted(Told(subject), Alone(subject), set()))


@pytest.mark.parametrize(
    ("one", "other", "apart"),
    [
        ("shows: {hum: often}", "shows: {hum: 0.7}", False),
        ("shows: {hum: often}", "shows: {hum: 0.71}", True),
        ("shows: {hum: often}", "shows: {hum: often, drip: 0.05}", False),
        # a difference that what hides the finding lets nobody see
        ("shows: {hum: 0.97}", "shows: {hum: 0.97, drip: often}", False),
        ("shows: {hum: often}", "shows: {hum: often, drip: often}", True),
        # a difference that follows anyway
        ("shows: {hum: 0.97}", "shows: {hum: 0.97, din: often}", False),
        ("shows: {hum: often}", "shows: {hum: often, din: often}", True),
        # the same under every layout, written otherwise
        (
            "shows: {hum: often}",
            BY_TANK,
            False,
        ),
        (
            "shows: {hum: {strength: often, when: {tank: plain}}}",
            "shows: {hum: {strength: often, when: {tank: captive-air}}}",
            True,
        ),
        # the difference stands where only one of them can be
        (
            "shows: {hum: {strength: often, when: {tank: plain}}}, only-when: {tank: plain}",
            "shows: {hum: often}",
            False,
        ),
        ("shows: {hum: often}, only-when: {tank: plain}",
         "shows: {hum: often}, only-when: {tank: captive-air}", True),
        ("shows: {hum: often}, leads-to: {tank-flat: often}", "shows: {hum: often}", True),
        ("audit: yes", "audit: yes", True),
    ],
)  # fmt: skip
def test_what_parts_two_causes(trial, one, other, apart):
    subject = trial(f"causes:\n  one: {{{CAUSE}, {one}}}\n  other: {{{CAUSE}, {other}}}\n{MORE}")
    assert [each.entity for each in told(subject)] == ([] if apart else ["other"])


def test_what_a_check_looks_for_parts_nothing(trial):
    looks = "checks:\n  see: {title: See, minutes: 1, who: technician, looks-for: {one: often}}\n"
    subject = trial(f"causes:\n  one: {{{CAUSE}}}\n  other: {{{CAUSE}}}\n{looks}")
    assert [each.entity for each in told(subject)] == ["other"]


def test_look_alikes_are_meant(trial):
    group = "look-alikes:\n  both: {causes: [one, other], parted-by: ask}\n"
    subject = trial(f"causes:\n  one: {{{CAUSE}}}\n  other: {{{CAUSE}}}\n{group}")
    assert told(subject) == []


def test_a_pair_is_told_of_one_system_only(trial, folder):
    trial(f"causes:\n  one: {{{CAUSE}}}\n  other: {{{CAUSE}}}\n")
    text = (folder / "systems/pump.yaml").read_text(encoding="utf-8")
    (folder / "systems/second.yaml").write_text(text.replace("system: pump", "system: second"))
    knowledge, _ = read(folder)
    done = set()
    subjects = [make_subject(knowledge, system) for system in knowledge.systems]
    found = [list(unparted(Told(each), Alone(each), done)) for each in subjects]
    assert [len(each) for each in found] == [1, 0]


def test_the_mend_names_check_and_how_far_it_parts(trial):
    """Shares of .2 and .1: often (.65) with looks false once in 100, at the likelier of the two.

    Yes names the first (2/3 of .6535), no the likelier of what is left (1/3 of .99 against
    2/3 of .3465): 0.6535 * 2/3 + 0.99 / 3 = 0.766; the other way round it comes to 0.8745.
    """
    one = "title: One, how-common: 0.2, repair: mend-line, shows: {hum: often}"
    other = "title: Other, how-common: 0.1, repair: mend-line, shows: {hum: often}"
    checks = (
        "checks:\n"
        "  dear: {title: Dear, minutes: 9, who: technician, reveals: [hum]}\n"
        "  cheap: {title: Cheap, minutes: 2, who: technician, reveals: [hum],"
        " set-ups: {power-locked-out: on}}\n"
        "  near: {title: Near, minutes: 1, who: technician, reveals: [drip]}\n"
    )
    subject = trial(f"causes:\n  one: {{{one}}}\n  other: {{{other}}}\n{MORE}{checks}")
    (each,) = told(subject)
    assert each.message == (
        "No finding parts it from `one`: alone, both show the same equally often "
        "(at most 0.00 apart)."
    )
    chances = Told(subject).causes[[subject.causes["one"], subject.causes["other"]]]
    share = chances / chances.sum()
    yes = 1 - 0.35 * 0.99
    ways = [
        max(s * yes, (1 - s) * 0.01) + max(s * (1 - yes), (1 - s) * 0.99) for s in share.tolist()
    ]
    shows, left = ("one", "other") if ways[0] > ways[1] else ("other", "one")
    assert each.hint == (
        f"Write a finding that `{shows}` shows often (0.65) and `{left}` does not, revealed by "
        "the check `near` at 1 min: it names the right one of the two in "
        f"{100 * max(ways):.0f} of 100 such calls instead of {100 * share.max():.0f}. "
        "Or put both into a look-alikes group."
    )


def test_a_new_check_where_none_is_near(trial):
    subject = trial(f"causes:\n  one: {{{CAUSE}}}\n  other: {{{CAUSE}}}\n")
    (each,) = told(subject)
    assert "does not, revealed by a new check: it names" in each.hint


def test_a_full_check_is_not_named(trial):
    """The check `full` is cheaper than `ask`, and reveals all that a check may."""
    shows = "shows: {no-water: 0.5}"
    causes = f"causes:\n  one: {{{CAUSE}, {shows}}}\n  other: {{{CAUSE}, {shows}}}\n"
    full = (
        "checks:\n  full: {title: Full, minutes: 0.1, who: technician, reveals:"
        " [no-water, motor-silent, tap-spits-air, short-cycles, gauge-falls]}\n"
    )
    (each,) = told(trial(causes + full))
    assert "revealed by the check `ask` at 1 min: " in each.hint


@pytest.mark.parametrize(("minutes", "dearer"), [(0.5, False), (7, True)])
def test_a_look_that_is_cheap_itself_is_named(trial, minutes, dearer):
    shows = "shows: {no-water: 0.5}"
    causes = f"causes:\n  one: {{{CAUSE}, {shows}}}\n  other: {{{CAUSE}, {shows}}}\n"
    look = (
        f"checks:\n  see: {{title: See, minutes: {minutes}, who: technician, set-ups:"
        " {power-locked-out: on}, looks-for: {one: often}}\n"
        "  ask-more: {title: Ask, minutes: 8, who: caller, reveals: [no-water]}\n"
    )
    system_check = "`see` takes 15 min, power locked out included" if dearer else "`ask`"
    (each,) = told(trial(causes + look))
    assert system_check in each.hint


@pytest.mark.parametrize("seed", range(4))
def test_the_quick_search_misses_no_pair(seed):
    """Every pair that is near in each column is held together, whatever the table."""
    rng = np.random.default_rng(seed)
    kinds = rng.random((30, 4)).round(1)
    shown = kinds[:, rng.integers(0, 4, 40)] + rng.uniform(0, 0.06, (30, 40))
    shown[rng.random(shown.shape) < 0.1] = np.nan
    causes = list(range(40))
    gap = np.abs(shown[:, :, None] - shown[:, None, :])
    alike = ~(gap > NEAR + 1e-9).any(axis=0)
    wanted = {(i, j) for i in causes for j in causes if i < j and alike[i, j]}
    found = set(_near(shown, causes, _most_telling(shown)))
    assert wanted <= found
    assert 0 < len(wanted) < len(found) < 40 * 39 / 2
