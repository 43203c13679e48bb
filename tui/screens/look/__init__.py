"""Look: grading a print region by region."""
