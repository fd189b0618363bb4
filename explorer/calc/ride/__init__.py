"""What a logged ride says: speeds, gears, coast-downs, calibration, replay."""
