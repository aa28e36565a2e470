"""From a network to an engine: which of the two, and why."""

from collections.abc import Mapping, Sequence

from faultnet.inference.clique_tree import CELL_LIMIT, Answers, CliqueTree
from faultnet.inference.engine import Beliefs, Candidate, Engine, Evidence
from faultnet.inference.lattice import Lattice, variables
from faultnet.network.network import Network
from faultnet.network.recorder import TROUBLE, record_tables
from faultnet.network.tables import Tables

CHEAP = 2**14
"""Cells up to which a lattice is taken without looking for anything cheaper."""
MOST_VARIABLES = 4000
"""Variables of a record that a clique tree is looked for."""


def compile_network(
    network: Network | Tables, limit: int = CELL_LIMIT, evidence: Evidence | None = None
) -> Engine:
    """Return an engine for a network; its ``name`` says which.

    Tables (what is read from a file) go to the clique tree. Authored knowledge goes to
    the lattice, unless the clique tree of its record is predicted to need fewer cells
    for the causes given ``evidence``. Nothing is computed yet; an engine refuses with
    ``TooLargeError`` what needs more cells than ``limit``.
    """
    if isinstance(network, Tables):
        return CliqueTree(network, limit)
    lattice = Lattice(network, limit)
    known = evidence or {}
    causes = [cause.id for cause in network.causes]
    cells = lattice.predicted_cells(known, causes)
    if cells <= CHEAP:
        return lattice
    record = record_tables(network)
    if len(record.variables) > MOST_VARIABLES:
        return lattice
    tree = RecordTree(network, record, limit)
    return tree if tree.predicted_cells(known, causes) < cells else lattice


class RecordTree:
    """The clique tree of an authored network's record; implements ``Engine``.

    It asks and answers as the lattice does: given what ``faults`` says of the number of
    causes, about roots, causes and findings.
    """

    name = CliqueTree.name

    def __init__(self, network: Network, record: Tables, limit: int = CELL_LIMIT) -> None:
        """``record`` is that of the network."""
        self.tree = CliqueTree(record, limit)
        self.trouble: Mapping[str, str] = TROUBLE[network.faults]
        self.ids = variables(network)

    def beliefs(self, evidence: Evidence, targets: Sequence[str] | None = None) -> Beliefs:
        """Return P(state | evidence) of every target, or of every variable."""
        names = self.ids if targets is None else targets
        return self.tree.beliefs({**evidence, **self.trouble}, names)

    def probability(self, evidence: Evidence) -> float:
        """Return P(evidence), given what is known of the number of causes."""
        both = self.tree.probability({**evidence, **self.trouble})
        return both / self.tree.probability(self.trouble)

    def predicted_cells(
        self,
        evidence: Evidence,
        targets: Sequence[str] | None = None,
        candidates: Sequence[Candidate] = (),
    ) -> int:
        """Return the cells of all cliques that a question needs; nothing is computed."""
        names = self.ids if targets is None else targets
        return self.tree.predicted_cells({**evidence, **self.trouble}, names, candidates)

    def what_if(
        self, evidence: Evidence, targets: Sequence[str], candidates: Sequence[Candidate]
    ) -> dict[Candidate, Answers]:
        """Return, per candidate and answer, its probability and the beliefs after it."""
        return self.tree.what_if({**evidence, **self.trouble}, targets, candidates)
