"""The plan of a loan."""
