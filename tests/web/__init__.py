"""The pages, through their addresses."""
