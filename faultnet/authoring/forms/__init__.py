"""The form of each kind of entry; one kind per file."""
