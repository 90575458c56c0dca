"""Standings, spray windows, verdicts and blockers: what a gate says, and why."""
