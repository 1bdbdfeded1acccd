"""The settings card: documents in, one sheet of paper out."""
