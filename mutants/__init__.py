"""Mutants: small wrong changes to the code, each tried against the tests, which should notice."""
