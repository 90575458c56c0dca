"""Physics and arithmetic of foam: plain values in and out, every formula with its source."""
