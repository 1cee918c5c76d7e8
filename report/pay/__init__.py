"""What leaves of a section's derivatives: table, record, CSV, figure."""
