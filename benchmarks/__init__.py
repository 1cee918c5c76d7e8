"""What the package is compared with, and how fast it is."""
