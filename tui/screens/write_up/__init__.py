"""Write up: the article before it is written."""
