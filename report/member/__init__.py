"""Tables, records and figures of a member."""
