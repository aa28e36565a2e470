"""Every calculator: what it asks, that it answers, that bad input is refused and nothing else."""

import ast
import inspect
import math
import shlex
from importlib import import_module
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from faultnet import reckon as room
from faultnet.reckon.answer import OTHER_SYSTEM, figure, rounded
from faultnet.reckon.ask import Ask, Pair, Quantity, take
from faultnet.reckon.between import Between
from faultnet.reckon.calculator import reckon
from faultnet.reckon.calculators import CALCULATORS, SUBJECTS, calculator
from faultnet.reckon.limits import LIMITS
from faultnet.reckon.units import UNITS, UnfitNumberError

EVERY = pytest.mark.parametrize("name", CALCULATORS)


def typed_in(made):
    """Return the example of a calculator by the names of its asks."""
    words = shlex.split(made.example)
    told = {}
    places = iter(ask.name for ask in made.asks if not ask.option)
    while words:
        word = words.pop(0)
        told[word[2:] if word.startswith("--") else next(places)] = (
            words.pop(0) if word.startswith("--") else word
        )
    return told


def sound(answer):
    """Look that every figure is finite and its ends in order."""
    for each in answer.figures:
        for _, (low, high) in each.in_both():
            assert math.isfinite(low)
            assert math.isfinite(high)
            assert low <= high


@EVERY
def test_example_is_answered(name):
    made = calculator(name)
    reckoned = reckon(made, typed_in(made))
    answer = reckoned.answer
    sound(answer)
    assert answer.figures
    assert answer.formula
    assert all(answer.sources)
    assert len({each.id for each in answer.figures}) == len(answer.figures)
    for text in (*answer.says, *answer.cautions):
        assert text.endswith((".", "?")), text
    left_out = [ask for ask in made.asks if ask.default and ask.name not in typed_in(made)]
    assert len(reckoned.assumed) == len(left_out)


@EVERY
def test_what_is_asked_is_what_is_taken(name):
    made = calculator(name)
    own = inspect.signature(made.work).parameters
    assert set(made.gathered) <= set(own)
    parameters = dict(own)
    for kind in made.gathered.values():
        together = inspect.signature(kind).parameters
        assert not together.keys() & parameters.keys()
        parameters |= together
    open_ended = any(p.kind is p.VAR_KEYWORD for p in parameters.values())
    for ask in made.asks:
        assert ask.name.replace("-", "").isalpha()
        assert open_ended or ask.key in parameters
        if ask.required:
            assert parameters[ask.key].default is inspect.Parameter.empty
        elif not ask.default and not open_ended:
            assert parameters[ask.key].default is not inspect.Parameter.empty
        if len(ask.units) == 1 and not ask.pair:
            assert LIMITS[ask.key].unit == ask.units[0]


@EVERY
def test_required_come_before_the_rest(name):
    places = [ask.required for ask in calculator(name).asks if not ask.option]
    assert places == sorted(places, reverse=True)


@EVERY
def test_nothing_told_is_refused_or_all_assumed(name):
    made = calculator(name)
    if any(ask.required for ask in made.asks) or name == "demand":
        with pytest.raises(UnfitNumberError):
            reckon(made, {})
    else:
        sound(reckon(made, {}).answer)


@EVERY
def test_unknown_name_is_refused(name):
    with pytest.raises(UnfitNumberError, match="Nothing here is called qqq"):
        reckon(calculator(name), {"qqq": "1ft"})


def texts(ask):
    """Return texts for an ask, good ones and bad ones."""
    if ask.choices:
        return st.sampled_from([*ask.choices, "none of them", ""])
    if ask.word:
        return st.sampled_from(["1-1/4", "2in", "1 1/2", '3/4"', "nine", ""])
    numbers = st.one_of(
        st.sampled_from([0.0, 1.0, 1e-9, -1.0, 1e9, 1e308, 5e-324, 30.0, 50.0, 0.5]),
        st.floats(0.01, 500.0),
        st.floats(allow_nan=False, allow_infinity=False),
    )
    alike = [n for n, u in UNITS.items() if u.measures in {UNITS[w].measures for w in _in(ask)}]
    units = st.sampled_from(alike or ["", "%", "ft"])
    if ask.pair:
        return st.tuples(numbers, numbers, units).map(lambda t: f"{t[0]:g}/{t[1]:g}{t[2]}")
    return st.tuples(numbers, units).map(lambda t: f"{t[0]!r}{t[1]}")


