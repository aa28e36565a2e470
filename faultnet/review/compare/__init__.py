"""Two versions of the knowledge: what differs in the files, and what that does to answers."""
