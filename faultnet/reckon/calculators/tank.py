"""Is the tank right, and does the pump start too often."""

from faultnet.reckon import cycling, demand, pump_flow, tank
from faultnet.reckon.answer import Answer, figure, rounded
from faultnet.reckon.ask import Ask, Pair
from faultnet.reckon.calculator import Calculator
from faultnet.reckon.calculators.asks import ALTITUDE, SETTINGS
from faultnet.reckon.cautions import AIR, LOCAL, STORED
from faultnet.reckon.tank_air import LARGEST_TANK_GAL
from faultnet.reckon.units import UnfitNumberError

BOYLE = "V (Ppre + Pa) (1/(Pin + Pa) - 1/(Pout + Pa)), absolute (Boyle)"
UNDER = "precharge 2 psi under the start: trade press"
DRAWDOWN = Ask(
    name="drawdown",
    key="drawdown_gal",
    about="Water caught from stop to start, pump off",
    units=("gal",),
)
FLOW = Ask(name="flow", key="flow_gpm", about="Flow of the pump", units=("gpm",))
DEMAND = Ask(
    name="demand", key="demand_gpm", about="Water drawn meanwhile", units=("gpm",), option=True
)


def drawdown(
    tank_gal: float, settings: Pair, altitude_ft: float, precharge_psi: float | None = None
) -> Answer:
    """Tell what a tank gives back, and what a wrong precharge costs."""
    start, stop = settings
    right = tank.right_precharge_psi(start)
    best = tank.drawdown_gal(tank_gal, right, start, stop, altitude_ft)
    held = right if precharge_psi is None else precharge_psi
    given = tank.drawdown_gal(tank_gal, held, start, stop, altitude_ft)
    figures = [
        figure("drawdown", "Water from stop to start", given, "gal"),
        figure("share", "Part of the tank", 100.0 * given / tank_gal, "%"),
        figure("right-precharge", "Right precharge", right, "psi"),
    ]
    says = []
    if precharge_psi is not None:
        figures.append(figure("right-drawdown", "Water with that", best, "gal"))
        says.append(_precharge_in_words(precharge_psi, start, 1.0 - given / best))
    says.append("Charts that take precharge and start as equal promise 4 to 6 % more.")
    assumed = (
        () if precharge_psi is not None else (f"Precharge as it should be: {rounded(right)} psi",)
    )
    return Answer(
        tuple(figures),
        BOYLE,
        ("Boyle's law", UNDER),
        tuple(says),
        (*assumed, "Slow draw; after a fast one the gauge creeps for 2 to 3 minutes (from memory)"),
        (STORED, AIR, LOCAL),
    )


def _precharge_in_words(precharge_psi: float, start_psi: float, lost: float) -> str:
    by = precharge_psi - tank.right_precharge_psi(start_psi)
    if precharge_psi > start_psi:
        return (
            f"Precharge {rounded(precharge_psi - start_psi)} psi above the start: the water stops "
            f"before the pump starts, and {100.0 * lost:.0f} % of the drawdown is lost."
        )
    if by < 0.0:
        return (
            f"Precharge {rounded(-by)} psi too low: {100.0 * lost:.0f} % of the drawdown is lost."
        )
    if by > 0.0:
        return f"Precharge {rounded(by)} psi high, still under the start: no water is lost."
    return "Precharge as it should be."


def size(flow_gpm: float, settings: Pair, altitude_ft: float, minutes: float) -> Answer:
    """Tell the tank that gives the pump its least run."""
    start, stop = settings
    needed = cycling.drawdown_needed_gal(flow_gpm, minutes)
    right = tank.right_precharge_psi(start)
    whole = tank.tank_needed_gal(needed, right, start, stop, altitude_ft)
    figures = (
        figure("drawdown", "Drawdown needed", needed, "gal"),
        figure("tank", "Tank needed", whole, "gal"),
        figure("right-precharge", "Right precharge", right, "psi"),
    )
    large = whole > LARGEST_TANK_GAL
    says = (f"More than one tank: the largest commonly sold hold {LARGEST_TANK_GAL:g} gal.",)
    return Answer(
        figures,
        f"flow x run; tank from {BOYLE}",
        ("least run of a minute: trade press", "Boyle's law", UNDER),
        says if large else (),
        cautions=(STORED, AIR, LOCAL),
    )


def flow(drawdown_gal: float, seconds: float, demand_gpm: float = 0.0) -> Answer:
    """Tell the flow of the pump."""
    found = pump_flow.pump_flow_gpm(drawdown_gal, seconds, demand_gpm)
    return Answer(
        (figure("flow", "Flow of the pump", found, "gpm"),),
        "drawdown / seconds, and what was drawn meanwhile",
        ("arithmetic",),
        ("It is the mean between start and stop; near the stop a pump brings less.",),
        () if demand_gpm else ("No water drawn while it filled",),
    )


