"""Pictures made of the knowledge: the network, and what is printed to decide by."""
