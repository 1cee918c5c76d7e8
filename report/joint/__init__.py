"""Joints as table, record, CSV and figure."""
