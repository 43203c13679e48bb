"""Weigh: eye and readings beside each other."""
