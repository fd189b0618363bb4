"""How sure a number is: inputs, propagation, repeated runs, prediction against measurement."""
