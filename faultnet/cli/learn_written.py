"""What is accepted of a proposal: chosen, shown as a change, written as files or as a patch."""

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from faultnet.cli.output import show, show_json, write_file
from faultnet.cli.own_knowledge import written
from faultnet.cli.refusal import PROBLEMS
from faultnet.learning.proposal.prepared import prepare
from faultnet.learning.proposal.tried import trial_of, tried

if TYPE_CHECKING:
    from collections.abc import Iterator

    from faultnet.authoring.writing.change import Change
    from faultnet.cli.conversation import Conversation
    from faultnet.cli.learn import Accepting, Learning
    from faultnet.learning.proposal.offer import Offer
    from faultnet.learning.proposal.prepared import Before, Prepared
    from faultnet.learning.proposal.proposal import Proposal, Wanted
    from faultnet.learning.proposal.tried import Trial
    from faultnet.review.compare.comparison import Comparison
    from faultnet.shapes.learning import WritingShape
    from faultnet.sharing.sharing import Sharing

GUIDED = "guided"
HEAD = 14
"""Lines of a new file that are shown."""
WORST = 3
"""Cases and calls that are shown one by one."""


def wanted_of(learning: "Learning") -> "Wanted":
    """Return what is to be learnt."""
    from faultnet.learning.proposal.offer import SECTIONS
    from faultnet.learning.proposal.proposal import Wanted
    from faultnet.learning.span import Span

    span = Span(learning.since or "", learning.until or "")
    if span.since and span.until and span.since > span.until:
        raise click.UsageError(f"--since {span.since} lies after --until {span.until}.")
    what = learning.what.split(",")
    sections = tuple(section for section in SECTIONS if section in what)
    return Wanted(sections, span, learning.prior, learning.look)


