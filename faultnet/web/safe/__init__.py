"""What keeps strangers out: hosts, headers, accounts, sessions, tokens, limits."""
