"""The guided conversation at the pump, once, for terminal and page alike.

Nothing here prints or reads input: events go in, the next turn comes out.
"""
