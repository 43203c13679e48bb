"""The two faces of the terminal: the command line and the app. Both call `evaluation.work`."""
