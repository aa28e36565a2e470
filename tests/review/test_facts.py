"""Facts that numbers stand behind: each by hand, on small knowledge."""

import msgspec
import pytest

from faultnet.advice.subject import make_subject
from faultnet.inference.engine import TooLargeError
from faultnet.review import facts as room
from faultnet.review.facts.alone import Alone
from faultnet.review.facts.raising import raised_by_any, raised_by_caller, raised_by_complaint
from faultnet.review.facts.told import Told
from tests.review.conftest import GOOD, facts_of, read

RATTLE = (
    "  rattle: {title: Rattle, ask: R?, ask-caller: R?, shows-anyway: 0.02, urgency: nuisance}\n"
)


def written(folder, text, file="parts/trial.yaml"):
    head = "part: trial\ntitle: Trial\nfrom: judgement\n" * file.startswith("parts/trial")
    (folder / file).write_text(head + text, encoding="utf-8")
    return {problem.code: problem for problem in facts_of(folder)}


# -- causes out of reach


def test_the_factor_is_that_of_one_answer(trial):
    """Bayes by hand is what ``Told`` does; here the pick is looked at, on its own figures."""
    subject = trial()
    told = Told(subject)
    index = subject.causes["switch-burnt"]
    before = told.causes[index]
    by_any = raised_by_any(told)[index]
    assert by_any.about == "found-switch-burnt"
    assert by_any.factor == pytest.approx(told.after("found-switch-burnt")[index] / before)
    by_caller = raised_by_caller(told)[index]
    assert by_caller.about == "motor-silent"
    heard = told.after_word("motor-silent", "caller")["yes"][index]
    assert by_caller.factor == pytest.approx(heard / before)
    assert raised_by_complaint(told)[index] == by_caller


def test_what_a_caller_says_counts_by_what_it_is_worth(trial):
    cause = (
        "causes:\n  bent: {title: Bent, how-common: 0.1, shows: {hum: 0.9}, repair: mend-line}\n"
        "findings:\n  hum: {title: Hum, ask: Hum?, ask-caller: Hum?, shows-anyway: 0.02,"
        " trust: {caller: {hit: %s, false-alarm: %s}}}\n"
    )
    factors = []
    for word in ((0.9, 0.04), (0.5, 0.5)):
        subject = trial(cause % word)
        factors.append(raised_by_caller(Told(subject))[subject.causes["bent"]].factor)
    assert factors[0] > 3
    assert factors[1] < 1.5


def test_a_no_raises_nothing_that_is_told(folder):
    """All denied, the last cause must be it; that is no answer that points at it."""
    told = written(
        folder,
        "causes:\n  bent: {title: Bent, how-common: 0.9, shows: {gauge-falls:"
        " {slowly: 0.01, quickly: 0.01}}, repair: mend-line}\n",
    )
    assert "cause-nothing-raises" in told
    subject = make_subject(read(folder)[0], "pump")
    chances = Told(subject).after_word("motor-silent", "technician")
    assert chances["no"][subject.causes["bent"]] > Told(subject).causes[subject.causes["bent"]]


@pytest.mark.parametrize(("caller", "told"), [("ask-caller: Tingle?, ", False), ("", True)])
def test_people_call_for_a_danger(folder, caller, told):
    found = written(
        folder,
        "causes:\n  bent: {title: Bent, how-common: 0.1, shows: {hum: often, tingle: often},"
        " repair: mend-line}\nfindings:\n"
        "  hum: {title: Hum, ask: H?, ask-caller: H?, shows-anyway: 0.02}\n"
        f"  tingle: {{title: Tingle, ask: T?, {caller}shows-anyway: 0.001,"
        " danger: {yes: {stop: full, say: Off., send: Somebody.}}}\n",
    )
    assert ("cause-no-complaint-raises" in found) == told


def test_where_nothing_is_asked_of_callers_nothing_is_said_of_them(folder):
    small = (folder / "parts/small.yaml").read_text(encoding="utf-8")
    kept = [line for line in small.splitlines() if "ask-caller" not in line]
    quiet = "\n".join(line for line in kept if "urgency" not in line)
    told = written(folder, quiet, "parts/small.yaml")
    assert {"cause-no-caller-raises", "cause-no-complaint-raises"}.isdisjoint(told)


def test_systems_are_named_where_it_is_so(folder):
    system = (folder / "systems/pump.yaml").read_text(encoding="utf-8")
    plain = system.replace("system: pump", "system: wet").replace("{no-water: sometimes}", "{}")
    without = plain.replace("captive-air: 0.8, plain: 0.2", "captive-air: 0, plain: 1")
    (folder / "systems/wet.yaml").write_text(without, encoding="utf-8")
    told = written(
        folder,
        "causes:\n  bent: {title: Bent, how-common: 0.1, shows: {hum: 0.9, rattle: {strength:"
        " often, when: {tank: captive-air}}}, repair: mend-line}\n"
        "findings:\n"
        + RATTLE
        + "  hum: {title: Hum, ask: H?, ask-caller: H?, shows-anyway: 0.02}\n",
    )
    assert told["cause-no-complaint-raises"].message.startswith(
        "No complaint of a caller raises it in wet: at most 1."
    )


