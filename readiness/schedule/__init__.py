"""Dates of a network of tasks: working time, the two passes, floats and driving chains."""
