"""Tuning: from a measured ladder of ink loads, the load to use, and why."""
