"""The kitchen's things as plain frozen values: standard library only."""
