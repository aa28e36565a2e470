"""Closed cases: what they teach, how well the tool did on them, and trials of policies."""
