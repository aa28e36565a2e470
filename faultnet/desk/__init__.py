"""The dispatcher's side: the call, how urgent it is, what to load, whom to send."""
