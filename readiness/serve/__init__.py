"""Feeds and phone pages of jobs over the network, read only; it alone answers strangers."""
