"""Charts of a logged ride."""
