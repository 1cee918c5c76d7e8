"""Tables, records, figures and field files of a section under load cases."""
