"""Pictures made of the knowledge: the network, the decision chart."""
