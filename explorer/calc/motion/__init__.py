"""Motion at full throttle: time, distance, shift points and measures of acceleration."""
