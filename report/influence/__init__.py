"""Influence lines as table, figure, CSV and JSON."""
