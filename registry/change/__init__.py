"""What changed: between two documents, along a record's history, and over the whole registry."""
