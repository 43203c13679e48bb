"""Facts for readers: a row a fact."""
