"""What the page asks and what it is answered; runs in the browser, and anywhere else."""
