"""What leaves of a section's buckling: table, record, curve as CSV, figure."""
