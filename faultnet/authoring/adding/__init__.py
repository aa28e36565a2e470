"""A new cause, finding or check: what is asked, one thing at a time, and what becomes of it."""
