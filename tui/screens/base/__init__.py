"""What every page stands on and what opens over it."""
