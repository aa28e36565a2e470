"""Perfect knowledge: what is at fault is known from the first word. No policy can cost less."""

from faultnet.learning.trials.policies.habit import Habit, Plain
from faultnet.learning.trials.policy import HAND_OVER, At, Chosen


class AllKnowing(Plain, frozen=True):
    """Mends what makes the complaints and nothing else, the cheapest repair first."""

    def next(self, at: At) -> Chosen | None:
        """Return the cheapest repair of what is at fault; the specialist where none mends it."""
        knowledge = at.subject.knowledge
        known = [
            knowledge.causes[c].repair
            for c in at.asked_for
            if c in at.subject.causes and c in knowledge.causes
        ]
        habit = Habit(at)
        if at.who == "caller":
            mine = [r for r in known if knowledge.repairs[r].work.who == "caller"]
            return Chosen("repair", mine[0]) if mine and mine[0] not in at.checked else None
        price = {repair: habit.minutes(repair) for repair in known}
        specialist = at.subject.system.specialist.minutes.value
        if len(known) < len(at.asked_for) or not known or sum(price.values()) >= specialist:
            return HAND_OVER
        return Chosen("repair", min(price, key=lambda r: (price[r], r)))
