"""What keeps strangers out."""
