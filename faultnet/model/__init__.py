"""What the trade knows, as small frozen types: no input or output, no arithmetic."""
