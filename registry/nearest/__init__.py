"""Nearest: for a material that the registry does not have, known-good modes of its nearest relatives."""
