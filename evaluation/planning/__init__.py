"""The plan of a loan: what to do next, what can still be done, and by when. Pure functions.

Times are minutes of the wall clock since midnight of the loan's first day.
"""
