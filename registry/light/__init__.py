"""Pure numerics of light and ink: no input or output, no knowledge of records."""
