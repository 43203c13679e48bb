"""The neutrality record."""
