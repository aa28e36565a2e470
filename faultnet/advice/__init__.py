"""Ranked causes and priced next steps: knows the engines and the model."""
