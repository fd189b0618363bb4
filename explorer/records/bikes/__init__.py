"""A bike and its file."""