@dataclass(frozen=True)
class Writing:
    """A proposal of which something is to be accepted."""

    folder: Path
    before: "Before"
    found: "Proposal"
    accepting: "Accepting"
    sharing: "Sharing"

    @property
    def wanted(self) -> bool:
        """Whether anything is to be accepted."""
        return bool(self.accepting.accept or self.accepting.patch)

    def on_terminal(self) -> int:
        """Choose, show and ask; return the exit code."""
        from faultnet.cli.conversation import Conversation
        from faultnet.cli.learn_guided import Going

        talker = Conversation()
        guided = GUIDED in self.accepting.accept
        going = Going(talker, self.found)
        while True:
            chosen = going.go() if guided else self._named()
            if not chosen:
                show(["", "Nothing was accepted, so nothing was written."])
                return 0
            prepared = prepare(self.before, chosen, self.found.run)
            answer = self._asked(talker, prepared)
            if answer != "back" or not guided:
                break
            going.back()
        if answer == "write":
            show(["", *self._write(prepared)])
        elif not _sound(prepared):
            show(["", "Nothing was written: it cannot be, as it is."])
            return PROBLEMS
        else:
            show(["", "Nothing was written."])
        return 0

    def _asked(self, talker: "Conversation", prepared: "Prepared") -> str:
        """Show the change; return whether to ``write`` it, to go ``back``, or nothing."""
        from faultnet.cli.adding import BACK, agreed

        lines, sound = list(self._shown(prepared)), _sound(prepared)
        if sound and (self.accepting.at_once or self.accepting.patch):
            show(["", *lines])
            return "write"
        reply = agreed(talker, lines, sound=sound)
        if reply == BACK:
            return "back"
        return "write" if getattr(reply, "view", "") == "write" else ""

    def as_json(self) -> int:
        """Write the proposal as JSON, with what came of what was accepted."""
        from faultnet.shapes.learning import learn_shape

        if not self.wanted:
            show_json(learn_shape(self.found, self.before.knowledge))
            return 0
        prepared = prepare(self.before, self._named(), self.found.run)
        sound = _sound(prepared)
        done = sound and (self.accepting.at_once or self.accepting.patch is not None)
        shape = self._shape(prepared, done=done)
        if done:
            self._write(prepared)
        show_json(learn_shape(self.found, self.before.knowledge, shape))
        return 0 if sound else PROBLEMS

    def _named(self) -> "list[Offer]":
        """Return the offers that are named; raise ``UsageError`` for those that cannot be."""
        offers = self.found.offers
        names = self.accepting.accept or ("all",)
        chosen: dict[str, Offer] = {}
        for name in names:
            mine = [each for each in offers.offered if _means(name, each)]
            if not mine:
                self._refuse(name)
            chosen.update({each.id: each for each in mine})
        return list(chosen.values())

    def _refuse(self, name: str) -> None:
        """Tell why nothing can be accepted under a name; all and clear may be nothing."""
        if name in {"all", "clear"}:
            return
        kept = next((each for each in self.found.offers.withheld if _means(name, each)), None)
        if kept is not None:
            raise click.UsageError(f"`{kept.id}` is told and never changed: {kept.withheld}.")
        from faultnet.advice.subject import UnknownNameError

        raise UnknownNameError(
            "proposed number", name, [each.id for each in self.found.offers.offered]
        )

    def _shown(self, prepared: "Prepared") -> "Iterator[str]":
        """Yield the change line by line, what lint tells, what it does to cases and calls."""
        from faultnet.authoring.render import as_text
        from faultnet.cli.compare import told_text
        from faultnet.cli.learn_shown import trial_text
        from faultnet.cli.screen import this_screen
        from faultnet.review.compare.told import answers_told

        screen = this_screen()
        for change in prepared.accepted.changes:
            yield from (*_lines(change), "")
        for each in prepared.accepted.unwritten:
            yield from screen.wrap(f"To be written by hand: {each.offer.id}. {each.reason}")
        for note in _notes(prepared):
            yield from screen.wrap(note)
        yield from as_text(prepared.problems).splitlines()
        if prepared.knowledge is None or not prepared.accepted.changes:
            return
        yield from ("", *trial_text(screen, self._trial(prepared), unseen=self.found.unseen))
        if found := self._compared(prepared):
            yield from ("", *told_text(answers_told(found, WORST)))

    def _trial(self, prepared: "Prepared") -> "Trial":
        assert prepared.knowledge is not None
        both = self.before.knowledge, prepared.knowledge
        found = tried(*both, self.found.run.system, self.found.looked, self.sharing)
        return trial_of(list(found))

    def _compared(self, prepared: "Prepared") -> "Comparison | None":
        """Both versions on the cases beside the knowledge, and on simulated calls."""
        if not self.accepting.calls:
            return None
        from faultnet.learning.proposal.prepared import examples_in
        from faultnet.review.compare.comparison import Comparing, Side

        assert prepared.knowledge is not None
        sides = []
        for name, knowledge in (("before", self.before.knowledge), ("now", prepared.knowledge)):
            examples = {e.id: e for e in examples_in(self.before.whole, knowledge)}
            sides.append(Side(name, knowledge, examples, ()))
        comparing = Comparing(sides[0], sides[1], self.accepting.calls)
        return comparing.comparison(list(self.sharing.each(comparing.comparer, comparing.asked)))

    def _write(self, prepared: "Prepared") -> list[str]:
        """Write the files or the patch; return what is told of it."""
        from faultnet.authoring.writing.patch import patch

        changes = prepared.accepted.changes
        if self.accepting.patch is not None:
            write_file(self.accepting.patch, patch(changes))
            file = self.accepting.patch
            return [f"Written: {file}", f"Take it with: patch -p1 -d {self.folder} < {file}"]
        written(self.folder, changes)
        names = [f"Written: {self.folder / change.name}" for change in changes]
        return [*names, f"Now run: faultnet prove {self.folder}"]

    def _shape(self, prepared: "Prepared", *, done: bool) -> "WritingShape":
        from faultnet.authoring.render import as_json
        from faultnet.shapes.learning import WritingShape, trial_shape
        from faultnet.shapes.plain import plain

        told = prepared.accepted
        ready = prepared.knowledge is not None and bool(told.changes)
        compared = self._compared(prepared) if ready else None
        files = [{"file": x.name, "new": x.before is None, "diff": x.lines()} for x in told.changes]
        return WritingShape(
            told.source,
            tuple(each.id for each in told.offers),
            {each.offer.id: each.reason for each in told.unwritten},
            files,
            as_json(prepared.problems),
            trial_shape(self._trial(prepared)) if ready else None,
            plain(compared) if compared else None,
            done and self.accepting.patch is None,
            str(self.accepting.patch) if done and self.accepting.patch else None,
        )


def _lines(change: "Change") -> list[str]:
    """A change line by line; of a file that is new, the first lines."""
    lines = change.lines()
    if change.before is not None or len(lines) <= HEAD:
        return lines
    return [*lines[:HEAD], f"and {len(lines) - HEAD} lines more: the numbers, and the cases by id"]


def _sound(prepared: "Prepared") -> bool:
    return prepared.knowledge is not None and bool(prepared.accepted.changes)


def _notes(prepared: "Prepared") -> list[str]:
    """What was done to numbers so that sums stay sound, each once."""
    notes = (note for offer in prepared.accepted.offers for note in offer.notes)
    return list(dict.fromkeys(notes))


def _means(name: str, offer: "Offer") -> bool:
    """Whether an offer is meant by a word: all, clear, what it is called, or its entry."""
    if name in {"all", "clear"}:
        return name == "all" or offer.clear
    return name in {offer.id, offer.of}
