"""What programs are told: one shape for each result, for the command line and the API alike.

They are types of their own: what is inside may be renamed, what programs read may not.
"""