@pytest.mark.parametrize(
    ("layout", "why"),
    [("captive-air: 0, plain: 1", "layout of its `only-when`"), ("captive-air: 1, plain: 0", "")],
)
def test_a_cause_that_no_layout_allows(folder, layout, why):
    system = (folder / "systems/pump.yaml").read_text(encoding="utf-8")
    told = written(
        folder, system.replace("captive-air: 0.8, plain: 0.2", layout), "systems/pump.yaml"
    )
    assert ("cause-nowhere" in told) == bool(why)
    if why:
        assert told["cause-nowhere"].entity == "tank-flat"
        assert why in told["cause-nowhere"].message


# -- numbers that say nothing


def test_how_often_it_is_there_is_told(folder):
    text = (
        "causes:\n  bent: {title: Bent, how-common: 0.1, shows: {rattle: often, hum: 0.95},"
        " repair: mend-line}\nfindings:\n"
        + RATTLE
        + "  hum: {title: Hum, ask: H?, shows-anyway: %s}\n"
    )
    assert "finding-on-every-call" not in written(folder, text % 0.88)
    problem = written(folder, text % 0.9)["finding-on-every-call"]
    subject = make_subject(read(folder)[0], "pump")
    often = Told(subject).often["hum"]
    assert often > 0.9
    assert f"{100 * often:.0f} of 100 calls in pump" in problem.message


@pytest.mark.parametrize(("leak", "told"), [(0.29, False), (0.3, True)])
def test_a_leak_as_large_as_any_strength(folder, leak, told):
    text = (
        "causes:\n  bent: {title: Bent, how-common: 0.1, shows: {rattle: often, hum: sometimes},"
        " repair: mend-line}\nfindings:\n"
        + RATTLE
        + f"  hum: {{title: Hum, ask: H?, shows-anyway: {leak}}}\n"
    )
    assert ("leak-above-strengths" in written(folder, text)) == told


def test_a_rule_counts_as_a_strength(folder):
    text = (
        "findings:\n  hum: {title: Hum, ask: H?, shows-anyway: 0.3,"
        " follows-from: {motor-silent: often}}\n"
    )
    assert "leak-above-strengths" not in written(folder, text)


@pytest.mark.parametrize(
    ("answers", "told"),
    [
        ("{no: {under: 2}, little: {over: 2, under: 9}, much: {over: 9}}", False),
        ("{no: {over: 9}, little: {over: 2, under: 9}, much: {under: 2}}", False),
        ("{no: {under: 2}, little: {over: 9}, much: {over: 2, under: 9}}", True),
    ],
)
def test_ranges_run_the_way_of_the_answers(folder, answers, told):
    text = (
        "causes:\n  bent: {title: Bent, how-common: 0.1, shows: {rattle: often, drip:"
        " {little: 0.3, much: 0.3}}, repair: mend-line}\nfindings:\n"
        + RATTLE
        + "  drip: {title: Drip, ask: D?, answers: [no, little, much],"
        " shows-anyway: {little: 0.02, much: 0.01}}\n"
        "readings:\n  drops: {title: Drops, finding: drip, takes: {start: psi, end: psi},"
        f" value: fall, accuracy: 1, answers: {answers},"
        " possible: {start: [0, 60], end: [0, 60]}}\n"
    )
    assert ("grades-out-of-order" in written(folder, text)) == told


# -- links


@pytest.mark.parametrize(("hider", "told"), [(0.949, False), (0.951, True)])
def test_a_link_that_is_seen_once_in_twenty_times(folder, hider, told):
    """What hides it: the link (.949 or .951) beside a leak of .01, against 19 of 20.

    Seen when neither is there: (1 - hider) * .99 * (1 - .35 * .98) of the strength .65.
    """
    text = (
        f"causes:\n  bent: {{title: Bent, how-common: 0.1, shows: {{motor-silent: {hider},"
        " rattle: often, short-cycles: often}, repair: mend-line}\nfindings:\n"
    )
    seen = (1 - hider) * 0.99 * (1 - 0.35 * 0.98)
    assert (seen <= 0.05 * 0.65) == told
    assert ("link-hidden" in written(folder, text + RATTLE)) == told


@pytest.mark.parametrize(("rule", "told"), [(0.91, False), (0.93, True)])
def test_a_link_that_a_rule_brings_about_as_often(folder, rule, told):
    """Without the link, what the cause shows with .97 beside a leak of .02 brings it about."""
    text = (
        "causes:\n  bent: {title: Bent, how-common: 0.1, shows: {rattle: 0.97, hum: sometimes},"
        " repair: mend-line}\nfindings:\n"
        + RATTLE
        + f"  hum: {{title: Hum, ask: H?, shows-anyway: 0.02, follows-from: {{rattle: {rule}}}}}\n"
    )
    assert (rule * (1 - 0.03 * 0.98) >= 0.9) == told
    assert ("link-told-twice" in written(folder, text)) == told


# -- layouts and conditions


