"""Settings of one printer and paper, stepped through: where each reaches further than another."""
