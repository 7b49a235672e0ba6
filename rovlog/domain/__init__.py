"""Pure computation: values in, values out; no file, clock, randomness, print or log."""
