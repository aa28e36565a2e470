"""From the model to a Bayesian network: roots, causes, findings and their tables."""
