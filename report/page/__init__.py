"""The report page: one HTML file that holds everything, opens offline and prints on paper."""
