"""How well the tool did on closed cases: ranks, probabilities, minutes, parts, visits."""
