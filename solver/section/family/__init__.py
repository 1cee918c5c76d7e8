"""Many sections of one build at once: one mesh that follows each of them, one elimination order."""
