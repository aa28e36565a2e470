"""Ways to go about a call."""
