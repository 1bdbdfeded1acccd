"""What changed between the last good print and the bad one, in order of likely effect."""
