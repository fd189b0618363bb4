"""Charts of up to four set-ups."""
