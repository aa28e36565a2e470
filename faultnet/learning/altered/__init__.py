"""What would be true if the authored numbers were off, or a cause were in no file."""
