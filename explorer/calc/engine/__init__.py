"""The engine: full-throttle curve, closed throttle, power in today's air."""
