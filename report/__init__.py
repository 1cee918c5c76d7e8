"""What leaves: tables, JSON and figures of solved sections, written whole or not at all."""
