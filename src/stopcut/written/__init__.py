"""Documents that a person wrote in TOML (the job, the shop's settings): where things stand, what each value may be.

What is wrong with one is found all at once, as faults with their key and their line.
"""
