"""`reckon` on the command line: what is typed, what comes out, what is refused."""

import re
import shlex
from pathlib import Path

import pytest

from faultnet.reckon.calculators import CALCULATORS, SUBJECTS, calculator
from tests.cli.conftest import start
from tests.cli.test_start import imports

PAGE = Path(__file__).parents[2] / "docs" / "reckon.md"
EVERY = pytest.mark.parametrize("name", CALCULATORS)

REFUSED = [
    (["tnak", "44gal"], "no calculator `tnak`", "`tank`"),
    (["qqq"], "no calculator `qqq`", "lists them"),
    (["tank"], "Missing argument 'TANK'", "reckon tank --help"),
    (["tank", "44"], "tank: `44` has no unit", "10gal"),
    (["tank", "44psi"], "psi measures pressure, and this is a volume", "gal"),
    (["tank", "44gla"], "no unit `gla`", "gal"),
    (["tank", "44,5gal"], "point, not a comma", "10gal"),
    (["tank", "1,000gal"], "nothing between thousands", "10gal"),
    (["tank", "nangal"], "no number", "10gal"),
    (["tank", "1e999gal"], "beyond all measure", ""),
    (["tank", "-44gal"], "Tank of -44 gal cannot be", "between 0.1"),
    (["tank", "44gal", "30psi"], "no pair of numbers", "30/50psi"),
    (["tank", "44gal", "50/30psi"], "does not stop at 30 psi", "lower number first"),
    (["tank", "44gal", "--precharge", "60psi"], "no water enters", "Let air out to 28 psi"),
    (["tank", "44gal", "--precharge", "-20psi"], "Precharge of -20 psi cannot be", ""),
    (["tank", "44gal", "--precharg", "20psi"], "--precharg", "--precharge"),
    (["leak", "50psi", "60psi", "15min"], "The gauge rose", "wait 3 minutes"),
    (["leak", "50psi", "44psi", "15psi"], "psi measures pressure, and this is a time", "min"),
    (["suction", "20ft", "--water", "400F"], "Water of 400 degF cannot be", "300 degF"),
    (["suction", "20ft", "--kind", "clay"], "'clay' is not one of", "pvc"),
    (["friction", "8gpm", "60ft", "1-3/8"], "no pvc pipe of size `1-3/8`", "its bore"),
    (["bleach", "1000gal", "--strength", "60%"], "Strength of 60 % cannot be", "the bottle"),
    (["bleach", "1000gal", "--strength", "6"], "has no unit", "10%"),
    (["water-column", "23"], "has no unit", "NUMBERft or NUMBERpsi"),
    (["wire", "9.8A", "100ft", "14in"], "has a unit", "plain number"),
    (["cistern", "40in"], "--round 6ft", "reckon cistern --help"),
]


@EVERY
def test_example_runs(name, faultnet):
    words = shlex.split(calculator(name).example)
    ran = faultnet("reckon", name, *words)
    assert (ran.code, ran.err) == (0, "")
    assert "Formula:" in ran.out
    assert "Source:" in ran.out
    told = faultnet("reckon", name, *words, "--json")
    assert (told.code, told.err) == (0, "")
    assert told.json["schema_version"] == 1
    assert told.json["calculator"] == name
    for figure in told.json["figures"]:
        assert figure["title"] in ran.out
        assert all(value["low"] <= value["high"] for value in figure["values"])
    assert told.json["cautions"] or "!" not in ran.out


@EVERY
def test_help_is_light_and_has_the_example(name, faultnet):
    assert imports("reckon", name, "--help") == ("[]", 0)
    told = faultnet("reckon", name, "--help").out
    assert f"faultnet reckon {name} {calculator(name).example}"[:60] in told
    assert "invented" in told
    assert "--json" in told
    for ask in calculator(name).asks:
        assert (f"--{ask.name}" if ask.option else ask.name.upper()) in told


def test_an_answer_imports_nothing_heavy():
    assert imports("reckon", "suction", "20ft") == ("[]", 0)


def test_alone_it_lists_by_what_one_wants_to_know(faultnet):
    told = faultnet("reckon").out
    assert told == faultnet("reckon", "--help").out
    places = [told.index(question) for question in SUBJECTS.values()]
    assert places == sorted(places)
    for name, entry in CALCULATORS.items():
        assert re.search(rf"^ +{name} +{re.escape(entry.answers[:30])}", told, re.MULTILINE)


def test_list_as_json(faultnet):
    told = faultnet("reckon", "--json").json
    listed = {each["id"]: each for s in told["calculators"] for each in s["calculators"]}
    assert listed.keys() == CALCULATORS.keys()
    (first, *_) = listed["leak"]["asks"]
    assert first["name"] == "start"
    assert first["units"] == ["psi"]
    assert first["required"] is True


def test_json_may_stand_before_the_calculator(faultnet):
    assert faultnet("reckon", "--json", "drip").json == faultnet("reckon", "drip", "--json").json


@pytest.mark.parametrize(("words", "message", "mend"), REFUSED)
def test_refused_with_reason_and_mend(faultnet, words, message, mend):
    ran = faultnet("reckon", *words)
    assert (ran.code, ran.out) == (2, "")
    assert message in ran.err
    assert mend in ran.err
    assert "Traceback" not in ran.err
    told = faultnet("reckon", *words, "--json")
    assert (told.code, told.err) == (2, "")
    assert message in told.json["error"]["message"]


def test_numbers_below_nothing_are_no_options(faultnet):
    ran = faultnet("reckon", "suction", "-3ft", "--json")
    assert (ran.code, ran.err) == (0, "")
    assert ran.json["told"] == {"lift": "-3ft"}
    assert faultnet("reckon", "suction", "-.5m", "--water", "-3C").code == 2


def test_metric_in_both_systems_out(faultnet):
    shown = faultnet("reckon", "tank", "170L", "2/3.5bar").out
    assert re.search(r"Water from stop to start +[\d.]+ gal \([\d.]+ L\)", shown)


def test_what_nobody_said_is_told(faultnet):
    shown = faultnet("reckon", "tank", "44gal").out
    assert "30/50psi (settings not given)" in shown
    assert "0ft (altitude not given)" in shown


@pytest.mark.parametrize("width", [40, 80])
@EVERY
def test_fits_the_screen(name, width, faultnet, monkeypatch):
    monkeypatch.setenv("COLUMNS", str(width))
    shown = faultnet("reckon", name, *shlex.split(calculator(name).example)).out
    assert max(map(len, shown.splitlines())) <= width


def test_completion_of_names():
    ran = start(
        _FAULTNET_COMPLETE="bash_complete",
        COMP_WORDS="faultnet reckon ble",
        COMP_CWORD="2",
    )
    assert ran.out.split() == ["plain,bleach", "plain,bleach-well"]


@EVERY
def test_page_tells_every_calculator(name):
    page = PAGE.read_text(encoding="utf-8")
    assert f"## {name}\n" in page
    about = page.partition(f"## {name}\n")[2].partition("\n## ")[0]
    assert f"$ faultnet reckon {name} " in about
    assert "Source:" in about
    assert "Limits:" in about


def test_page_tells_no_other_calculator_and_marks_examples():
    page = PAGE.read_text(encoding="utf-8")
    told = re.findall(r"^## ([a-z-]+)$", page, re.MULTILINE)
    assert told == list(CALCULATORS)
    assert "invented" in page.partition("\n## ")[0]
