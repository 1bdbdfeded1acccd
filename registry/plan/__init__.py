"""What a job takes: pieces nested on a material's widths, metres, hours, and ink."""