def fill(flow_gpm: float, drawdown_gal: float, demand_gpm: float = 0.0) -> Answer:
    """Tell the seconds from start to stop."""
    seconds = pump_flow.fill_seconds(drawdown_gal, flow_gpm, demand_gpm)
    return Answer(
        (figure("seconds", "From start to stop", seconds, "s"),),
        "drawdown / (flow - what is drawn)",
        ("arithmetic",),
        ("Much longer: the pump brings less than it should. Much shorter: the tank has lost air.",),
        () if demand_gpm else ("No water drawn meanwhile",),
    )


def starts(
    flow_gpm: float,
    drawdown_gal: float,
    demand_gpm: float | None = None,
    power_hp: float | None = None,
) -> Answer:
    """Tell starts, run and rest, against the published limits."""
    worst = cycling.worst_starts_per_hour(flow_gpm, drawdown_gal)
    drawn = flow_gpm / 2.0 if demand_gpm is None else demand_gpm
    run = cycling.run_minutes(flow_gpm, drawn, drawdown_gal)
    figures = (
        figure(
            "starts",
            "Starts per hour",
            cycling.starts_per_hour(flow_gpm, drawn, drawdown_gal),
        ),
        figure("run", "Run", run, "min"),
        figure("rest", "Rest", cycling.idle_minutes(drawn, drawdown_gal), "min"),
        figure("worst", "Starts per hour at worst", worst),
        figure(
            "needed",
            "Drawdown for a minute of run",
            cycling.drawdown_needed_gal(flow_gpm),
            "gal",
        ),
    )
    says = _limits_in_words(worst, power_hp)
    says += (f"All day: under {cycling.STARTS_PER_DAY:g} starts in 24 hours.",)
    least = drawdown_gal / flow_gpm
    if least < cycling.LEAST_RUN_MINUTES:
        says += (f"With no draw the pump runs {60.0 * least:.0f} s: under the minute it should.",)
    assumed = () if demand_gpm is not None else ("Half the flow is drawn, which is the worst",)
    return Answer(
        figures,
        "60 / (D/(Q - q) + D/q); at worst 60 Q / (4 D)",
        tuple(dict.fromkeys(rule.source for rule in cycling.RULES)),
        says,
        assumed,
    )


def _limits_in_words(worst: float, power_hp: float | None) -> tuple[str, ...]:
    rules = cycling.RULES if power_hp is None else cycling.rules_for(power_hp)
    told = []
    for rule in rules:
        verdict = "within" if worst <= rule.starts_per_hour + 1e-9 else "over"
        motors = f"up to {rule.up_to_hp:g} hp" if rule.up_to_hp < 20.0 else "any size"
        limit = f"{rule.starts_per_hour:g} per hour, {motors} ({rule.source})"
        told.append(f"{verdict.capitalize()} the limit of {limit}.")
    if not rules:
        raise UnfitNumberError("No published limit reaches a motor of that size.")
    return tuple(told)


def house(**fixtures: float) -> Answer:
    """Tell the peak of a house."""
    if not any(fixtures.values()):
        raise UnfitNumberError("Count at least one fixture: --shower 2 --toilet 2 --kitchen 1.")
    peak = demand.peak_demand_gpm(fixtures)
    return Answer(
        (figure("peak", "Peak of the house", peak, "gpm"),),
        "the allowances of all fixtures together",
        ("Private Water Systems, handbook handed out by the US EPA",),
        ("Gardens, livestock and fire need their own.",),
    )


CALCULATORS = {
    "tank": Calculator(
        (
            Ask(name="tank", key="tank_gal", about="Size of the tank", units=("gal",)),
            SETTINGS,
            Ask(
                name="precharge",
                key="precharge_psi",
                about="Air reading with the water side empty",
                units=("psi",),
                option=True,
            ),
            ALTITUDE,
        ),
        drawdown,
        "44gal 30/50psi --precharge 20psi",
    ),
    "tank-size": Calculator(
        (
            FLOW,
            SETTINGS,
            Ask(
                name="run",
                key="minutes",
                about="Least run of the pump",
                units=("min",),
                default="1min",
                option=True,
            ),
            ALTITUDE,
        ),
        size,
        "10gpm 30/50psi",
    ),
    "flow": Calculator(
        (
            DRAWDOWN,
            Ask(name="time", key="seconds", about="From start to stop", units=("s",)),
            DEMAND,
        ),
        flow,
        "12gal 90s",
    ),
    "fill": Calculator((FLOW, DRAWDOWN, DEMAND), fill, "8gpm 12gal"),
    "cycling": Calculator(
        (
            FLOW,
            DRAWDOWN,
            DEMAND,
            Ask(
                name="power",
                key="power_hp",
                about="Power of the motor",
                units=("hp",),
                option=True,
            ),
        ),
        starts,
        "10gpm 5gal --power 1/2hp",
    ),
    "demand": Calculator(
        tuple(
            Ask(
                name=name.replace("_", "-"),
                key=name,
                about=f"How many: {name.replace('_', ' ')}",
                option=True,
            )
            for name in demand.ALLOWANCE_GPM
        ),
        house,
        "--shower 1 --toilet 2 --kitchen 1",
    ),
}
"""The calculators of this subject by name."""
