"""What an author asks of the knowledge as a whole."""
