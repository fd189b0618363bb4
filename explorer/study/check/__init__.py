"""What a ride and what was measured by hand say of a bike and its gearing."""
