"""Charts of one or two gearings."""
