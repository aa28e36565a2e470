"""What is printed or handed over: the service report of a case, for customer and office."""
