"""How often the pump starts, how long it runs, and how often it may."""

from typing import NamedTuple

from faultnet.reckon.limits import possible
from faultnet.reckon.units import UnfitNumberError


class Rule(NamedTuple):
    """A published limit on starts per hour, for motors up to a size."""

    starts_per_hour: float
    up_to_hp: float
    source: str


TRADE = "performance standard for water tanks of the US water systems trade council"
MG10 = "NEMA MG 10 Table 2-3, polyphase two-pole motors"
RULES = (
    Rule(15.0, 0.75, TRADE),
    Rule(7.5, 20.0, TRADE),
    Rule(15.0, 1.0, MG10),
    Rule(12.9, 1.5, MG10),
    Rule(11.5, 2.0, MG10),
    Rule(6.0, 20.0, "Idaho rules for public systems"),
)
REST_SECONDS = {1.0: 75.0, 1.5: 76.0, 2.0: 77.0}
"""Least rest between starts by hp (NEMA MG 10 Table 2-3, polyphase two-pole motors)."""

STARTS_PER_DAY = 300.0
"""Fewer than this in 24 hours (performance standard for water tanks)."""

LEAST_RUN_MINUTES = 1.0
"""Least run, and least rest, of a cycle (trade press)."""


def run_minutes(flow_gpm: float, demand_gpm: float, drawdown_gal: float) -> float:
    """Return how long the pump runs to refill the tank while water is drawn."""
    _flows(flow_gpm, demand_gpm)
    possible(drawdown_gal=drawdown_gal)
    if demand_gpm >= flow_gpm:
        raise UnfitNumberError(
            f"With {demand_gpm:g} gpm drawn, a pump of {flow_gpm:g} gpm never stops. "
            "Give a demand below the flow of the pump."
        )
    return drawdown_gal / (flow_gpm - demand_gpm)


def idle_minutes(demand_gpm: float, drawdown_gal: float) -> float:
    """Return how long the pump rests while water is drawn."""
    possible(demand_gpm=demand_gpm, drawdown_gal=drawdown_gal)
    if demand_gpm == 0.0:
        raise UnfitNumberError("With no water drawn and no leak the pump does not start again.")
    return drawdown_gal / demand_gpm


def starts_per_hour(flow_gpm: float, demand_gpm: float, drawdown_gal: float) -> float:
    """Return the starts per hour while water is drawn steadily."""
    run = run_minutes(flow_gpm, demand_gpm, drawdown_gal)
    return 60.0 / (run + idle_minutes(demand_gpm, drawdown_gal))


def worst_starts_per_hour(flow_gpm: float, drawdown_gal: float) -> float:
    """Return the most starts per hour there can be, reached at half the flow of the pump."""
    _flows(flow_gpm, 0.0)
    possible(drawdown_gal=drawdown_gal)
    return 60.0 * flow_gpm / (4.0 * drawdown_gal)


def drawdown_needed_gal(flow_gpm: float, run_minutes: float = LEAST_RUN_MINUTES) -> float:
    """Return the drawdown that lets the pump run so long."""
    _flows(flow_gpm, 0.0)
    possible(minutes=run_minutes)
    return flow_gpm * run_minutes


def rules_for(power_hp: float) -> tuple[Rule, ...]:
    """Return the published limits that hold for a motor, one of each source."""
    possible(power_hp=power_hp)
    found: dict[str, Rule] = {}
    for rule in RULES:
        if power_hp <= rule.up_to_hp:
            found.setdefault(rule.source, rule)
    return tuple(found.values())


def _flows(flow_gpm: float, demand_gpm: float) -> None:
    possible(flow_gpm=flow_gpm, demand_gpm=demand_gpm)
    if flow_gpm == 0.0:
        raise UnfitNumberError("A pump that brings no water does not cycle. Measure its flow.")
