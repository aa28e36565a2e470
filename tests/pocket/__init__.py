"""The page for where there is no signal."""
