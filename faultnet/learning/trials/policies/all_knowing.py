"""Perfect knowledge: what is at fault is known from the first word. No policy can cost less."""

from faultnet.advice.load import Load, usual_truck
from faultnet.advice.outfit import takes
from faultnet.learning.trials.policies.habit import Habit, Plain
from faultnet.learning.trials.policy import HAND_OVER, At, Chosen
from faultnet.model.stock import serving


class AllKnowing(Plain, frozen=True):
    """Mends what makes the complaints and nothing else, the cheapest repair first."""

    def next(self, at: At) -> Chosen | None:
        """Return the cheapest repair of what is at fault; the specialist where none mends it."""
        knowledge, known = at.subject.knowledge, _needed(at)
        habit = Habit(at)
        if at.who == "caller":
            mine = [r for r in known if knowledge.repairs[r].work.who == "caller"]
            return Chosen("repair", mine[0]) if mine and mine[0] not in at.checked else None
        price = {repair: habit.minutes(repair) for repair in known}
        specialist = at.subject.system.specialist.minutes.value
        if len(known) < len(at.asked_for) or not known or sum(price.values()) >= specialist:
            return HAND_OVER
        return Chosen("repair", min(price, key=lambda r: (price[r], r)))

    def load(self, at: At, /) -> Load:
        """Return what its repairs take and is not on the truck."""
        stock, usual = at.subject.knowledge.stock, usual_truck(at.subject)
        wanted = set[str]()
        for repair in _needed(at):
            for name in takes(at.subject.knowledge.repairs[repair]):
                offers = serving(stock, [name])
                if offers and not usual & set(offers):
                    wanted.add(offers[0])
        return frozenset(wanted)


def _needed(at: At) -> list[str]:
    """The repairs of what is at fault, as far as the files hold it."""
    causes = at.subject.knowledge.causes
    here = [c for c in at.asked_for if c in at.subject.causes and c in causes]
    return [causes[cause].repair for cause in here]
