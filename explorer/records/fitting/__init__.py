"""What is measured on a bike, the parts of a change, and its hazards."""
