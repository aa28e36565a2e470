"""What the good knowledge becomes in the model."""

import math
from pathlib import Path

import pytest

from faultnet.authoring.library import read_knowledge
from faultnet.model.knowledge import Knowledge
from faultnet.model.origin import Number, Origin

GOOD = Path(__file__).parent / "knowledge"
SUCTION = "knowledge/parts/suction.yaml"


@pytest.fixture(scope="module")
def good() -> Knowledge:
    knowledge, problems = read_knowledge(GOOD)
    assert knowledge is not None, problems
    return knowledge


def line_of(text: str, name: str = "parts/suction.yaml") -> int:
    lines = (GOOD / name).read_text(encoding="utf-8").splitlines()
    (found,) = (number for number, line in enumerate(lines, 1) if text in line)
    return found


def values(numbers: tuple[Number, ...]) -> list[float]:
    return [number.value for number in numbers]


def test_word_keeps_its_number_place_and_origin(good: Knowledge) -> None:
    common = good.causes["foot-valve-leaks"].how_common
    assert (common.value, common.word, common.provenance) == (0.024, "common", ("judgement",))
    assert common.origin == Origin(SUCTION, line_of("how-common: common"), 17)


def test_nearest_from_counts(good: Knowledge) -> None:
    prime, below, above = good.causes["foot-valve-leaks"].shows[:3]
    assert prime.strength[0].provenance == ("judgement",)
    assert prime.strength[1].provenance == ("practice", "pipe-handbook")
    assert below.strength[0].provenance == ("judgement",)
    assert above.strength[0].provenance == ("memory",)
    assert good.words.how_common["rare"].provenance == ("practice",)
    assert good.procedures["priming"].steps[0].limit["tries"].provenance == ("practice",)


def test_strengths_per_answer_and_layout(good: Knowledge) -> None:
    prime, below, above, *_ = good.causes["foot-valve-leaks"].shows
    assert (prime.finding, values(prime.strength), prime.when) == ("prime-falls", [0.6, 0.2], {})
    assert (values(below.strength), below.when) == ([0.65], {"source-level": ("below-pump",)})
    assert (values(above.strength), above.when) == ([0.07], {"source-level": ("above-pump",)})
    lost = good.causes["prime-lost"].shows[0]
    assert lost.when == {"supply": ("115", "230")}


def test_factors_and_chains(good: Knowledge) -> None:
    leak = good.causes["foot-valve-leaks"]
    factors = [(each.about, each.value, each.factor.value) for each in leak.likelier_when]
    assert factors == [("after-freeze", "yes", 3.0), ("source-level", "below-pump", 1.5)]
    lost, cracked = leak.leads_to
    assert lost.strength is not None
    assert (lost.cause, lost.strength.value) == ("prime-lost", 0.65)
    assert (cracked.cause, cracked.strength) == ("pipe-cracked", None)


def test_findings(good: Knowledge) -> None:
    prime = good.findings["prime-falls"]
    assert prime.answers == ("no", "slowly", "quickly")
    assert (prime.normal, prime.fitful, prime.history) == ("no", True, False)
    assert values(prime.shows_anyway) == [0.02, 0.01]
    gauge = good.findings["gauge-falls"]
    assert gauge.all_answers == ("no", "yes", "cannot")
    assert gauge.trust["caller"].hit.value == 0.8
    silent, none = good.findings["no-water"].follows_from
    assert (silent.finding, values(silent.strength)) == ("no-sound", [0.9])
    assert none.when == {"source-level": ("below-pump",)}
    (danger,) = good.findings["tingle"].dangers
    assert (danger.answer, danger.stop) == ("yes", "full")


def test_what_checks_look_for_becomes_findings(good: Knowledge) -> None:
    first = good.findings["found-foot-valve-leaks"]
    assert first.title == "Found: Foot valve leaks"
    assert first.ask == "Is this what you see: Foot valve leaks?"
    assert (first.found_cause, first.history, first.answers) == (
        "foot-valve-leaks", True, ("no", "yes"),
    )  # fmt: skip
    assert values(first.shows_anyway) == [0.05]
    second = good.findings["found-foot-valve-leaks-by-lift-the-line"]
    assert values(second.shows_anyway) == [0.01]
    shown = {link.finding: values(link.strength) for link in good.causes["foot-valve-leaks"].shows}
    assert shown[first.id] == [0.65]
    assert shown[second.id] == [0.9]
    assert good.checks["look-at-prime"].reveals == ("prime-falls", "source-level", first.id)
    assert good.checks["lift-the-line"].reveals == (second.id, "found-pipe-cracked")


