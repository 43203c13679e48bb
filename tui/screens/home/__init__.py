"""Home: the sessions of an archive."""
