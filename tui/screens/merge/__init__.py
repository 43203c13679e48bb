"""Bundles: sessions to somebody else, and what others sent."""
