"""One open job: load, watch, ask, write."""