@pytest.mark.parametrize(("factor", "told"), [(1, False), (4, True)])
def test_a_circumstance_that_nobody_asks_for(folder, factor, told):
    """A factor of one moves nothing, so nobody need ask."""
    text = (GOOD / "circumstances.yaml").read_text(encoding="utf-8")
    text += "  dull: {title: Dull, ask: Dull?, prior: 0.1}\n"
    (folder / "circumstances.yaml").write_text(text, encoding="utf-8")
    found = written(
        folder,
        f"causes:\n  bent: {{title: Bent, how-common: 0.1, likelier-when: {{dull: {factor}}},"
        " shows: {rattle: often}, repair: mend-line}\nfindings:\n" + RATTLE,
    )
    assert ("layout-never-asked" in found) == told
    if told:
        assert found["layout-never-asked"].entity == "dull"
        assert "with `yes`, `bent` goes from" in found["layout-never-asked"].message


def test_a_layout_that_a_check_hangs_on_is_used(folder):
    text = (GOOD / "layout.yaml").read_text(encoding="utf-8")
    text += "  edge: {title: Edge, ask: E?, values: {left: {title: Left, prior: 0.5},"
    text += " right: {title: Right, prior: 0.5}}}\n"
    (folder / "layout.yaml").write_text(text, encoding="utf-8")
    check = (
        "checks:\n  see: {title: See, minutes: 0.1, who: technician, reveals: [motor-silent],"
        " only-when: {edge: left}}\n"
    )
    assert "layout-changes-nothing" not in written(folder, check)


NEVER_FINDING = (
    "findings:\n  hum: {title: H, ask: H?, shows-anyway: 0.1, only-when: {side: up},"
    " follows-from: {motor-silent: often}}\n"
)
NEVER_CHECK = (
    "checks:\n  see: {title: S, minutes: 0.1, who: technician, reveals: [motor-silent],"
    " only-when: {side: up}}\n"
)
NEVER_RULE = (
    "findings:\n  hum: {title: H, ask: H?, shows-anyway: 0.1, follows-from:\n"
    "    {motor-silent: {strength: often, when: {side: up}}, no-water: often}}\n"
)


@pytest.mark.parametrize(
    ("text", "place"), [(NEVER_FINDING, "5:3"), (NEVER_CHECK, "5:3"), (NEVER_RULE, "6:6")]
)
def test_conditions_that_no_system_can_meet(folder, text, place):
    problem = written(folder, text)["no-system-allows"]
    assert f"{problem.line}:{problem.column}" == place


def test_conditions_that_shut_each_other_out_are_told_by_lint(folder):
    told = written(
        folder,
        "causes:\n  bent: {title: Bent, how-common: 0.1, only-when: {tank: plain}, shows: {rattle:"
        " often, no-water: {strength: often, when: {tank: captive-air}}}, repair: mend-line}\n"
        "findings:\n" + RATTLE,
    )
    assert told == {}


# -- repairs, and systems that are too large


@pytest.mark.parametrize(
    ("minutes", "who", "told"),
    [(479, "technician", False), (480, "technician", True), (480, "specialist", False)],
)
def test_a_repair_as_dear_as_the_specialist(folder, minutes, who, told):
    text = (
        "causes:\n  bent: {title: Bent, how-common: 0.1, shows: {rattle: often}, repair: dear}\n"
        f"repairs:\n  dear: {{title: Dear, minutes: {minutes}, who: {who}, proof: It is.}}\n"
        "findings:\n" + RATTLE
    )
    assert ("repair-dearer-than-specialist" in written(folder, text)) == told


def test_a_system_that_is_too_large_is_told_and_the_rest_looked_at(monkeypatch, folder):
    def refuse(self):
        raise TooLargeError(2**40, 2**25, ["hum"])

    text = (
        "repairs:\n  dear: {title: Dear, minutes: 481, who: technician, proof: It is.}\n"
        "findings:\n  hum: {title: H, ask: H?, shows-anyway: 0.5,"
        " follows-from: {motor-silent: rarely}}\n"
    )
    monkeypatch.setattr(Told, "often", property(refuse))
    told = written(folder, text)
    assert set(told) == {"facts-not-weighed", "leak-above-strengths"}
    assert "1,099,511,627,776 cells" in told["facts-not-weighed"].message
    assert told["facts-not-weighed"].entity == "pump"


def test_beyond_too_many_layouts_one_root_at_a_time(monkeypatch, trial):
    text = (
        "causes:\n  bent: {title: Bent, how-common: 0.1, shows: {hum: {strength: often,"
        " when: {tank: plain}}}, repair: mend-line}\n"
        "findings:\n  hum: {title: H, ask: H?, shows-anyway: 0.1}\n"
    )
    subject = trial(text)
    whole = Alone(subject)
    monkeypatch.setattr("faultnet.review.facts.alone.MOST_STATES", 1)
    rooted = Alone(msgspec.structs.replace(subject))
    hum = subject.findings["hum"]
    assert [c.states for c in rooted.columns if c.finding == hum] == [((0, 0),), ((0, 1),)]
    assert rooted.shown == pytest.approx(whole.shown, nan_ok=True)


def test_facts_are_in_order_and_once():
    knowledge, examples = read(GOOD)
    assert room.facts(knowledge, examples) == ()
