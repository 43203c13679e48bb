"""One file a command; each is imported only when it is asked for and has one function, `run`."""
