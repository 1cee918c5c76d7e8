"""Tables, records and figures of natural frequencies."""
