"""From proposed numbers to a proposal: what changes, why, what it does, and the files."""
