"""Which print modes meet a use: requirement by requirement, ranked, each place with its reason."""
