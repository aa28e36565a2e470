"""What programs are told: one shape for each result, for the command line and the API alike."""
