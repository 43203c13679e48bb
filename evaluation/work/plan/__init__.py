"""The plan of a loan: entered, recognised from sessions, laid out, told."""
