"""A club's folder and its members' set-ups."""