def test_work_and_repairs(good: Knowledge) -> None:
    hold = good.checks["hold-test"].work
    assert (hold.minutes.value, hold.waiting.value, hold.place) == (3.0, 15.0, "pump")
    assert hold.set_ups == {"house-valve-shut": True, "power-locked-out": False}
    assert hold.steps == ("Shut the house valve.", "Wait.", "Read.", "Wait.")
    renew = good.repairs["renew-foot-valve"]
    assert (renew.succeeds.value, renew.succeeds.word) == (0.9, "almost-always")
    assert renew.brings["prime-lost"].value == 0.05
    again = good.repairs["prime-again"]
    assert again.succeeds == good.words.repair_succeeds
    assert (again.disinfect, again.proof_minutes.value, again.work.waiting.value) == ("none", 0, 0)


def test_systems_fill_in_what_they_leave_open(good: Knowledge) -> None:
    system = good.systems["jet-pump"]
    assert {k: v.value for k, v in system.layout["source-level"].items()} == {
        "below-pump": 0.9, "above-pump": 0.1,
    }  # fmt: skip
    assert list(system.layout["supply"]) == ["115"]
    assert system.circumstances["after-freeze"].value == 0.1
    assert system.unlisted.shows[0].finding == "no-water"


def test_layout_priors_come_to_one(good: Knowledge) -> None:
    priors = [value.prior.value for value in good.layouts["supply"].values]
    assert math.fsum(priors) == pytest.approx(1)
    assert priors[0] == pytest.approx(0.333 / 0.999)


def test_layout_that_no_system_names_keeps_its_priors(folder: Path) -> None:
    path = folder / "systems/jet-pump.yaml"
    path.write_text(path.read_text().replace("  supply: {115: 1.0, 230: 0}\n", ""))
    path.write_text(path.read_text().replace("circumstances: {after-freeze: 0.1}\n", ""))
    knowledge, problems = read_knowledge(folder)
    assert knowledge is not None, problems
    system = knowledge.systems["jet-pump"]
    assert list(system.layout["supply"]) == ["115", "230"]
    assert system.circumstances["after-freeze"].value == 0.07


def test_readings_and_the_rest(good: Knowledge) -> None:
    hold = good.readings["hold"]
    assert (hold.unit, hold.accuracy.amount.value, hold.at_least["minutes"].value) == ("psi", 1, 10)
    no, yes = hold.answers
    assert no.under is not None
    assert (no.answer, no.over, no.under.value) == ("no", None, 2.0)
    assert (yes.answer, yes.under) == ("yes", None)
    assert hold.possible["start"][1].value == 150
    assert good.look_alikes["no-prime"].parted_by == "lift-the-line"
    assert good.rates.calls["qualified"].money.value == 120
    assert good.rates.after_hours is not None
    assert good.sources["pipe-handbook"].read
    assert good.set_ups["pressure-bled"].requires == ("power-locked-out",)
    assert good.parts["suction"].title == "Suction line"


def test_places_are_named_from_the_folder_on(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(folder)
    knowledge, _ = read_knowledge(Path())
    assert knowledge is not None
    assert knowledge.causes["prime-lost"].origin.file == SUCTION


def test_a_danger_needs_no_cause(folder: Path) -> None:
    """Somebody inside a cistern stops everything, whatever is wrong with the pump."""
    trial = "part: trial\ntitle: Trial\nfrom: judgement\nfindings:\n  inside: {title: Inside, "
    trial += "ask: Is anybody inside?, shows-anyway: rarely"
    path = folder / "parts/trial.yaml"
    path.write_text(trial + "}\n", encoding="utf-8")
    assert [each.code for each in read_knowledge(folder)[1]] == ["finding-nobody-produces"]
    path.write_text(trial + ", danger: {yes: {stop: full, say: Come out.}}}\n", encoding="utf-8")
    assert read_knowledge(folder)[1] == ()
