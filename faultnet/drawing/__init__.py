"""Pictures made of the knowledge: the network, and the chart to decide by."""
