"""A month of an invented crowd, played in two ways: by text as the farm does it, and by phoning down a list."""
