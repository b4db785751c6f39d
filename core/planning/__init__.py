"""What to sow, what to expect of it, and how a season would go: pure, values in, values out."""
