"""Side by side: rounds under letters."""
