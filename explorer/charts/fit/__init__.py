"""Charts of chain, axle and slack."""
