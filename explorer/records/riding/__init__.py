"""What a rider complains of and wants."""
