"""Studies at work: rows, the store, the cache, processes and clusters."""
