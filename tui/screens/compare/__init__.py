"""Compare: papers beside each other."""
