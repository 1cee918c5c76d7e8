"""What leaves of a member built in stages: table, record, figure."""
