"""The page for where there is no signal: the same rooms, in the browser of a phone."""