def _in(ask):
    return [unit for unit in ask.units if unit in UNITS]


@EVERY
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(data=st.data())
def test_anything_typed_is_answered_soundly_or_refused(name, data):
    made = calculator(name)
    told = {
        ask.name: data.draw(texts(ask), ask.name)
        for ask in made.asks
        if ask.required or data.draw(st.booleans())
    }
    try:
        reckoned = reckon(made, told)
    except UnfitNumberError:
        return
    sound(reckoned.answer)


def test_a_figure_without_end_is_refused():
    with pytest.raises(UnfitNumberError, match="without end"):
        reckon(calculator("cycling"), {"flow": "2.2250738585e-313L/min", "drawdown": "1L"})


@EVERY
@settings(max_examples=40, deadline=None)
@given(data=st.data(), junk=st.text(max_size=20))
def test_junk_is_refused(name, data, junk):
    made = calculator(name)
    ask = data.draw(st.sampled_from(made.asks))
    try:
        reckoned = reckon(made, {**typed_in(made), ask.name: junk})
    except UnfitNumberError:
        return
    sound(reckoned.answer)


def test_metric_and_us_say_the_same():
    made = calculator("suction")
    us = reckon(made, {"lift": "20ft", "altitude": "5000ft", "water": "50degF"}).answer
    metric = reckon(made, {"lift": "6.096m", "altitude": "1524m", "water": "10C"}).answer
    for one, other in zip(us.figures, metric.figures, strict=True):
        assert one.value == pytest.approx(other.value, rel=1e-6)


def test_suction_says_where_it_stands():
    made = calculator("suction")

    def says(**told):
        return " ".join(reckon(made, told).answer.says)

    assert "Within" in says(lift="10ft")
    assert "At the limit" in says(lift="24ft")
    assert "Beyond" in says(lift="30ft")
    assert "air comes in" in says(lift="20ft", vacuum="10inHg")
    assert "fits lift and friction" in says(lift="20ft", vacuum="19inHg")
    assert "blocked strainer" in says(lift="10ft", vacuum="22inHg")


@pytest.mark.parametrize(
    ("name", "told", "reason"),
    [
        ("suction", {"lift": "9ft", "flow": "8gpm"}, "Friction needs all of"),
        (
            "suction",
            {"lift": "9ft", "flow": "8gpm", "length": "9ft", "size": "1", "friction": "1ft"},
            "not both",
        ),
        ("leak", {"precharge": "28psi"}, "give the tank as well"),
        ("leak", {"tank": "44gal", "precharge": "28psi", "air": "9gal"}, "one way"),
        ("leak", {"tank": "44gal", "precharge": "48psi"}, "holds no water"),
        ("hold", {"tank": "44gal"}, "both tank and precharge"),
        ("cistern", {}, "--round 6ft"),
        ("cistern", {"long": "8ft"}, "--round 6ft"),
        ("cistern", {"round": "6ft", "long": "8ft", "wide": "8ft"}, "--round 6ft"),
        ("left", {}, "either --people"),
        ("left", {"people": "4", "use": "200gal/day"}, "either --people"),
        ("amps", {"measured": "8A"}, "give --plate"),
        ("demand", {"shower": "0"}, "at least one fixture"),
        ("wire", {"current": "300A", "length": "9000ft", "awg": "14"}, "cannot carry"),
    ],
)
def test_what_does_not_go_together(name, told, reason):
    needed = {
        "leak": {"start": "50psi", "end": "44psi", "time": "15min"},
        "hold": {"every": "2h"},
        "cistern": {"depth": "40in"},
        "left": {"water": "1200gal"},
        "amps": {"power": "1/2hp"},
    }
    with pytest.raises(UnfitNumberError, match=reason):
        reckon(calculator(name), {**needed.get(name, {}), **told})


