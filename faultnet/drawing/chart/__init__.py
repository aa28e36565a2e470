"""The plan of a trouble as a printed decision chart."""
