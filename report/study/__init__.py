"""Tables, records and figures of comparisons, sizings and sweeps."""
