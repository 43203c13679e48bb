"""Read: files and typed readings."""
