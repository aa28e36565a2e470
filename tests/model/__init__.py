"""What the trade knows, as types."""
