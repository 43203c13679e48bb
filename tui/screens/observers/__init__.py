"""Observers: what each of several people graded of one print; a viewing set aside."""
