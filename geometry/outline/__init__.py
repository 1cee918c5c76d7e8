"""Contours of straight and circular-arc edges, and what is done to one of them."""
