"""Forces through the drivetrain: pull, top speed, limits, every pair of sprockets."""
