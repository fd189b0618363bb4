"""Quiz and class results."""
