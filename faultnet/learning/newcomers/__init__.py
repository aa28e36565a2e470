"""Causes that the files may lack, gathered from what was seen and stood in no file."""
