"""Numbers that are others in one region or for one firm, drawn towards those that all share."""
