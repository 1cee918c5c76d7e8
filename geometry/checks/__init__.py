"""Is a section valid? What is wrong, where, and what to do."""
