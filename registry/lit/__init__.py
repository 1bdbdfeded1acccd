"""What a print will look like lit: a mode's measured readings before a display's own lamps."""
