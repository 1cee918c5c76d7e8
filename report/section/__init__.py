"""Tables, records and figures of a section."""
