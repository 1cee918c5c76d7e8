"""The desk's page in a real browser."""
