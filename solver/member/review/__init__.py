"""What a solved member means: stress, limits, diagnosis, remedies."""
