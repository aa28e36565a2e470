"""Change a file where it must change, and leave every other byte as it is."""
