"""What a command line asks about: a system, and the texts of what is known."""

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from faultnet.advice.subject import Subject
    from faultnet.model.evidence import Evidence


@dataclass(frozen=True)
class Asked:
    """The texts of the options, not yet looked at; no folder means what came along."""

    system: str
    folder: Path | None = None
    answers: tuple[str, ...] = ()
    layout: tuple[str, ...] = ()
    measured: tuple[str, ...] = ()
    mended: tuple[str, ...] = ()
    speaker: str = "technician"
    made_safe: tuple[str, ...] = ()
    set_ups: tuple[str, ...] = ()
    targets: tuple[str, ...] = ()
    candidates: tuple[str, ...] = ()
    costs: tuple[str, ...] = ()

    def looked_up(self) -> "tuple[Subject, Evidence]":
        """Return the system and the evidence.

        Raises ``KnowledgeError``, ``UnknownNameError`` and ``click.UsageError``.
        """
        from faultnet.advice.subject import make_subject
        from faultnet.authoring.shipped import shipped_folder
        from faultnet.authoring.store import load
        from faultnet.cli.given import evidence_of
        from faultnet.cli.imported import refuse_options

        refuse_options(self)
        subject = make_subject(load(self.folder or shipped_folder()), self.system)
        return subject, evidence_of(subject, self)
