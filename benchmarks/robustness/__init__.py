"""The robustness campaign: see `__main__`."""
