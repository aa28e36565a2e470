"""Cases and sites: what happened as events, what follows from them, and where they are kept."""
