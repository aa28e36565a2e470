"""Offers gone through on a terminal, number by number: yes, no, later, why, back, stop."""

from collections import deque

from faultnet.cli.conversation import Conversation
from faultnet.learning.proposal.offer import SECTIONS, Offer
from faultnet.learning.proposal.proposal import Proposal
from faultnet.learning.proposal.told import effect_told, moves, place, reasons
from faultnet.visit.turn import Line, Reply, Turn

YES = Reply("y", "accept it", view="yes")
NO = Reply("n", "leave what stands", view="no")
LATER = Reply("s", "skip, ask again at the end", view="later")
WHY = Reply("w", "why: the cases behind it", view="why")
BACK = Reply("u", "back", view="back")
DONE = Reply("d", "done, leave the rest", view="done")
STOP = Reply("q", "stop, write nothing", view="stop")


class Going:
    """The offers that are left, those answered, and what was said to them."""

    def __init__(self, talker: Conversation, found: Proposal) -> None:
        """Begin with the first offer."""
        self.talker, self.found = talker, found
        self.left = deque(found.offers.offered)
        self.again: set[str] = set()
        self.answered: list[tuple[Offer, bool]] = []

    def back(self) -> None:
        """Go back to the last offer that was answered."""
        if self.answered:
            self.left.appendleft(self.answered.pop()[0])

    def go(self) -> list[Offer] | None:
        """Ask about each; return those that were accepted, or None where it was stopped."""
        note, why = "", False
        while self.left:
            reply = self.talker.ask(self._turn(self.left[0], why=why), note)
            view = reply.view if isinstance(reply, Reply) else "stop"
            if view == "stop":
                return None
            if view == "done":
                break
            why = view == "why"
            note = "" if why else self._take(view)
        return [offer for offer, yes in self.answered if yes]

    def _take(self, view: str) -> str:
        """Take an answer; return what is noted of it."""
        if view == "back":
            if not self.answered:
                return "This is the first one."
            self.back()
            return ""
        offer = self.left.popleft()
        if view == "later" and offer.id not in self.again:
            self.again.add(offer.id)
            self.left.append(offer)
            return f"Later: {offer.id}"
        self.answered.append((offer, view == "yes"))
        return f"{'Accepted' if view == 'yes' else 'Left'}: {offer.id}"

    def _turn(self, offer: Offer, *, why: bool) -> Turn:
        effect = self.found.effects.get(offer.id)
        lines = [Line("say", told) for told in moves(offer)]
        if effect is not None:
            lines.append(Line("say", f"{effect_told(effect, len(self.found.looked))}."))
        if why:
            lines += [Line("item", told) for told in reasons(offer)]
        else:
            lines += [Line("item", told) for told in offer.notes]
        lines.append(Line("note", f"{place(offer)}  {offer.id}"))
        number = len(self.answered) + 1
        head = f"{SECTIONS[offer.section]}, {number} of {len(self.answered) + len(self.left)}"
        replies = (YES, NO) if offer.id in self.again else (YES, NO, LATER)
        return Turn(
            "question",
            head,
            offer.held.about,
            tuple(lines),
            replies if why else (*replies, WHY),
            (BACK, DONE, STOP),
        )
