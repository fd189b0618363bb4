"""One folder for each task of the rider, with its page."""
