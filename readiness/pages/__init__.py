"""Answers as text and JSON."""
