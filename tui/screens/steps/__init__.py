"""The steps of a session, Describe and Prepare among them."""