def test_leak_is_the_wider_the_less_is_known():
    made = calculator("leak")

    def width(**known):
        fell = {"start": "50psi", "end": "44psi", "time": "15min"}
        (leak, *_) = reckon(made, fell | known).answer.figures
        return leak.value.high / leak.value.low

    assert width(tank="44gal", precharge="28psi") < 2.0
    assert width(drawdown="12gal") < 2.0
    assert width(air="5gal") < 2.0
    assert width(tank="44gal") > 100.0
    assert width() > width(tank="44gal")


def test_wrong_precharge_is_told():
    made = calculator("tank")

    def says(precharge):
        told = {"tank": "44gal", "settings": "30/50psi", "precharge": precharge}
        return reckon(made, told).answer.says[0]

    assert says("10psi").startswith("Precharge 18 psi too low: 42 %")
    assert says("35psi").startswith("Precharge 5 psi above the start: the water stops")
    assert says("29psi").startswith("Precharge 1 psi high, still under the start")
    assert says("28psi") == "Precharge as it should be."


def test_cautions_where_it_can_hurt():
    wanted = {
        "dead-head": "scalding",
        "prime": "scalding",
        "tank": "holds pressure",
        "leak": "holds pressure",
        "volts": "Mains can kill",
        "amps": "Mains can kill",
        "wire": "Mains can kill",
        "insulation": "Power locked out",
        "bleach": "ammonia",
        "bleach-well": "coliforms",
        "cistern": "Nobody enters",
    }
    for name, words in wanted.items():
        made = calculator(name)
        told = " ".join(reckon(made, typed_in(made)).answer.cautions)
        assert words in told, name
        assert "Local codes" in told, name


def test_every_subject_has_its_calculators_and_no_others():
    for subject in SUBJECTS:
        module = import_module(f"faultnet.reckon.calculators.{subject}")
        listed = {name for name, each in CALCULATORS.items() if each.subject == subject}
        assert set(module.CALCULATORS) == listed


def test_every_limit_is_of_some_use():
    folder = Path(room.__file__).parent
    names = set()
    for path in folder.rglob("*.py"):
        if path.name == "limits.py":
            continue
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.keyword | ast.arg) and node.arg:
                names.add(node.arg)
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                names.add(node.value)
    assert names >= LIMITS.keys()


def test_other_system_measures_the_same():
    for one, other in OTHER_SYSTEM.items():
        assert UNITS[one].measures == UNITS[other].measures


@pytest.mark.parametrize(
    ("number", "text"),
    [
        (0, "0"),
        (12.25, "12.3"),
        (0.0281, "0.0281"),
        (12481, "12500"),
        (999.96, "1000"),
        (100, "100"),
        (-5.678, "-5.68"),
        (4.0, "4"),
        (1e-7, "0.0000001"),
    ],
)
def test_rounded(number, text):
    assert rounded(number) == text


def test_figure_in_both_systems():
    assert figure("a", "A", 1.0, "ft").in_both()[1] == ("m", Between(0.3048, 0.3048))
    assert figure("a", "A", 1.0, "V").in_both() == (("V", Between(1.0, 1.0)),)


PSI = Ask(name="p", key="pair", about="Settings", units=("psi",), pair=True)
EITHER = Ask(name="a", key="amount", about="Amount", units=("ft", "psi", "inHg"))


def test_pair():
    assert take(PSI, "30/50psi") == Pair(30.0, 50.0)
    assert take(PSI, " 2 / 3.5 bar ") == pytest.approx((29.0, 50.8), abs=0.05)
    for wrong in ("30psi", "30/50", "30/50/60psi", "a/bpsi", "30/50ft"):
        with pytest.raises(UnfitNumberError, match="p: "):
            take(PSI, wrong)


def test_either():
    assert take(EITHER, "7m") == Quantity(pytest.approx(22.97, abs=0.01), "ft")
    assert take(EITHER, "20inHg") == Quantity(20.0, "inHg")
    assert take(EITHER, "1bar").unit == "psi"
    for wrong, reason in (("7", "no unit"), ("7V", "no unit of length or pressure"), ("x", "no")):
        with pytest.raises(UnfitNumberError, match=reason):
            take(EITHER, wrong)
