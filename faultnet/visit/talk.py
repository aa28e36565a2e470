"""What every stage of the conversation works with."""

from dataclasses import dataclass

from faultnet.advice.subject import Subject
from faultnet.model.condition import When
from faultnet.model.finding import Finding
from faultnet.visit.counsel import Counsel
from faultnet.visit.progress import Progress, wrong


@dataclass(frozen=True)
class Talk:
    """The system that is talked about, and the counsel on it."""

    subject: Subject
    counsel: Counsel

    def finding(self, name: str) -> Finding:
        """Return a finding by its id."""
        return self.subject.knowledge.findings[name]

    def wording(self, at: Progress, about: str) -> str:
        """Return the question in the wording of whoever is asked."""
        known = self.subject.knowledge
        entry = known.findings.get(about) or known.circumstances.get(about) or known.layouts[about]
        return entry.ask_caller if at.speaker == "caller" and entry.ask_caller else entry.ask

    def askable(self, at: Progress, finding: str) -> bool:
        """Whether a finding can show here, as far as is known in the open round."""
        entry = self.finding(finding)
        gates = (*entry.hidden_by, *entry.needs)
        return self.fits(at, entry.only_when) and not any(
            gate in self.subject.findings and wrong(self.finding(gate), at.said(gate))
            for gate in gates
        )

    def fits(self, at: Progress, when: When) -> bool:
        """Whether a condition on the layout can hold, as far as it is known."""
        for layout, values in when.items():
            known = at.evidence.layout.get(layout)
            possible = self.subject.system.layout.get(layout, {})
            states = [known] if known else [v for v, n in possible.items() if n.value > 0.0]
            if not any(state in values for state in states):
                return False
        return True
