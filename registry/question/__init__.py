"""What every capability asks: which record, as of when, what was in force, and the case at hand."""
