"""Writing records: every command that changes the registry prepares its files here."""
