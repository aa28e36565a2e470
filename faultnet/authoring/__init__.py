"""From the authored YAML to the model, with file, line and column for every problem."""
