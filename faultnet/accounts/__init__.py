"""Who may come in by the network, what each may do, and the trail of what was done."""
